"""Inside shapes of tanks."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field

from generator.model.definition import Definition
from generator.model.quantity import Length, Size, Volume
from generator.model.scalar import Number, Tag, To

End = Literal["flat", "2:1 ellipsoidal", "hemispherical", "conical", "torispherical", "shallow dished"]


class VerticalCylinder(Definition):
    """A standing cylinder."""

    kind: Literal["vertical cylinder"]
    """The shape."""
    diameter: Size
    """Inside diameter."""
    height: Size
    """Height of the straight shell."""
    bottom: End = "flat"
    """Kind of the lower end."""
    bottom_depth: Size | None = None
    """Depth of a conical or shallow dished lower end."""
    bottom_diameter: Size | None = None
    """Diameter of the flat floor at the foot of a conical lower end, as in a benched sump; a point where left out."""
    floor_fall: Size | None = None
    """How much a flat floor falls from one side to the other; the walls begin at its lowest."""
    top: End = "flat"
    """Kind of the upper end."""
    top_depth: Size | None = None
    """Depth of a conical or shallow dished upper end."""
    dish_radius: Number | None = None
    """Torispherical end: dish radius over diameter; a shallow dished end may be given by it instead of its depth."""
    knuckle_radius: Number | None = None
    """Torispherical end: knuckle radius over diameter."""


class HorizontalCylinder(Definition):
    """A lying cylinder."""

    kind: Literal["horizontal cylinder"]
    """The shape."""
    diameter: Size
    """Inside diameter."""
    length: Size
    """Length of the straight shell."""
    ends: End = "flat"
    """Kind of both ends."""
    end_depth: Size | None = None
    """Depth of conical or shallow dished ends."""
    dish_radius: Number | None = None
    """Torispherical ends: dish radius over diameter; shallow dished ends may be given by it instead of their depth."""
    knuckle_radius: Number | None = None
    """Torispherical ends: knuckle radius over diameter."""


class RectangularBasin(Definition):
    """A basin with upright walls, if wanted with a hopper or benched floor below them."""

    kind: Literal["rectangular basin"]
    """The shape."""
    length: Size
    """Inside length."""
    width: Size
    """Inside width."""
    height: Size
    """Height from the lowest floor to the top of the walls."""
    hopper_depth: Size | None = None
    """Depth of the hopper or benching at the floor; upright walls begin above it."""
    hopper_length: Size | None = None
    """Length of the hopper at its lowest."""
    hopper_width: Size | None = None
    """Width of the hopper at its lowest."""
    floor_fall: Size | None = None
    """How much a sloped floor without a hopper falls along the basin's length; the walls begin at its lowest."""


class Sphere(Definition):
    """A sphere."""

    kind: Literal["sphere"]
    """The shape."""
    diameter: Size
    """Inside diameter."""


class Cone(Definition):
    """A standing cone or frustum, narrow end down."""

    kind: Literal["cone"]
    """The shape."""
    top_diameter: Size
    """Diameter at the top."""
    bottom_diameter: Size
    """Diameter at the bottom; 0 m for a point."""
    height: Size
    """Height."""


class StrappingRow(Definition):
    """One line of a strapping table."""

    height: Length
    """Height above the tank's datum."""
    volume: Volume
    """Volume held at that height."""


class StrappingTable(Definition):
    """A calibrated table of height and volume; straight lines between its rows."""

    kind: Literal["strapping table"]
    """The shape."""
    rows: tuple[StrappingRow, ...] = Field(min_length=2)
    """Rows in rising order."""
    reference: Annotated[Tag, To("references")] | None = None
    """The calibration certificate."""


Shape = Annotated[
    VerticalCylinder | HorizontalCylinder | RectangularBasin | Sphere | Cone | StrappingTable, Discriminator("kind")
]

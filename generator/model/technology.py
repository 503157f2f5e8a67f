"""Technologies of the plant's own: a known one with other limits or words, or one that the generator does not know."""

from typing import Literal

from pydantic import Field

from generator.model.definition import Definition
from generator.model.instrument import Ratings, Technology
from generator.model.quantity import Duration, Size
from generator.model.scalar import Prose, Text, YesNo

Trouble = Literal[
    "foam", "coating", "conductive coating", "magnetic particles", "fine solids", "rags", "settling solids",
    "crystallising solids", "flashing liquid", "flammable liquid", "gas pressure",
    "agitation", "inlet stream", "wall that does not conduct", "ice", "condensate on the antenna", "emulsion",
]
"""What can defeat a device: the closed vocabulary of `unfit_for` and `fit_for`."""


class OwnCare(Definition):
    """How often a device is cleaned, by what the liquid does to it."""

    where: Trouble | Literal["clean liquid"]
    """What the liquid does."""
    every: Duration
    """Time between two cleanings."""
    do: Prose
    """What is done."""


class Fitness(Definition):
    """Something that defeats a technology, or does not, by this plant's experience."""

    what: Trouble
    """What it is about."""
    because: Prose
    """Why the plant judges so."""


class OwnTechnology(Definition):
    """A technology as this plant uses it. What is left out is as the generator knows it."""

    based_on: Technology
    """The technology whose rules of acting, criteria and care it takes over; `other` for one with none."""
    everywhere: YesNo = False
    """Whether it holds for every device of that technology, not only for those that name it as their `kind`."""
    principle: Prose | None = None
    """How it senses."""
    needs: tuple[Prose, ...] = ()
    """What else it needs."""
    defeated_by: tuple[Prose, ...] = ()
    """What else defeats it."""
    limits: Ratings = Ratings()
    """Limits of the site, in the words of a device's ratings; a device must keep its own and these."""
    unfit_for: tuple[Fitness, ...] = ()
    """What it is not used for here."""
    fit_for: tuple[Fitness, ...] = ()
    """What it withstands although devices of its technology in general do not."""
    accuracy: Size | None = None
    """Error that is usual for it here; shown, never reckoned with."""
    must_give: tuple[Text, ...] = Field(default=())
    """Fields that a device of it must give here, such as `geometry.clearance`."""
    care: tuple[OwnCare, ...] = ()
    """Cleaning intervals of the site."""
    wetted_test: Prose | None = None
    """What a wetted test needs here."""
    references: tuple[Text, ...] = ()
    """Papers it rests on."""

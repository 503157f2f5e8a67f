"""What a need asks for: a height that one edge of the point must keep.

Which edge of the point is judged, and against which edge of the other level L:

    need                      point      its edge           must stay   of the other
    before L, a time          rising     latest (upper)     below       lower edge of L, less the time's inflow
                              falling    latest (lower)     above       upper edge of L, plus the time's outflow
    below L, gap of a rule    either     upper              below       lower edge of L
    room for growth below L   either     upper              below       lower edge of L, less the growth
    above L, covers L         either     lower              above       upper edge of L
    reserve above L           either     lower              above       upper edge of L, plus the reserve
    cycling above L           rising     earliest (lower)   above       upper edge of L, plus the cycle's volume
                              falling    earliest (upper)   below       lower edge of L, less the cycle's volume
    submerges a pump          either     lower              above       inlet, plus submergence and run-down
    at a height               either     the height itself

So an upper edge always meets "at most" and a lower edge "at least", and each row has its mirror: turn the tank over,
exchange rising and falling, inflow and outflow, and every limit turns over with it.
"""

from dataclasses import dataclass

from generator.compute.bands import Point, Side
from generator.compute.book import Book
from generator.compute.heights import Edge, Heights, Unknown
from generator.compute.tanks import vessel_input
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import Sense, TankResult, Vessel


@dataclass(frozen=True, slots=True)
class Asked:
    """The height that the judged edge must keep [m], how it comes about, and whether the other is of the same body."""

    height: float
    expression: str
    inputs: tuple[Input, ...]
    same_body: bool = False
    validity: str = ""
    reference: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class About:
    """What a need is judged with: the plant, the tank, its named heights, and the point itself."""

    plant: Definitions
    knowledge: Knowledge
    tank: TankResult
    heights: Heights
    point: Point
    book: Book

    @property
    def rises(self) -> bool:
        """Whether the point acts on a rising level."""
        return self.point.acts == "rising"

    def edge(self, name: str, sense: Sense) -> Edge | Unknown:
        """The edge of a named level that faces this point."""
        side: Side = "low" if sense == "at most" else "high"
        return self.heights.edge(name, side, self.point.body)

    def is_on_same_body(self, name: str) -> bool:
        """Whether a named level is another point of this point's body."""
        other = self.heights.points.get(name)
        return other is not None and other.body == self.point.body

    def vessel_input(self) -> Input:
        """The vessel as an input of what reads a volume from a height."""
        assert self.tank.vessel is not None
        return vessel_input(self.tank.tag, self.tank.vessel)

    def vessel(self) -> Vessel | Unknown:
        """The tank's vessel."""
        return self.tank.vessel or Unknown("the tank's shape does not give a volume", (f"tanks/{self.tank.tag}/shape",))


def known(outcome: Outcome) -> Record | Unknown:
    """A record, or why there is none."""
    return outcome if isinstance(outcome, Record) else Unknown(f"{outcome.name}: {outcome.why}", outcome.missing)


def level_of(vessel: Vessel, volume: float) -> tuple[float, str]:
    """Level at a volume [m], and a remark where the vessel cannot hold it.

    Beyond bottom and top the height goes on as in an upright tank of the vessel's mean area, so that a need that no
    height can satisfy still says by how much it fails.
    """
    mean = vessel.capacity / (vessel.top - vessel.bottom)
    if volume < 0:
        return vessel.bottom + volume / mean, "the volume below does not suffice: counted on below the bottom"
    if volume > vessel.capacity:
        excess = (volume - vessel.capacity) / mean
        return vessel.top + excess, "the volume above does not suffice: counted on over the top"
    return vessel.level_at(volume), ""


def shifted(vessel: Vessel, edge: Edge, volume: float) -> tuple[float, str]:
    """Level a volume above (or below, where negative) an edge [m], with its remark."""
    return level_of(vessel, vessel.volume_at(edge.height) + volume)

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

Where the edge is the latest of its point, of this one or of the other, the liquid moves on from it until the point has acted:
`before_acting` takes that off what is asked of this point, `Heights` adds it to the edge of the other. Submergence counts it
in its own run-down, with what follows the action; a cycle is judged by earliest edges, which wait for nothing.
"""


from msgspec import Struct
from msgspec.structs import replace

from generator.compute import waits
from generator.compute.bands import Point, Side
from generator.compute.book import Book
from generator.compute.heights import Edge, Heights, Unknown
from generator.compute.tanks import vessel_input
from generator.compute.travel import level_of, volume_of
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import Sense, TankResult, Vessel


class Asked(Struct, frozen=True):
    """The height that the judged edge must keep [m], how it comes about, and whether the other is of the same body.

    `rate` is the net rate at which the need counts its time; the worst where it counts none.
    """

    height: float
    expression: str
    inputs: tuple[Input, ...]
    same_body: bool = False
    validity: str = ""
    reference: str = ""
    note: str = ""
    rate: Record | None = None


class About(Struct, frozen=True):
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


def before_acting(asked: Asked, about: About, side: Side) -> Asked | Unknown:
    """What is asked of the level when the point has acted, as asked of the level at its edge.

    h = V^-1( V(asked) - Q (t_r + t_d + ...) ) for a rising point, + for a falling one; an earliest edge is asked as it is.
    """
    wait = waits.of_point(about.plant, about.point.tag)
    if not waits.is_latest(side, about.point.acts):
        return asked
    if not wait.times:
        return replace(asked, note="; ".join(part for part in (asked.note, wait.unrecorded) if part))
    rate = asked.rate or known(about.tank.filling if about.rises else about.tank.emptying)
    vessel = about.vessel()
    if isinstance(rate, Unknown):
        return rate
    if isinstance(vessel, Unknown):
        return vessel
    sign, mark = (-1, "-") if about.rises else (1, "+")
    height, note = level_of(vessel, volume_of(vessel, asked.height) + sign * rate.value * wait.seconds)
    taken = {one.symbol: one for one in asked.inputs}
    symbol = "Q" if taken.get("Q", rate.as_input("Q")) == rate.as_input("Q") else "Q_{net}"
    inputs = {one.symbol: one for one in (*asked.inputs, about.vessel_input(), rate.as_input(symbol), *wait.times)}
    of_asked, comma, working = asked.expression.partition(r", \quad ")
    opens, closes = r"V^{-1}\left( ", r" \right)"
    is_volume = of_asked.startswith(opens) and of_asked.endswith(closes)
    volume = of_asked[len(opens):-len(closes)] if is_volume else rf"V\left( {of_asked} \right)"
    if not is_volume and r"\left(" in of_asked:  # a line of its own, or no column of paper would hold it
        volume, comma, working = r"V\left( h_a \right)", r", \quad ", rf"h_a = {of_asked}{comma}{working}"
    return replace(
        asked, height=height, inputs=tuple(inputs.values()),
        expression=f"{opens}{volume} {mark} {symbol} {wait.expression}{closes}{comma}{working}",
        note="; ".join(part for part in (note or asked.note, wait.unrecorded) if part))


def shifted(vessel: Vessel, edge: Edge, volume: float) -> tuple[float, str]:
    """Level a volume above (or below, where negative) an edge [m], with its remark."""
    return level_of(vessel, vessel.volume_at(edge.height) + volume)

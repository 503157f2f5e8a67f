"""Heights by the name that a need gives: a level of the tank, a mark, a nozzle, or the edge of another point."""

from collections.abc import Mapping

from msgspec import Struct

from generator.compute import waits
from generator.compute.bands import Point, Side
from generator.compute.book import given
from generator.compute.tanks import PROCESS_LEVELS, VESSEL_LEVELS, vessel_input
from generator.compute.travel import level_of, volume_of, worst_rate
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Absence, Input
from generator.model.results import TankResult
from generator.model.scalar import Tag


class Edge(Struct, frozen=True):
    """A height to judge by: its terms, the first the height itself, the others added or taken off. [m]"""

    name: str
    height: float
    terms: tuple[Input, ...]
    expression: str


class Unknown(Struct, frozen=True):
    """Why a height is not known, and the fields that would decide it."""

    why: str
    missing: tuple[str, ...] = ()


class Heights(Struct, frozen=True):
    """Every height of one tank that has a name. `standing` holds the heights of points, as far as they are known."""

    plant: Definitions
    tank: str
    result: TankResult
    points: Mapping[str, Point]
    standing: Mapping[str, Input]

    def edge(self, name: str, side: Side, body: str) -> Edge | Unknown:
        """The lower or upper edge of what a name says, as seen from a point on `body`.

        The latest edge of another point is where the liquid stands when that point has acted.
        """
        if name in self.points:
            return self._edge_of_point(self.points[name], side, body)
        found = self._fixed(name)
        return found if isinstance(found, Unknown) else Edge(name, found.value, (found,), found.symbol)

    def _edge_of_point(self, point: Point, side: Side, body: str) -> Edge | Unknown:
        if point.tank != self.tank:
            return Unknown(f"{point.tag} stands on {point.tank}, not on {self.tank}")
        standing = self.standing.get(point.tag)
        if standing is None:
            return Unknown(f"the height of {point.tag} is not known", (f"switches/{point.tag}/height/issued",))
        spread = point.spread(side, same_body=point.body == body)
        if spread is None:
            return Unknown(f"the error of {point.tag} is not given", (f"switches/{point.tag}/accuracy",))
        sign = -1 if side == "low" else 1
        mark = " - " if side == "low" else " + "
        return self._acted(point, side, Edge(
            point.tag, standing.value + sign * sum(term.value for term in spread), (standing, *spread),
            mark.join(term.symbol for term in (standing, *spread))))

    def _acted(self, point: Point, side: Side, edge: Edge) -> Edge | Unknown:
        """An edge, and where it is the latest what the level moves from there until the point has acted."""
        wait = waits.of_point(self.plant, point.tag, told_apart=True)
        if not waits.is_latest(side, point.acts) or not wait.times:
            return edge
        rate, vessel = worst_rate(self.result, point.acts), self.result.vessel
        if isinstance(rate, Absence):
            return Unknown(f"{rate.name}: {rate.why}", rate.missing)
        if vessel is None:
            return Unknown("the tank's shape does not give a vessel", (f"tanks/{self.tank}/shape",))
        sign, mark, word = (1, "+", "in") if side == "high" else (-1, "-", "out")
        height, _ = level_of(vessel, volume_of(vessel, edge.height) + sign * rate.value * wait.seconds)
        symbol = rf"Q_{{\text{{{word}}}}}"
        return Edge(point.tag, height, (*edge.terms, vessel_input(self.tank, vessel), rate.as_input(symbol), *wait.times),
                    rf"V^{{-1}}\left( V\left( {edge.expression} \right) {mark} {symbol} {wait.expression} \right)")

    def _fixed(self, name: str) -> Input | Unknown:
        tank = self.plant.tanks[Tag(self.tank)]
        words = (VESSEL_LEVELS | PROCESS_LEVELS).get(name)
        height_of: Length | None = getattr(tank.levels, name) if words is not None else None
        if words is not None and (height_of is not None or name not in tank.marks):
            field = f"levels/{name}"
        elif name in tank.marks:
            mark = tank.marks[Tag(name)]
            words, height_of, field = str(mark.what), mark.height, f"marks/{name}/height"
        elif name in tank.nozzles:
            words, height_of, field = f"nozzle {name}", tank.nozzles[Tag(name)].height, f"nozzles/{name}/height"
        elif name in ("bottom", "top"):
            return self._end(name)
        else:
            return Unknown(f"{self.tank} has no level named {name}", (f"tanks/{self.tank}/levels/{name}",))
        if height_of is None:
            return Unknown(f"the height of {words} is not given", (f"tanks/{self.tank}/{field}",))
        symbol = r"h_{\text{" + name.replace("_", " ") + "}}"
        return given(height_of, symbol, words)

    def _end(self, name: str) -> Input | Unknown:
        """Bottom or top of the vessel."""
        vessel = self.result.vessel
        if vessel is None:
            return Unknown("the tank's shape does not give a vessel", (f"tanks/{self.tank}/shape",))
        height = vessel.bottom if name == "bottom" else vessel.top
        return Input(rf"h_{{\text{{{name}}}}}", f"{name} of the vessel", height, "length", f"#{self.tank}/capacity")

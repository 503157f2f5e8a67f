"""The level that a trip or an alarm must keep the liquid from, and the heights of a tank by name."""

from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from generator.compute.bands import Side
from generator.compute.book import Book
from generator.compute.causes import Direction
from generator.compute.pump_levels import levels_of
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.record import Input, Record
from generator.model.results import Level, SetpointResult, TankResult
from generator.model.scalar import Tag


class Limit(Struct, frozen=True):
    """A height that must not be reached: its name, height [m] and where that comes from; else why it is not known."""

    name: str
    height: float | None
    source: Place | str = ""
    why: str = ""
    missing: tuple[str, ...] = ()

    def as_input(self) -> Input:
        """This height as an input of a record."""
        assert self.height is not None
        return Input("h_{limit}", self.name, self.height, "length", self.source)


def edge_input(plant: Definitions, setpoint: SetpointResult, height: float, symbol: str, name: str) -> Input:
    """An edge of a point's band as an input; its source is the record of that edge, else the height itself."""
    for action, band in (("act", setpoint.act), ("reset", setpoint.reset)):
        for side, edge in (("low", band.low), ("high", band.high)) if band else ():
            if abs(edge - height) < 1e-12:
                return Input(symbol, name, height, "length", f"#{setpoint.tag}/{action}-{side}")
    where: Place | str = plant.switches[Tag(setpoint.tag)].height.place_of("issued")
    if setpoint.is_proposed:
        where = setpoint.proposed.key
    return Input(symbol, name, height, "length", where)


def edge_within(
    plant: Definitions, book: Book, setpoint: SetpointResult, side: Side, others: Iterable[str], symbol: str, name: str,
) -> Input:
    """The lower or upper edge of a point's action, as other points see it.

    The error that a body shares moves all its points alike, so it cancels between them; between bodies all of it counts.

    Args:
        plant: The definitions.
        book: Where the edge without the shared error is entered, once.
        setpoint: The point; it must be settled where it acts.
        side: Which edge.
        others: The points that it is compared with.
        symbol: Symbol of the input.
        name: Words of the input.
    """
    assert setpoint.act is not None
    tag, edge = setpoint.tag, setpoint.act.low if side == "low" else setpoint.act.high
    body, common = plant.switches[Tag(tag)].in_, setpoint.error_common
    whole = edge_input(plant, setpoint, edge, symbol, name)
    is_shared = all(other in plant.switches and plant.switches[Tag(other)].in_ == body for other in others)
    if not is_shared or not isinstance(common, Record) or not common.value:
        return whole
    key = f"#{tag}/act-{side}-within-body"
    made = book.outcomes.get(key)
    if made is None:
        sign, mark = (1, "+") if side == "low" else (-1, "-")
        word = "Lowest" if side == "low" else "Highest"
        made = book.record(
            key, f"{word} level at which {tag} acts, as the other points of {body} see it", edge + sign * common.value,
            "length", f"h = h_e {mark} c", [replace(whole, symbol="h_e"), common.as_input("c")],
            validity="between points of one body: the error that they share moves them alike and cancels")
    assert isinstance(made, Record)
    return made.as_input(symbol, name)


def limit_of(
    plant: Definitions, tanks: Mapping[str, TankResult], book: Book, tank: str, direction: Direction,
    hazard: str | None,
) -> Limit:
    """The level that must not be reached: where the hazard begins, else the tank's ceiling or the pumps' lowest level.

    A hazard counts where it begins on this tank and in this direction. For a falling level without one, the highest
    of the lowest levels of the pumps that draw from the tank counts; without such pumps, the bottom.
    """
    if hazard is not None:
        begins = hazard_level(plant, tanks, tank, hazard, direction, book)
        if begins is not None:
            return begins
    result = tanks[tank]
    if direction == "rising":
        if isinstance(result.ceiling, Record):
            return Limit(ceiling_name(result), result.ceiling.value, result.ceiling.key)
        return Limit("the ceiling", None, why=result.ceiling.why, missing=result.ceiling.missing)
    return _lowest(plant, result, book, tank)


def ceiling_name(tank: TankResult) -> str:
    """Name of the level at which liquid first leaves the tank."""
    if isinstance(tank.ceiling, Record):
        height = tank.ceiling.value
        same = [level for level in tank.levels if level.kind == "vessel" and abs(level.height - height) < 1e-9]
        if same:
            return same[0].name
    return "the ceiling"


def _lowest(plant: Definitions, tank: TankResult, book: Book, tag: str) -> Limit:
    levels = [_lowest_of(plant, pump, book) for pump in plant.pumps_of[tag]]
    if gaps := [one for one in levels if one.height is None]:
        return gaps[0]
    if levels:
        return max(levels, key=lambda one: (one.height or 0.0, one.name))
    if tank.vessel is None:
        return Limit("the bottom", None, why="the tank's shape gives no volume", missing=(f"tanks/{tag}/shape",))
    return Limit("the bottom", tank.vessel.bottom, tank.capacity.key)


def hazard_level(
    plant: Definitions, tanks: Mapping[str, TankResult], tank: str, hazard: str, direction: Direction,
    book: Book,
) -> Limit | None:
    """Where a hazard begins, as a limit; None where that is another tank or lies in the other direction.

    One that begins at the level below which a pump is said to draw air begins at the pump's lowest level where that is higher.
    """
    begins = plant.hazards[Tag(hazard)].begins_at
    if begins != tank and not begins.startswith(f"{tank} "):
        return None
    name = begins[len(tank):].strip()
    found = level_named(tanks[tank], name)
    if found is None:
        return Limit(name or "the hazard's level", None, begins.place, f"{begins} is not a level that is known",
                     (f"tanks/{tank}/levels",))
    if _lies(found, tanks[tank]) not in ("", direction):
        return None
    own = Limit(found.name, found.height, found.source or found.place)
    drawn = [_lowest_of(plant, pump, book) for pump in plant.pumps_of[tank]
             if (inlet := plant.pumps[pump].inlet) is not None and inlet.draws_air_below == found.key]
    return max((own, *(one for one in drawn if one.height is not None)), key=lambda one: round(one.height or 0.0, 9))


def _lowest_of(plant: Definitions, pump: Tag, book: Book) -> Limit:
    """The lowest level of a pump."""
    level = levels_of(plant, pump, book)[1]
    if isinstance(level, Record):
        return Limit(f"the lowest level of {pump}", level.value, level.key)
    return Limit(f"the lowest level of {pump}", None, why=level.why, missing=level.missing)


def _lies(level: Level, tank: TankResult) -> str:
    """Direction in which a level is approached as a limit; empty where its kind does not say."""
    if level.direction:
        return level.direction
    heights = {one.key: one.height for one in tank.levels}
    low, high = heights.get("normal_low"), heights.get("normal_high")
    if high is not None and level.height >= high:
        return "rising"
    if low is not None and level.height <= low:
        return "falling"
    if level.key in ("overflow", "rim", "lowest_opening", "top"):
        return "rising"
    return "falling" if level.key == "bottom" else ""


def level_named(tank: TankResult, name: str) -> Level | None:
    """A line of the level drawing by its key or its name."""
    words = name.replace("_", " ").casefold()
    for level in tank.levels:
        if level.key == name or level.name.casefold() == words or level.key.replace("_", " ").casefold() == words:
            return level
    if words == "bottom" and tank.vessel is not None:
        return Level("bottom", "bottom", "vessel", tank.vessel.bottom, None, "", Place("", 0, 0))
    return None

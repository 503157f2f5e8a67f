"""Names of levels: overflow, a mark, a nozzle, a point. Each must be one of the tank it is said of."""

from collections.abc import Iterator

from generator.model.definition import Mapping
from generator.model.finding import Mistake
from generator.model.quantity import split
from generator.model.scalar import Text
from generator.model.tank import Levels as TankLevels
from generator.model.units import UNITS
from generator.read import forms, raw, words
from generator.read.near import near_nozzle, near_tag

_NEED_KEYS = ("before", "above", "below", "covers")
_STREAM_WORDS = ("lowest", "normal", "highest", "none")


class Levels:
    """The levels of each tank, and the tank that each point, alarm and hazard belongs to."""

    def __init__(self, whole: Mapping) -> None:
        self.whole = whole
        self.tanks = dict(raw.blocks(whole, "tanks"))
        self.points: dict[str, list[str]] = {}
        for switch, _ in raw.blocks(whole, "switches"):
            tank = self.tank_of(switch)
            if tank is not None:
                self.points.setdefault(tank, []).append(switch)

    def tank_of(self, tag: str) -> str | None:
        """The tank of a switch or an instrument; None where it cannot be told."""
        body = raw.text(raw.block(self.whole, "switches", tag), "in") or tag
        tank = raw.text(raw.block(self.whole, "instruments", body), "tank")
        return str(tank) if tank in self.tanks else None

    def tanks_of_alarm(self, alarm: Mapping) -> list[str]:
        """The tanks that an alarm can tell of: by what raises it and by what follows it."""
        causes: list[str] = []
        for tag in (raw.text(alarm, "from"), raw.text(alarm, "before")):
            if tag is not None:
                causes += [tag, *_texts(raw.block(self.whole, "interlocks", tag).get("when"))]
        return list(dict.fromkeys(tank for cause in causes if (tank := self.tank_of(cause)) is not None))

    def names(self, tank: str) -> list[str]:
        """Every name of a level of a tank that has a height."""
        block = self.tanks[tank]
        return ["bottom", *raw.block(block, "levels"), *raw.block(block, "marks"),
                *(name for name in raw.block(block, "nozzles") if "height" in raw.block(block, "nozzles", name)),
                *self.points.get(tank, ())]

    def mistake(self, name: Text, tank: str, path: str) -> Mistake | None:
        """What is wrong with a name of a level of a tank; None where nothing is."""
        if name in self.names(tank):
            return None
        if name in TankLevels.model_fields:
            stands, cure = f"`{name}` is not given in its levels", f"write `{name}:` under `levels` of {tank}"
        elif name in raw.block(self.tanks[tank], "nozzles"):
            stands, cure = f"nozzle `{name}` has no height", f"write `height:` for nozzle {name} of {tank}"
        elif name in raw.block(self.whole, "switches"):
            other = self.tank_of(name)
            stands, cure = f"`{name}` is a point of {other or 'no known tank'}", ""
        elif _dimension(name) == "length":
            stands = f"{words.shown(name)} is a height and no name"
            cure = (f"known there: {', '.join(self.names(tank))}; or add a mark of that height under `marks` of {tank} "
                    "and name it here")
        else:
            own = [one for one in self.names(tank) if one not in self.points.get(tank, ())]
            stands, cure = f"{words.shown(name)} is none of them", near_tag(name, self.points.get(tank, ())) or (
                words.did_you_mean(name, [*own, *TankLevels.model_fields]) if not any(map(str.isdigit, name)) else "")
        return Mistake(name.place, "unknown-level", path, f"a level of {tank} must stand here", stands,
                       cure or f"known there: {', '.join(self.names(tank))}")


def level_mistakes(whole: Mapping, levels: Levels) -> Iterator[Mistake]:
    """Every name of a level or a nozzle that its tank does not have."""
    for name, tanks, path in _named(whole, levels):
        found = [levels.mistake(name, tank, path) for tank in tanks]
        if found and all(found) and found[0]:
            yield found[0]
    for tag, hazard in raw.blocks(whole, "hazards"):
        yield from _begins(tag, hazard, levels)
    for tag, alarm in raw.blocks(whole, "alarms"):
        until = raw.text(alarm, "time_to")
        if until is not None and not levels.tanks_of_alarm(alarm):
            yield Mistake(
                until.place,
                "no-tank",
                f"alarms.{tag}.time_to",
                "a level of the alarm's tank must stand here",
                "nothing in `from` or `before` belongs to a tank",
                "name the point that follows in `before`",
            )
    yield from _nozzles(whole, levels)
    yield from _scenarios(whole)


def _named(whole: Mapping, levels: Levels) -> Iterator[tuple[Text, list[str], str]]:
    for tag, switch in raw.blocks(whole, "switches"):
        tank = levels.tank_of(tag)
        for number, need in enumerate(raw.members(raw.block(switch, "height"), "needs"), 1):
            for key in _NEED_KEYS:
                name = raw.text(need, key)
                if name is not None and tank is not None:
                    yield name, [tank], f"switches.{tag}.height.needs[{number}].{key}"
    for tag, pump in raw.blocks(whole, "pumps"):
        name, tank = raw.text(raw.block(pump, "suction"), "draws_air_below"), raw.text(raw.block(pump, "suction"), "tank")
        if name is not None and tank in levels.tanks:
            yield name, [str(tank)], f"pumps.{tag}.suction.draws_air_below"
    for tag, alarm in raw.blocks(whole, "alarms"):
        name = raw.text(alarm, "time_to")
        if name is not None:
            yield name, levels.tanks_of_alarm(alarm), f"alarms.{tag}.time_to"
    for tag, scenario in raw.blocks(whole, "scenarios"):
        name, tank = raw.text(scenario, "starts_at"), raw.text(scenario, "tank")
        if name is not None and tank in levels.tanks and _dimension(name) != "length":
            yield name, [str(tank)], f"scenarios.{tag}.starts_at"
        for beside, level in raw.block(scenario, "beside").items():
            if beside in levels.tanks and isinstance(level, Text) and _dimension(level) != "length":
                yield level, [str(beside)], f"scenarios.{tag}.beside.{beside}"


def _begins(tag: str, hazard: Mapping, levels: Levels) -> Iterator[Mistake]:
    at = raw.text(hazard, "begins_at")
    if at is None:
        return
    path = f"hazards.{tag}.begins_at"
    tank = max((tank for tank in levels.tanks if at.startswith(f"{tank} ")), key=len, default=None)
    if tank is None:
        word = at.rsplit(" ", 1)[0]
        yield Mistake(
            at.place,
            "unknown-tag",
            path,
            "a tank and one of its levels must stand here, as in `T-210 overflow`",
            f"{words.shown(at)} names no tank",
            near_tag(word, levels.tanks),
        )
        return
    found = levels.mistake(Text(at[len(tank):].strip(), at.place), tank, path)
    if found:
        yield found


def _nozzles(whole: Mapping, levels: Levels) -> Iterator[Mistake]:
    uses = [(raw.text(body, "nozzle"), [raw.text(body, "tank")], f"instruments.{tag}.nozzle")
            for tag, body in raw.blocks(whole, "instruments")]
    uses += [(raw.text(stream, "nozzle"), [raw.text(stream, "from"), raw.text(stream, "into")], f"streams.{tag}.nozzle")
             for tag, stream in raw.blocks(whole, "streams")]
    for name, ends, path in uses:
        tanks = [tank for tank in ends if tank in levels.tanks]
        known = [nozzle for tank in tanks for nozzle in raw.block(levels.tanks[str(tank)], "nozzles")]
        if name is not None and tanks and name not in known:
            cure = near_nozzle(name, known) or f"write it under `nozzles` of {' or '.join(map(str, tanks))}"
            yield Mistake(
                name.place,
                "unknown-nozzle",
                path,
                f"a nozzle of {' or '.join(map(str, tanks))} must stand here",
                f"{words.shown(name)} is none of them",
                cure,
            )


def _scenarios(whole: Mapping) -> Iterator[Mistake]:
    for tag, scenario in raw.blocks(whole, "scenarios"):
        for number, event in enumerate(raw.members(scenario, "events"), 1):
            for stream, flow in raw.block(event, "streams").items():
                if isinstance(flow, Text) and flow not in _STREAM_WORDS and _dimension(flow) != "flow":
                    yield Mistake(flow.place, "unknown-word", f"scenarios.{tag}.events[{number}].streams.{stream}",
                                  f"{forms.one_of(_STREAM_WORDS)}, or a flow with its unit, must stand here",
                                  f"{words.shown(flow)} stands", words.did_you_mean(flow, _STREAM_WORDS))


def _dimension(text: str) -> str:
    try:
        return UNITS.get(split(text)[1], ("",))[0]
    except ValueError:
        return ""


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, Text):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _texts(part)
    elif isinstance(value, list):
        for part in value:
            yield from _texts(part)

"""What has a form but cannot exist: a vessel without size, a span upside down, a vote that can never be reached.

Each function looks at one kind of block, wherever it stands. Levels outside the vessel, orders and distances are not
judged here: they have a meaning, and the review says what it thinks of them.
"""

import math
from collections.abc import Callable, Iterator
from typing import Any, get_args

from generator.model import defaults, document, instrument, interlock, machine, need, tank
from generator.model.condition import Condition, Vote
from generator.model.definition import Definition
from generator.model.finding import Mistake
from generator.model.quantity import Quantity
from generator.read import forms
from generator.read.circles import circles
from generator.read.vessel import SHAPES, Fault, not_zero, rising


def mistakes(items: dict[str, dict[str, Definition]]) -> Iterator[Mistake]:
    """Everything impossible in the members of each noun; those that could not be read are not among them."""
    for noun, members in items.items():
        for end, block in members.items():
            for path, inner in _blocks(block, noun + end):
                for place, key, must, stands, cure in _faults(inner):
                    yield Mistake(place, "impossible", f"{path}.{key}" if key else path, must, stands, cure)
    yield from _inlets(items)
    yield from circles(items)


def _inlets(items: dict[str, dict[str, Definition]]) -> Iterator[Mistake]:
    """What a pump lacks that draws from a tank of the plant; of one that draws from outside the plant asks nothing."""
    for end, pump in items.get("pumps", {}).items():
        if not isinstance(pump, machine.Pump) or pump.suction.tank == machine.OUTSIDE:
            continue
        for key, form in (("kind", forms.one_of(get_args(machine.InletKind))), ("height", "a length in m or mm")):
            if getattr(pump.suction, key) is None:
                yield Mistake(pump.suction.place, "value-missing", f"pumps{end}.suction.{key}", f"`{key}` must be given",
                              "it is not", f"write `{key}:` and {form}, or `tank: {machine.OUTSIDE}`")


def _blocks(value: Any, path: str) -> Iterator[tuple[str, Any]]:
    """Every block and condition below a value, with its path in YAML keys."""
    if isinstance(value, Definition):
        yield path, value
        for name, field in type(value).model_fields.items():
            yield from _blocks(getattr(value, name), f"{path}.{field.alias or name}")
    elif isinstance(value, Condition):
        yield path, value
        for part in value.parts():
            yield from _blocks(part, path)
    elif isinstance(value, tuple):
        for number, part in enumerate(value, 1):
            yield from _blocks(part, f"{path}[{number}]")
    elif isinstance(value, dict):
        for key, part in value.items():
            yield from _blocks(part, f"{path}.{key}")


def _faults(block: Any) -> Iterator[Fault]:
    look = _LOOKS.get(type(block))
    if look is not None:
        yield from look(block)


def _span(block: Any) -> Iterator[Fault]:
    yield from rising(block, "lowest", "highest", equal=True)


def _range(block: instrument.MeasuringRange) -> Iterator[Fault]:
    yield from rising(block, "lower", "upper")


def _flow(block: tank.StreamFlow) -> Iterator[Fault]:
    yield from rising(block, "lowest", "highest", equal=True)
    yield from rising(block, "lowest", "normal", equal=True)
    yield from rising(block, "normal", "highest", equal=True)


def _density(block: tank.DensitySpan) -> Iterator[Fault]:
    yield from not_zero(block, "lowest")
    yield from _span(block)


def _levels(block: tank.Levels) -> Iterator[Fault]:
    yield from rising(block, "normal_low", "normal_high")


def _ratings(block: instrument.Ratings) -> Iterator[Fault]:
    yield from rising(block, "temperature_lowest", "temperature_highest", equal=True)


def _geometry(block: instrument.Geometry) -> Iterator[Fault]:
    yield from not_zero(
        block, "arm", "tether", "float_diameter", "float_height", "float_mass", "float_volume", "tube_length"
    )
    for key in ("angle_up", "angle_down"):
        angle: Quantity | None = getattr(block, key)
        if angle is not None and abs(angle.si) > math.pi / 2:
            yield (
                angle.place,
                key,
                "an angle over or under the horizontal is 90 deg at most",
                f"`{angle.written}` stands",
                "",
            )


def _stream(block: tank.Stream) -> Iterator[Fault]:
    if block.from_ == block.into:
        stands = "both are outside" if block.into == "outside" else f"both are {block.into}"
        yield (block.place_of("into"), "into", "a stream must lead from one place into another", stands,
               "write `outside` for what lies beyond the plant's tanks")


def _need(block: need.Reserve) -> Iterator[Fault]:
    if block.reserve is not None and block.lasts is not None:
        yield (block.place_of("lasts"), "lasts", "a reserve is a volume or a time of a demand, not both", "both stand",
               "write two needs")
    elif block.lasts is not None and block.of is None:
        yield (block.place, "of", "`of` must name the stream that draws on the reserve", "it is not given",
               "write `of:` and the tag of a stream")


def _group(block: machine.PumpGroup) -> Iterator[Fault]:
    yield from _different(block, "pumps", 1)


def _different(block: Any, key: str, least: int) -> Iterator[Fault]:
    members: tuple[Any, ...] = getattr(block, key)
    if len(members) < least:
        yield block.place_of(key), key, f"at least {least} must stand here", f"{len(members)} stand", ""
    for number, member in enumerate(members):
        if member in members[:number]:
            yield member.place, key, "each must stand once", f"`{member}` stands twice", "take one out"


def _never_together(block: tank.NeverTogether) -> Iterator[Fault]:
    yield from _different(block, "streams", 2)


def _start_stop(block: interlock.StartStop) -> Iterator[Fault]:
    if block.stops in block.starts:
        yield (block.stops.place, "stops", "the point that stops must be another than those that start",
               f"`{block.stops}` does both", "")


def _alarm(block: interlock.Alarm) -> Iterator[Fault]:
    if len(block.deviation_of) not in (0, 2):
        yield (block.place_of("deviation_of"), "deviation_of", "two instruments must stand here",
               f"{len(block.deviation_of)} stand", "")


def _plant(block: document.Plant) -> Iterator[Fault]:
    if block.budget_share is not None and not 0 < block.budget_share <= 100:
        yield (block.place_of("budget_share"), "budget_share",
               "a share of the available time lies between 1 and 100 percent", f"{block.budget_share} stands", "")


def _waves(block: defaults.Waves) -> Iterator[Fault]:
    yield from not_zero(block, "period")


def _vote(block: Vote) -> Iterator[Fault]:
    if block.needed > len(block.inner):
        yield (block.place, "", "a vote must be reachable", f"{block.needed} of {len(block.inner)} are asked for",
               f"write `{len(block.inner)} of`, or add what is missing")


def _interlock(block: interlock.Interlock) -> Iterator[Fault]:
    """A bypass that takes out a member needs a vote, and one that is left to vote afterwards."""
    bypass, vote = block.bypass, block.vote
    if bypass is None or bypass.member_counts is None:
        return
    place, must = bypass.place_of("takes_out"), "a bypass of one member needs a vote that still means something without it"
    if vote is None:
        yield place, "bypass.takes_out", must, "the cause has no vote", "write `the whole function`"
    elif block.vote_left is not None and not 1 <= block.vote_left[0] <= block.vote_left[1]:
        stands = f"{block.vote_left[0]} of {block.vote_left[1]} would be left"
        yield place, "bypass.takes_out", must, stands, "let the member count the other way, or write `the whole function`"


_LOOKS: dict[type[Any], Callable[[Any], Iterator[Fault]]] = {
    **SHAPES,
    tank.DensitySpan: _density, tank.TemperatureSpan: _span, tank.ConductivitySpan: _span, tank.Levels: _levels,
    tank.StreamFlow: _flow, tank.Stream: _stream, tank.NeverTogether: _never_together,
    instrument.MeasuringRange: _range, instrument.Reach: _span, instrument.Ratings: _ratings,
    instrument.Geometry: _geometry, need.Reserve: _need, machine.PumpGroup: _group, interlock.StartStop: _start_stop,
    interlock.Alarm: _alarm, interlock.Interlock: _interlock, document.Plant: _plant, defaults.Waves: _waves, Vote: _vote,
}


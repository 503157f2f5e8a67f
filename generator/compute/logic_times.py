"""From what a point tells to the order that reaches a final element: links, delay, logic, relay.

Time budgets, run-downs and courses ask here, so that they count the same. The logic counts with two scans: a change that
just missed one is seen by the next, and its order goes out at the end of that.

Source: common practice, no source.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from generator.compute.inherited import relay_time, scan_time
from generator.compute.links import links_ordered, links_read
from generator.model.interlock import Control, Interlock
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.scalar import Tag


class Step(Struct, frozen=True):
    """One time of a chain; None where it is not recorded. `often` is how often it passes, `of` what then stands.

    `word` says which part of a budget it is, `field` where the time would stand.
    """

    symbol: str
    name: str
    time: Duration | None
    often: int = 1
    of: Tag | None = None
    word: str = ""
    field: str = ""


def signal(plant: Definitions, function: Tag, point: Tag) -> Iterator[Step]:
    """The links by which a point reaches an interlock, a control or an alarm."""
    for number, link in enumerate(links_read(plant, function, point), 1):
        yield _carried(plant, link, "signal", f"t_{{in{number}}}")


def logic(plant: Definitions, tank: str, function: Tag) -> Iterator[Step]:
    """Delay, logic, relay and links of an interlock or a control."""
    lock = plant.interlocks.get(function)
    if lock is not None and lock.on_delay is not None:
        yield Step("t_i", "delay of the interlock", lock.on_delay, word="delay of the interlock")
    yield from answer(plant, tank, function)


def answer(plant: Definitions, tank: str, function: Tag) -> Iterator[Step]:
    """Logic, relay and links from the decision of an interlock or a control to its order, given or taken back.

    What runs in relays has no scan, what a device does itself no relay either; a logic time that is written counts.
    """
    by = plant.interlocks.get(function) or plant.controls[function]
    own = by.logic_time if isinstance(by, Interlock) else None
    if own is not None:
        yield Step("t_l", "time of the logic", own, word="logic")
    elif by.by != "device" and not runs_in_relays(by):
        yield Step("t_{scan}", "scan of the logic, counted twice", scan_time(plant, tank), often=2, word="logic",
                   field=f"tanks/{tank}/defaults/scan_time")
    if by.by != "device":
        yield Step("t_y", "time of the output relay", relay_time(plant, tank), word="relay",
                   field=f"tanks/{tank}/defaults/relay_time")
    for number, link in enumerate(links_ordered(plant, function), 1):
        yield _carried(plant, link, "order", f"t_{{out{number}}}")


def seconds(steps: Iterable[Step]) -> float:
    """The sum of some times; one that is not recorded counts as none. [s]"""
    return sum(step.often * step.time.si for step in steps if step.time is not None)


def acting(plant: Definitions, tag: Tag) -> tuple[float, float]:
    """Time from a cause of an interlock to its order at the devices, and from its end to the release, by its slowest way. [s]"""
    lock = plant.interlocks[tag]
    reach = max((seconds(signal(plant, tag, Tag(cause))) for cause in lock.when.tags()), default=0.0)
    answered = max((seconds(answer(plant, tank, tag)) for tank in plant.tanks_of_interlock[tag]), default=0.0)
    on, off = (delay.si if delay else 0.0 for delay in (lock.on_delay, lock.off_delay))
    return reach + on + answered, reach + off + answered


def _carried(plant: Definitions, link: Tag, what: str, symbol: str) -> Step:
    name = f"{what} over {link}"
    return Step(symbol, name, plant.links[link].carries_within, word=name, field=f"links/{link}/carries_within")


def runs_in_relays(by: Interlock | Control) -> bool:
    """Whether the logic has no scan: relays alone, as the words of a control may say too ("electrode relays in LP-2")."""
    words = (by.by or "").lower()
    return "relay" in words and "controller" not in words and "system" not in words

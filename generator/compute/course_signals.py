"""Signals that tell where a final element stands: they follow it, with the delay of its feedback where one is recorded.

A running signal is on while its element runs or is on; a position signal in the state that it names, and where it names none
it tells nothing. The time of a feedback is counted from the order, so that of it remains what the element's own start, stop
or stroke leaves: that is the latest at which a sound signal comes.
"""

from collections.abc import Iterable, Iterator, Mapping

from generator.compute.timed import Moving, Timed
from generator.model.plant import Definitions
from generator.model.scalar import Tag

RUNS = frozenset({"running", "on"})


def told_by(plant: Definitions, tags: Iterable[Tag]) -> dict[Tag, tuple[Tag, frozenset[str]]]:
    """The signals that the logic reads of some elements: of which, and in which of its states each is on."""
    made = {}
    for tag in tags:
        for name in plant.logic_signals_of[tag]:
            signal = plant.signals[name]
            states = RUNS if signal.kind == "running" else frozenset({signal.state} if signal.state else ())
            if signal.kind in ("running", "position") and states:
                made[name] = (tag, states)
    return made


class Signals:
    """The signals of the final elements of a course at one moment."""

    def __init__(self, plant: Definitions, moving: Mapping[Tag, Moving], times: Mapping[Tag, tuple[float, float]]) -> None:
        self.moving, self.told = moving, told_by(plant, moving)
        self.timed = {name: Timed(moving[tag].state in states) for name, (tag, states) in self.told.items()}
        self.lags = {tag: _lags(plant, tag, times[tag]) for tag, _ in self.told.values()}

    def follow(self, now: float, is_instant: bool) -> list[Tag]:
        """Let every signal follow its element; those that have changed."""
        changed = []
        for name, (tag, states) in self.told.items():
            element, timed = self.moving[tag], self.timed[name]
            before = timed.value
            lag = 0.0 if is_instant else self.lags[tag][0 if element.state in ("closed", "stopped", "off") else 1]
            if timed.follow(element.state in states, now, lag, lag) != before:
                changed.append(name)
        return changed

    def dues(self) -> Iterator[float]:
        """When a signal will have come."""
        return (one.due for one in self.timed.values() if one.due is not None)


def _lags(plant: Definitions, tag: Tag, times: tuple[float, float]) -> tuple[float, float]:
    """How long after its element, at rest and on, a signal comes at the latest. [s]"""
    within = getattr(getattr(plant.find(tag), "feedback", None), "within", None)
    time = within.si if within is not None else 0.0
    return max(time - times[0], 0.0), max(time - times[1], 0.0)

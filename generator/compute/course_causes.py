"""Which cause of a trip came first while levels move: since when each of its causes stands, and what a memory would hold."""

from collections.abc import Callable, Mapping

from generator.compute.logic_states import first_cause
from generator.model.condition import Condition, in_short
from generator.model.interlock import Interlock
from generator.model.scalar import Tag


class FirstCauses:
    """The first causes of the trips of a course. The memory is that of the course: whether the plant has one, its words say."""

    def __init__(self, locks: Mapping[Tag, Interlock]) -> None:
        self.locks = {tag: lock for tag, lock in locks.items() if lock.kind == "trip"}
        self.causes = {tag: tuple((in_short(way), way) for way in lock.causes) for tag, lock in self.locks.items()}
        self.since: dict[Tag, dict[str, float]] = {tag: {} for tag in self.locks}
        self.held: dict[Tag, tuple[str, ...]] = dict.fromkeys(self.locks, ())

    def follow(self, tag: Tag, now: float, stands: Callable[[Condition], bool], is_pushed: bool, is_active: bool) -> None:
        """One step of a trip: which of its causes stand, whether its manual stop is pushed, and whether it acts."""
        lock = self.locks.get(tag)
        if lock is None:
            return
        before = self.since[tag]
        on = [name for name, way in self.causes[tag] if stands(way)] + ([str(lock.manual_stop)] if is_pushed else [])
        self.since[tag] = {name: before.get(name, now) for name in on}
        if not is_active:
            self.held[tag] = first_cause(self.held[tag], (), True)
        elif not self.held[tag]:
            self.held[tag] = first_cause((), self._earliest(tag, lock), False)

    def _earliest(self, tag: Tag, lock: Interlock) -> tuple[str, ...]:
        """The causes that came first: several where they came closer together than the plant tells apart."""
        since = self.since[tag]
        apart = lock.first_cause.told_apart if lock.first_cause is not None else None
        first = min(since.values(), default=0.0)
        return tuple(name for name, time in since.items() if time - first < max((apart.si if apart else 0.0) - 1e-9, 1e-9))

    def words(self, tag: Tag) -> str:
        """What an event says of the first cause of a trip that has begun to act: "first cause LSHH-110"."""
        held = self.held.get(tag, ())
        if not held:
            return ""
        said = f"first cause {' or '.join(held)}" + (", not told apart" if len(held) > 1 else "")
        if len(self.causes[tag]) == 1:
            return said
        kept = self.locks[tag].first_cause
        if kept is None:
            return f"{said} (not recorded whether anything keeps it)"
        return said if kept.held else f"{said} (nothing keeps it)"

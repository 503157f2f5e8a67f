"""A yes or no that follows another after a delay, and a final element that takes time to move."""

from msgspec import Struct


class Timed(Struct):
    """A state that follows what is asked of it: on after an on-delay without a break, off after an off-delay.

    >>> relay = Timed()
    >>> [relay.follow(True, now, on=2.0, off=0.0) for now in (0.0, 1.0, 2.0)], relay.follow(False, 3.0, on=2.0, off=0.0)
    ([False, False, True], False)
    """

    value: bool = False
    due: float | None = None

    def follow(self, is_asked: bool, now: float, on: float, off: float) -> bool:
        """The state at a time, from what is asked from that time on."""
        if is_asked == self.value:
            self.due = None
            return self.value
        if self.due is None:
            self.due = now + (on if is_asked else off)
        if self.due <= now + 1e-9:
            self.value, self.due = is_asked, None
        return self.value


class Moving(Struct):
    """A final element: the state it has, the one it moves to, and when it is there. The step comes at the end."""

    state: str
    target: str = ""
    due: float | None = None

    def go(self, target: str, now: float, time: float) -> bool:
        """Order a state; whether it is there now and was not before.

        >>> valve = Moving("open")
        >>> valve.go("closed", 0.0, 8.0), valve.go("closed", 8.0, 8.0), valve.state
        (False, True, 'closed')
        """
        if target == self.state:
            self.target, self.due = target, None
            return False
        if self.target != target or self.due is None:
            self.target, self.due = target, now + time
        if self.due > now + 1e-9:
            return False
        self.state, self.due = target, None
        return True

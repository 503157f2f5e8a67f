"""Needs of a point that no height can keep together: one fixes the height, and it stands beyond a limit of another."""

from collections.abc import Sequence

from generator.compute.needs import met_within
from generator.model.quantity import Length
from generator.model.record import Record
from generator.model.results import NeedResult

HAIR = 1e-9
LIMITS = {"at most": "allows {:.3f} m at most", "at least": "asks for {:.3f} m at least",
          "exactly": "asks for {:.3f} m exactly"}


def of_exact(found: Sequence[NeedResult], step: Length | None) -> str:
    """The conflict of the first need that fixes the height with all that it breaks, in words; nothing where it breaks none.

    A fixed height is met within half a setpoint step, so much is granted before it breaks a limit.
    """
    exact = next((need for need in found if need.sense == "exactly" and isinstance(need.limit, Record)), None)
    if exact is None or not isinstance(exact.limit, Record):
        return ""
    broken = _broken([need for need in found if need is not exact], exact.limit.value, met_within(step), step)
    return f"the needs conflict: {', '.join(_said(need) for need in (exact, *broken))}" if broken else ""


def broken_at(found: Sequence[NeedResult], height: float, step: Length | None) -> str:
    """What a height [m] breaks, in words; nothing where it keeps every need that could be worked out."""
    return ", ".join(_said(need) for need in _broken(found, height, 0.0, step))


def _broken(found: Sequence[NeedResult], height: float, grant: float, step: Length | None) -> list[NeedResult]:
    """The needs that no height within a grant of the given one keeps."""
    broken = []
    for need in found:
        if not isinstance(need.limit, Record):
            continue
        over = height - need.limit.value
        far = {"at most": over - grant, "at least": -over - grant, "exactly": abs(over) - grant - met_within(step)}
        if far[need.sense] > HAIR:
            broken.append(need)
    return broken


def _said(need: NeedResult) -> str:
    assert isinstance(need.limit, Record)
    return f"{need.words} {LIMITS[need.sense].format(need.limit.value)}"

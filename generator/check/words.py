"""Values in the words of a finding: short, rounded, and the same every time."""

from collections.abc import Iterable


def mm(metres: float) -> str:
    """A length in whole millimetres.

    >>> mm(0.0354)
    '35 mm'
    """
    return f"{round(metres * 1000):d} mm"


def height(metres: float) -> str:
    """A height in metres, to the millimetre.

    >>> height(1.55)
    '1.550 m'
    """
    return f"{metres:.3f} m"


def time(seconds: float) -> str:
    """A time in the unit that a person would use.

    >>> time(372.0), time(8.4), time(86400.0 * 3)
    ('6.2 min', '8.4 s', '3 d')
    """
    if abs(seconds) < 90:
        return f"{seconds:.3g} s"
    if abs(seconds) < 5400:
        return f"{seconds / 60:.3g} min"
    return f"{seconds / 3600:.3g} h" if abs(seconds) < 172800 else f"{round(seconds / 86400):d} d"


def flow(si: float) -> str:
    """A flow in cubic metres an hour.

    >>> flow(0.02)
    '72 m3/h'
    """
    return f"{si * 3600:.4g} m3/h"


def listed(parts: Iterable[str]) -> str:
    """Words joined as a sentence joins them.

    >>> listed(["A", "B", "C"])
    'A, B and C'
    """
    words = list(dict.fromkeys(parts))
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else ""

"""Days as they stand on a page: 14 Nov 2026, the same whatever the machine's language."""

from datetime import date

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day(when: date) -> str:
    """A day in words.

    >>> day(date(2026, 11, 4))
    '4 Nov 2026'
    """
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"

"""The tag that somebody may have meant: only one that differs by a slip of the pen is offered.

A suggestion that names another tank's point, or the low one for the high one two letters away, is worse than none.
"""

import re
from collections.abc import Iterable

_NO_SIGN = re.compile(r"[^a-z0-9]")


def near_tag(tag: str, known: Iterable[str]) -> str:
    """A cure that offers the known tag which one slip makes of a written one; nothing where there is none.

    One slip in letters or number counts, capitals and signs none; two in a word without a number, if it is long.

    >>> near_tag("LSHH-120", ["LSL-120", "LSHH-210"])
    'did you mean `LSHH-210`?'
    >>> near_tag("LSHH-701", ["LSLL-701", "LSHH-310", "T-701"])
    ''
    """
    ranked = sorted(((slips, number, one) for number, one in enumerate(known)
                     if (slips := _slips(_plain(tag), _plain(one))) is not None))
    return f"did you mean `{ranked[0][2]}`?" if ranked else ""


def near_nozzle(name: str, known: Iterable[str]) -> str:
    """A cure for a nozzle's name: as for a tag, but the one digit of a short name is never taken for a slip.

    >>> near_nozzle("n3", ["N1", "N3"]), near_nozzle("M3", ["N1", "N3"]), near_nozzle("N7", ["N1", "N3"])
    ('did you mean `N3`?', 'did you mean `N3`?', '')
    """
    digits = re.sub(r"\D", "", name)

    def may_be(other: str) -> bool:
        return other == digits or len(other) == len(digits) > 1

    return near_tag(name, (one for one in known if may_be(re.sub(r"\D", "", one))))


def _plain(tag: str) -> str:
    return _NO_SIGN.sub("", tag.lower())


def _slips(written: str, known: str) -> int | None:
    """How many slips part two tags; None where too many do."""
    letters = edits(re.sub(r"\d", "", written), re.sub(r"\d", "", known))
    numbers = edits(re.sub(r"\D", "", written), re.sub(r"\D", "", known))
    has_number = any(sign.isdigit() for sign in written + known)
    most = 1 if has_number or len(written) < 6 else 2
    return letters + numbers if letters + numbers <= most else None


def edits(one: str, other: str) -> int:
    """Letters to put in, take out, change, or exchange with their neighbour, to make one word of another.

    >>> edits("watr", "water"), edits("120", "210"), edits("lsll", "lshh")
    (1, 1, 2)
    """
    before: list[int] = []
    row = list(range(len(other) + 1))
    for at, letter in enumerate(one, 1):
        older, before, row = before, row, [at]
        for to, wanted in enumerate(other, 1):
            best = min(before[to] + 1, row[to - 1] + 1, before[to - 1] + (letter != wanted))
            if at > 1 and to > 1 and letter == other[to - 2] and one[at - 2] == wanted:
                best = min(best, older[to - 2] + 1)
            row.append(best)
    return row[-1]

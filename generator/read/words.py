"""What is said of each kind of fault: a rule in words, what must stand, what stands, and the cure."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic_core import ErrorDetails

MOST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Said:
    """The words of one mistake. `at_key` puts it at the key rather than at its value."""

    rule: str
    must: str
    stands: str
    cure: str = ""
    at_key: bool = False


def sentence(detail: ErrorDetails, value: Any) -> Said:
    """The words for one fault that the validator found at a value."""
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "missing":
        return Said("value-missing", f"`{detail['loc'][-1]}` must stand here", "it is not given", "write it", at_key=True)
    if kind == "extra_forbidden":
        return Said("unknown-key", "only keys of the language may stand here", f"`{detail['loc'][-1]}` is none", at_key=True)
    return Said("wrong-form", detail["msg"], f"{shown(value)} stands here", str(context.get("cure", "")))


def shown(value: Any) -> str:
    """A value as a message shows it: on one line, cut where it is long."""
    if isinstance(value, dict):
        return "a block of keys"
    if isinstance(value, list):
        return "a list"
    text = " ".join(str(value if value is not None else "").split()).replace("`", "'")
    if not text:
        return "nothing"
    return f"`{text if len(text) <= MOST_SHOWN else text[:MOST_SHOWN] + '…'}`"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like a misspelt one, capitals and separators left aside; None where none is near."""
    plain: dict[str, str] = {}
    for candidate in known:
        plain.setdefault(_plain(candidate), candidate)
    if _plain(word) in plain:
        return plain[_plain(word)]
    found = difflib.get_close_matches(_plain(word), list(plain), n=1, cutoff=0.6)
    return plain[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A cure that offers the nearest known word, or nothing."""
    near = nearest(word, known)
    return f"did you mean `{near}`?" if near else ""


def _plain(word: str) -> str:
    return word.lower().replace("-", "").replace("_", "").replace(" ", "")

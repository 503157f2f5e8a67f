"""Free text of the definitions as running text: tags become links, references become amounts."""

import re
from functools import lru_cache

from generator.model.page import Amount, Part, Running
from generator.model.record import Absence
from generator.model.units import ALIASES, UNITS
from generator.pages import amounts
from generator.pages.context import Context

_QUOTED = re.compile(r"`([^`]+)`")  # as messages in the terminal mark a key
REFERENCE = re.compile(r"\{([^{}]*)\}")
_SOURCED = re.compile(r"(?P<value>[^:]+):\s*(?P<source>.+)\Z")


_TOKEN = re.compile(r"(?<![\w-])[A-Za-z0-9](?:[\w.-]*[A-Za-z0-9])?(?![\w-])")


def running(context: Context, text: str | None) -> Running:
    """Free text with its tags linked and its `{references}` filled in."""
    if not text:
        return ()
    text = _QUOTED.sub("“\\1”", text)
    parts: list[Part] = []
    end = 0
    for match in REFERENCE.finditer(text):
        parts += _linked(context, text[end:match.start()])
        parts.append(reference(context, match[1]))
        end = match.end()
    return tuple(parts + _linked(context, text[end:]))


def _linked(context: Context, text: str) -> list[Part]:
    parts: list[Part] = []
    end = 0
    for match in _spoken(context).finditer(text):
        if match[0] in context.linkable:
            parts += [text[end:match.start()], context.paths.link(match[0])]
            end = match.end()
    parts.append(text[end:])
    return [part for part in parts if part != ""]


def _spoken(context: Context) -> re.Pattern[str]:
    """What may be a tag in a text: any word of its form, and the tags that hold a space."""
    return _with_spaces(tuple(tag for tag in context.spaced if tag))


@lru_cache(maxsize=8)
def _with_spaces(tags: tuple[str, ...]) -> re.Pattern[str]:
    spaced = "".join(rf"(?<![\w-]){re.escape(tag)}(?![\w-])|" for tag in sorted(tags, key=len, reverse=True))
    return re.compile(spaced + _TOKEN.pattern)


def reference(context: Context, inner: str) -> Amount:
    """One reference: `LSHH-210 height`, `T-210 volume to overflow in m3`, or a sourced value `15 min: site rule 4`."""
    words, _, unit = inner.partition(" in ")
    outcome = context.values.get(" ".join(words.split()))
    sourced = _SOURCED.match(inner)
    if outcome is None and sourced and inner[:1].isdigit():
        return Amount(sourced["value"].strip(), "", "", f"given: {sourced['source'].strip()}")
    if outcome is None:
        return Amount(f"{{{inner}}}", "", "", "no such value")
    unit = ALIASES.get(unit.strip(), unit.strip())
    if not unit or isinstance(outcome, Absence):
        return amounts.outcome(outcome)
    if unit not in UNITS or UNITS[unit][0] != outcome.dimension:
        return Amount(f"{{{inner}}}", "", "", "this value has no such unit")
    _, factor, offset = UNITS[unit]
    decimals = max(2 if unit in ("m", "m3") else 1, amounts.decimals_of_two((outcome.value - offset) / factor))
    return amounts.in_unit(outcome.value, unit, decimals, outcome.key)

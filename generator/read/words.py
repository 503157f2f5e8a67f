"""What is said of each kind of fault: a rule in words, what must stand, what stands, and the cure."""

import difflib
import re
from collections.abc import Iterable
from typing import Any, get_args

from msgspec import Struct
from pydantic_core import ErrorDetails

from generator.model.condition import Condition
from generator.model.definition import Definition
from generator.model.need import OPENERS
from generator.model.quantity import Stand, split
from generator.model.units import UNITS
from generator.read import forms, likely
from generator.read.forms import Form

MEANT = {
    "up": "rising", "high": "rising", "rises": "rising", "down": "falling", "low": "falling", "falls": "falling",
    "shut": "closed", "close": "closed", "closes": "closed", "shuts": "closed", "opens": "open", "opened": "open",
    "stop": "stopped", "stops": "stopped", "start": "running", "starts": "running", "started": "running", "run": "running",
}
"""Words that people write for one of the language."""
_VOTE = re.compile(r"([1-9][0-9]?)\s*(?:oo|of|out of|/|from)\s*[0-9]{0,2}\Z", re.IGNORECASE)
_SUM = re.compile(r"([0-9.]+)\s*([-+])\s*([0-9.]+)\s*([A-Za-z][A-Za-z0-9/ ]*)\Z")
MOST_SHOWN = 40
MOST_LISTED = 14
CONDITIONS = ("any_of", "all_of", "not", "held", "2 of")

RULES = {
    "tag_shape": "tag-form",
    "yes_no": "yes-or-no",
    "number": "number",
    "count": "whole-number",
    "day": "day",
    "day_unknown": "day",
    "quantity": "quantity",
    "unit_missing": "unit-missing",
    "unit_refused": "unit-unclear",
    "unit_unknown": "unit-unknown",
    "dimension": "unit-wrong",
    "below_minimum": "below-zero",
    "too_large": "too-large",
    "percent": "share",
    "scalar_expected": "wrong-form",
    "condition_form": "condition",
    "condition_list": "condition",
    "need_form": "need",
}
"""The faults that the model itself words, with the name of the rule that each breaks."""

_REFUSED_OF = {
    **dict.fromkeys(("bar", "mbar", "psi", "kPa", "Pa"), "pressure"), "gal": "volume", "gpm": "flow", "gal/min": "flow",
    "%": "share", "C": "temperature", "F": "temperature", "M": "length", "S": "time",
}
"""What each spelling measures that is refused for being unclear: of another kind, it is first of all that."""
_YES = ("true", "on", "y", "1")
_NO = ("false", "off", "n", "0")
_LOOSE_SHARE = re.compile(r"%\s*([0-9]+(?:\.[0-9]+)?)\Z")
_BLOCK = ("model_type", "model_attributes_type", "dict_type", "mapping_type")
_LIST = ("tuple_type", "list_type")


class Said(Struct, frozen=True):
    """The words of one mistake. `at_key` puts it at the key rather than at its value."""

    rule: str
    must: str
    stands: str
    cure: str = ""
    at_key: bool = False


def of(detail: ErrorDetails, value: Any, at: Form) -> Said:
    """The words for one fault that the validator found at a value that should have a form."""
    kind, context = detail["type"], detail.get("ctx", {})
    last = str(detail["loc"][-1]) if detail["loc"] else ""
    if kind == "missing":
        return Said(
            "value-missing", f"`{last}` must be given", "it is not", f"write `{last}:` and {forms.in_words(at)}", True
        )
    if kind == "extra_forbidden":
        return _unknown_key(last, at)
    if kind == "literal_error":
        return _unknown_word(value, get_args(at.kind))
    if kind == "union_tag_invalid":
        allowed = tuple(word for model in at.models for word in get_args(model.model_fields["kind"].annotation))
        return _unknown_word(value["kind"], allowed)
    if kind == "union_tag_not_found" or (kind == "need_form" and isinstance(value, dict)):
        return _formless(value, at)
    if kind in RULES:
        if kind == "scalar_expected" and isinstance(value, list) and value:
            return Said(RULES[kind], f"{forms.in_words(at)} must stand here, and only one", "a list stands",
                        _one_cure(value, detail["loc"]))
        if at.kind is Stand and kind in ("quantity", "unit_unknown", "unit_refused", "dimension"):
            message = detail["msg"] if kind == "unit_refused" else f"{forms.in_words(at)} must stand here"
            return of_custom(kind, message, {**context, "at": "stand"}, value)
        return of_custom(kind, detail["msg"], {**context, "key": last, "form": at}, value)
    if kind in _BLOCK or (kind == "need_form" and at.models):
        return Said(
            "wrong-form",
            f"{forms.in_words(at)} must stand here",
            f"{shown(value)} stands",
            _block_cure(value, last, at),
        )
    if kind in _LIST:
        return Said("wrong-form", f"{forms.in_words(at)} must stand here", f"{shown(value)} stands",
                    _list_cure(value, last, at))
    if kind == "too_short":
        least = context.get("min_length", 1)
        return Said("too-few", f"at least {least} must stand here", f"{context.get('actual_length', 0)} stand",
                    "write each final element and the state that it is driven to, such as `{P-101: stopped}`"
                    if last == "then" else "write them, or take the key out where it may be left out")
    return Said("wrong-form", f"{forms.in_words(at)} must stand here", f"{shown(value)} stands")


def of_custom(kind: str, message: str, context: dict[str, Any], value: Any) -> Said:
    """The words for a fault that the model itself has words for."""
    stands = f"{shown(value)} stands"
    if kind == "condition_form" and isinstance(value, dict) and value:
        keys = ", ".join(f"`{key}`" for key in list(value)[:4])
        vote = _VOTE.match(next(iter(value)))
        cure = f"a vote is written `{vote[1]} of`, and its members follow" if vote else did_you_mean(
            next(iter(value)), CONDITIONS)
        return Said("condition", message, f"{keys} stands", cure)
    if kind == "condition_list" and isinstance(value, dict) and len(value) == 1:
        (key, inner), = value.items()
        one = inner if isinstance(inner, str) and inner else "one, another"
        return Said(RULES[kind], message, f"{shown(inner)} stands", f"write a list: `{key}: [{one}]`")
    if kind in ("scalar_expected", "condition_form", "condition_list", "need_form") or not isinstance(value, str):
        return Said(RULES[kind], message, stands)
    if not value.strip():
        of_condition = kind == "tag_shape" and "form" in context and context["form"].kind is Condition
        return Said("value-missing", "a condition must stand here" if of_condition else message, "nothing stands",
                    "write a tag, or a block such as `{any_of: [one, another]}`" if of_condition else
                    "write the value, or take the key out where it may be left out")
    if kind == "unit_refused":
        unit, is_stand = split(value)[1], context.get("at") == "stand"
        if not context["dimension"].endswith(_REFUSED_OF[unit]) and not (is_stand and _REFUSED_OF[unit] == "volume"):
            must = forms.in_words(forms.form(Stand)) if is_stand else f"a {context['dimension']}, in {context['units']},"
            cure = ""
            if unit == "%" and context["dimension"] == "length":
                share = f"{split(value)[0]:g} % of height"
                cure = f"give the length; a share is a need: `{{at: {share}}}`" if context.get("key") == "issued" else (
                    "give the length")
            return Said(RULES["dimension"], f"{must} must stand here",
                        f"{shown(value)} stands, and `{unit}` is a unit of {_REFUSED_OF[unit]}", cure)
    return Said(RULES[kind], message, stands, _quantity_cure(kind, value, context))


def _one_cure(value: list[Any], location: tuple[int | str, ...]) -> str:
    """The cure for a list where one value belongs."""
    key, noun = location[-1], str(location[0])
    if len(value) == 1 and isinstance(value[0], str):
        return f"write `{key}: {value[0]}`"
    owner = forms.SINGULAR.get(noun) if len(location) == 3 else None
    return f"write one of them; {owner} has one `{key}`" if owner else "write one of them, without brackets"


def _list_cure(value: Any, key: str, at: Form) -> str:
    """The cure for something else where a list belongs."""
    inner = at.inner()[0].models if at.inner() else ()
    if not inner:
        return f"write `{key}: [{value}]`" if isinstance(value, str) and value else "write a list: [one, another]"
    if isinstance(value, dict) and value:
        return "put a dash and a space before the first key, and indent the others like it; or put [ ] around its { }"
    known = list(forms.fields(inner[0]))
    example = "before: overflow, time: 2 min" if "before" in [next(iter(forms.fields(one))) for one in inner] else (
        f"{known[0]}: ...")
    return (f"write each on a line of its own under `{key}:`, such as `- {{{example}}}`; or take the key out where it "
            "may be left out")


def no_space(key: str, known: Iterable[str]) -> str:
    """A cure for a key that swallowed its value, as in `{before:overflow}`; nothing where it is not that.

    >>> no_space("before:overflow", ["before", "time"])
    'a space must follow the colon: `before: overflow`'
    """
    name, colon, value = key.partition(":")
    return f"a space must follow the colon: `{name}: {value}`" if colon and value and name in known else ""


def _quantity_cure(kind: str, value: str, context: dict[str, Any]) -> str:
    unit = str(context.get("unit", ""))
    if kind == "unit_unknown":
        if unit[:1] == ",":
            return f"write a point for the decimals: `{value.replace(',', '.', 1)}`"
        summed = _summed(value)
        if summed:
            return f"one number, one unit: `{summed}`"
        added = _SUM.match(value.strip())
        if added and added[4].strip() in UNITS:
            sum_ = float(added[1]) + float(added[3]) * (1 if added[2] == "+" else -1)
            return f"one number, one unit: `{sum_:.6g} {added[4].strip()}`"
        if unit[:1].isdigit():
            return "write the number without spaces"
        same = [name for name, (dimension, _, _) in UNITS.items() if dimension == context.get("dimension")]
        return did_you_mean(unit, same)
    if kind == "unit_missing":
        likeliest = likely.unit(str(context.get("dimension", "")), str(context.get("key", "")), split(value)[0])
        return f"write `{value} {likeliest}`, if that is the unit" if likeliest else ""
    if kind == "dimension" and (unit, context.get("dimension")) == ("m", "time"):
        return "minutes are `min`; `m` are metres"
    if kind == "day_unknown":
        return "there is no such day"
    if kind == "day":
        return "write the year first, then month and day with two digits each: `2026-11-14`"
    loose = _LOOSE_SHARE.match(value.strip())
    if loose and (kind == "percent" or context.get("at") == "stand"):
        return f"write `{loose[1]} % of volume`, or of height, or of range, whichever is meant"
    if kind == "percent":
        share = value.split("%")[0].strip()
        return f"write `{share} % of height`, if that is meant" if share.replace(".", "", 1).isdigit() else ""
    if kind == "yes_no":
        plain = value.strip().lower()
        meant = "yes" if plain in _YES else "no" if plain in _NO else nearest(value, ("yes", "no"))
        return f"write `{meant}`" if meant else ""
    return ""


def _summed(value: str) -> str:
    """`4 min 30 s` as one number of its first unit; nothing where it is not of that form."""
    parts = re.findall(r"([0-9]+(?:\.[0-9]+)?)\s*([A-Za-z]+)\s*", value)
    if len(parts) < 2 or "".join(map("".join, parts)) != re.sub(r"\s", "", value):
        return ""
    if any(unit not in UNITS or UNITS[unit][2] for _, unit in parts) or len({UNITS[unit][0] for _, unit in parts}) > 1:
        return ""
    first = parts[0][1]
    return f"{sum(float(number) * UNITS[unit][1] for number, unit in parts) / UNITS[first][1]:.6g} {first}"


def _unknown_key(key: str, at: Form) -> Said:
    block = next((one for one in at.metadata if isinstance(one, type) and issubclass(one, Definition)), None)
    known = list(forms.fields(block)) if block is not None else []
    cure = no_space(key, known) or did_you_mean(key, known)
    if not cure and key[:1].isdigit():
        cure = "a comma inside { } ends the value before it: write a point for the decimals"
    if not cure and block is not None:
        below = [
            name for name, form in forms.keys(block).items() for model in form.models if key in forms.fields(model)
        ]
        cure = f"it belongs into `{below[0]}`" if below else ""
    if not cure:
        cure = f"known here: {', '.join(known)}" if len(known) <= MOST_LISTED else "see the reference of the language"
    return Said("unknown-key", "only known keys may stand here", f"`{key}` is none of them", cure, True)


def _unknown_word(value: Any, allowed: tuple[str, ...]) -> Said:
    if value == "":
        cure = "write the value, or take the key out where it may be left out"
        return Said("value-missing", f"{forms.one_of(allowed)} must stand here", "nothing stands", cure)
    meant = MEANT.get(value.lower(), "") if isinstance(value, str) else ""
    cure = f"did you mean `{meant}`?" if meant in allowed else did_you_mean(value, allowed) if isinstance(value, str) else ""
    return Said("unknown-word", f"{forms.one_of(allowed)} must stand here", f"{shown(value)} stands", cure)


def _formless(value: Any, at: Form) -> Said:
    if not isinstance(value, dict):
        return Said("wrong-form", "a block of keys must stand here", f"{shown(value)} stands")
    openers = [next(iter(forms.fields(model))) for model in at.models]
    if openers[0] == "kind":
        allowed = tuple(word for model in at.models for word in get_args(model.model_fields["kind"].annotation))
        near = next((f"did you mean `kind` for `{key}`?" for key in value if nearest(key, ["kind"])), "")
        return Said("value-missing", f"`kind` must be given: {forms.one_of(allowed)}", "it is not", near)
    near = next((no_space(key, OPENERS) for key in value if no_space(key, OPENERS)), "") or next(
        (did_you_mean(key, OPENERS) for key in value if nearest(key, OPENERS)), "")
    stands = ", ".join(f"`{key}`" for key in list(value)[:4]) or "nothing"
    return Said("need", f"a need must open with {forms.one_of(OPENERS)}", f"{stands} stands", near)


def _block_cure(value: Any, key: str, at: Form) -> str:
    if isinstance(value, str) and not value:
        return "indent what belongs to it under it, or take the key out"
    known = [name for model in at.models[:1] for name in forms.fields(model)]
    return f"write `{key}: {{{known[0]}: ...}}`; known here: {', '.join(known[:MOST_LISTED])}" if known else (
        "write each tag with its keys indented under it")


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
    found: list[str] = difflib.get_close_matches(_plain(word), list(plain), n=1, cutoff=0.6)
    return plain[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A cure that offers the nearest known word, or nothing."""
    near = nearest(word, known)
    return f"did you mean `{near}`?" if near else ""


def _plain(word: str) -> str:
    return word.lower().replace("-", "").replace("_", "").replace(" ", "")

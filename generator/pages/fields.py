"""Missing fields as a reader finds them: the tag, and its keys in words, instead of the path by which the code knows them."""

import re
from collections.abc import Iterable

_PATH = re.compile(r"([a-z_]+)/([^/,;]+)(?:/([^,;]+))?\Z")
_MARK = "missing: "


def in_words(fields: Iterable[str]) -> str:
    """Missing fields by their tag, each once; what is no path stays as it is.

    >>> in_words(["tanks/SP-1/surroundings/gas_blanket", "tanks/SP-1/design_pressure", "a stream into T-1", "pumps/P-1/flow"])
    'SP-1: gas blanket, design pressure; a stream into T-1; P-1: flow'
    """
    by_tag: dict[str, dict[str, None]] = {}
    for field in fields:
        path = _PATH.match(field.strip())
        tag, keys = (path[2], path[3] or path[1]) if path else (field.strip(), "")
        by_tag.setdefault(tag, {}).update({keys.rpartition("/")[2].replace("_", " "): None} if keys else {})
    return "; ".join(f"{tag}: {', '.join(keys)}" if keys else tag for tag, keys in by_tag.items())


def said(because: str) -> str:
    """A reason in which several parts may say what is missing: one part says it, last, in words.

    >>> said("the liquid is hot; missing: tanks/T-1/surroundings/zone; missing: tanks/T-1/surroundings/zone, tanks/T-1/shape")
    'the liquid is hot; missing: T-1: zone, shape'
    """
    plain, gone = [], []
    for part in because.split("; "):
        before, mark, listed = part.partition(_MARK)
        if mark:
            gone += listed.split(", ")
        plain += [before.rstrip(": ")] if before.rstrip(": ") and not mark else []
    return "; ".join([*plain, *([_MARK + in_words(gone)] if gone else [])])

"""The status strip: which document this is, how far it may be trusted, and of which day."""

import hashlib
from collections.abc import Mapping

from generator.model.page import Strip
from generator.pages.context import Context
from generator.pages.days import day

_STATUS = {
    "draft": "Draft", "for review": "Issued for review", "for construction": "Issued for construction",
    "as built": "As built",
}


def strip(context: Context) -> Strip:
    """The strip of one document."""
    plant = context.plant.plant
    document = plant.document
    return Strip(
        plant=plant.name, title=document.title, number=document.number, revision=revision(context),
        status=status(context), as_of=day(document.as_of), fingerprint=fingerprint(context.sources),
    )


def revision(context: Context) -> str:
    """The latest revision; a dash of words where the document was never issued."""
    issued = context.plant.revisions
    return str(issued[-1].revision) if issued else "not issued"


def status(context: Context) -> str:
    """The status in words; where the review stands against it, the strip says so instead of claiming it."""
    claimed = context.plant.plant.document.status
    return f"Draft, {claimed} refused by the review" if context.review.blocks else _STATUS[claimed]


def standing(context: Context) -> str:
    """Which revision this is, what it may be used for, and which one was last issued for construction."""
    issued = context.plant.revisions
    if not issued:
        return "This document has not been issued yet."
    last = issued[-1]
    usable = next((one for one in reversed(issued) if one.status in ("for construction", "as built")), None)
    if usable is last:
        return f"This is revision {last.revision}, the last one issued {last.status}, of {day(last.on)}."
    only = f"This is revision {last.revision}, {last.status} only: it is not released for building or setting."
    field = _field(context)
    if usable is None:
        return f"{only} None has been issued for construction yet.{field}"
    return f"{only} The last one issued {usable.status} is revision {usable.revision} of {day(usable.on)}.{field}"


def _field(context: Context) -> str:
    """Which heights stand in the field, as far as somebody read them; empty for a plant without points."""
    points = context.results.setpoints.values()
    read = [one for one in points if one.as_left is not None]
    if not points:
        return ""
    off = sum(one.stands is not None and one.as_left is not None and abs(one.as_left - one.stands) > 5e-4 for one in read)
    if not read:
        return " Which heights stand in the field is not recorded."
    said = "none of them differs" if not off else "one of them differs" if off == 1 else f"{off} of them differ"
    others = "" if len(read) == len(points) else " What stands at the others is not recorded."
    return (f" What stands in the field is known at {len(read)} of {len(points)} points, as left in the setpoint register; "
            f"{said} from the height given here.{others}")


def fingerprint(sources: Mapping[str, str]) -> str:
    """Eight characters that stand for the definitions: the same on paper and screen means the same data.

    The first 32 bits of SHA-256 (FIPS 180-4) over every file's name and text, in the order of the names.

    >>> fingerprint({"plant.yml": "plant: {}"})
    'c646 b26d'
    """
    digest = hashlib.sha256()
    for name, text in sorted(sources.items()):
        for part in (name, text):
            data = part.encode()
            digest.update(len(data).to_bytes(8, "big") + data)
    shown = digest.hexdigest()[:8]
    return f"{shown[:4]} {shown[4:]}"

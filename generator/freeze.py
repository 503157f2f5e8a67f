"""Freezing an issue: the definitions as they are and every worked-out value, so that a later version can be compared."""

import json
import shutil
from pathlib import Path
from typing import Any

from generator.build import Philosophy
from generator.errors import PrintError
from generator.pages import data

DEFINITIONS, VALUES = "plant", "values.json"


def issue(made: Philosophy, definitions: Path, into: Path) -> Path:
    """Freeze one revision below a folder; the folder of the revision.

    Definitions that already lie there stay untouched and only their values are written.

    Raises:
        PrintError: the revision lies there already with other definitions.
    """
    folder = into / revision(made)
    kept = folder / DEFINITIONS
    if definitions.resolve() != kept.resolve():
        if kept.exists():
            raise PrintError(f"{kept} holds this revision already; an issued revision is never written over")
        shutil.copytree(definitions, kept)
    (folder / VALUES).write_text(json.dumps(values(made), ensure_ascii=False, indent=1) + "\n", encoding="utf-8", newline="\n")
    return folder


def revision(made: Philosophy) -> str:
    """The revision that a document is at."""
    return made.site.strip.revision if made.site else ""


def values(made: Philosophy) -> dict[str, Any]:
    """The heights that stand and the value of each record, by key, with the unit in the key of the value."""
    if made.site is None:
        return {}
    whole = next(one.data for one in made.site.downloads if one.path == data.PATH)
    return {
        "format": f"{data.FORMAT} values",
        "version": data.VERSION,
        "document": whole["document"],
        "heights": {tag: {key: one[key] for key in ("stands_m", "act", "reset") if key in one}
                    for tag, one in whole["setpoints"].items()},
        "records": {key: {name: part for name, part in one.items() if name.startswith(("value", "cannot"))}
                    for key, one in whole["records"].items()},
    }

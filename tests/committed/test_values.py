"""A check for changes, not for truth: the demonstration plant worked out anew against the data file that is committed.

It sees that a figure, a word of a record or a finding has become another one; it knows nothing of whether the old or the new
one is right. Where a change is meant, build the site anew and read what differs. The data file holds tanks, setpoints, pumps,
cycling, trips, alarms, contacts, devices, records and findings; it holds no courses, no failures, no bypasses, no states of
the level explorer and no cautions.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from generator import build, read
from generator.pages import data
from generator.pages.context import Context

ROOT = Path(__file__).parent.parent.parent
SHOWN = 5
"""Places named where many differ."""


def differing(old: Any, new: Any, path: str = "") -> Iterator[str]:
    """Places at which two pieces of data differ, as a path of keys.

    >>> list(differing({"a": [1, {"b": 2}], "c": 0}, {"a": [1, {"b": 3}]}))
    ['/a/1/b: 2 is now 3', '/c: 0 is now nothing']
    """
    if isinstance(old, dict) and isinstance(new, dict):
        pairs = [(key, old.get(key, "nothing"), new.get(key, "nothing")) for key in dict.fromkeys((*old, *new))]
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        pairs = [(str(place), *both) for place, both in enumerate(zip(old, new, strict=True))]
    else:
        if old != new:
            yield f"{path}: {str(old)[:200]} is now {str(new)[:200]}"
        return
    for key, one, other in pairs:
        if one != other:
            yield from differing(one, other, f"{path}/{key}")


def test_the_demonstration_plant_gives_the_values_that_are_committed() -> None:
    made = build.reviewed(ROOT / "content" / "plant")
    assert made.plant is not None and made.results is not None
    new = json.loads(json.dumps(data.philosophy(Context(made.plant, made.results, made.review, read.knowledge(), {}), {})))
    old = json.loads((ROOT / "site_demo" / data.PATH).read_text(encoding="utf-8"))
    assert len(old["records"]) > 1000
    changed = [place for key in old if key != "document" for place in differing(old[key], new.get(key), f"/{key}")]
    assert not changed, f"{len(changed)} values differ, the first: {changed[:SHOWN]}"

"""What depends on what: the inputs of all records, turned round."""

from collections.abc import Mapping

from generator.model.dependencies import Dependencies, node
from generator.model.place import NOWHERE, Place
from generator.model.record import Outcome, Record


def dependencies(records: Mapping[str, Outcome], beside: Mapping[str, tuple[str, ...]] | None = None) -> Dependencies:
    """The graph from every place and every result to the results that take it in.

    `beside` names further sources with the results that rest on them, where those have no formula to list them in.
    Constants named in words, such as standard gravity, feed nothing that could change.
    """
    feeds: dict[str, dict[str, None]] = {}
    for key, outcome in records.items():
        if not isinstance(outcome, Record):
            continue
        for one in outcome.inputs:
            if isinstance(one.source, Place):
                if one.source.file != NOWHERE.file:
                    feeds.setdefault(node(one.source), {})[key] = None
            elif one.is_record:
                feeds.setdefault(one.source, {})[key] = None
    for source, keys in (beside or {}).items():
        if not source.startswith(f"{NOWHERE.file}:"):
            feeds.setdefault(source, {}).update(dict.fromkeys(key for key in keys if isinstance(records.get(key), Record)))
    return Dependencies({source: tuple(keys) for source, keys in feeds.items()})

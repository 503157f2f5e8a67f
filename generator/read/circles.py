"""Circles: heights, supplies, relays and starts that rest on one another. None of them can be worked out."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from generator.model.finding import Mistake
from generator.model.instrument import Switch
from generator.model.machine import PumpGroup
from generator.model.place import Place
from generator.model.scalar import Text

Links = dict[str, dict[str, Place]]

_LEVELS = ("before", "above", "below", "covers")


def circles(items: Mapping[str, Mapping[str, Any]]) -> Iterator[Mistake]:
    """Each circle once, at the first link of it."""
    points = _by_tag(items, "switches")
    yield from _named(_heights(points), "switches", "circular-heights", "a height must not rest on itself",
                      "issue one of these heights, or rest it on a level of the tank")
    supplies = _by_tag(items, "supplies")
    feeds = {tag: {str(one.fed_from): one.fed_from.place} for tag, one in supplies.items() if one.fed_from is not None}
    yield from _named(feeds, "supplies", "circular-supplies", "a supply must not feed itself", "correct `fed_from`")
    relays = _by_tag(items, "relays")
    drives = {tag: {str(one): one.place for one in relay.drives if one in relays} for tag, relay in relays.items()}
    yield from _named(drives, "relays", "circular-relays", "a relay must not drive itself", "correct `drives`")
    waits = _staggers(_by_tag(items, "pumps"), _by_tag(items, "pump_groups"))
    yield from _named(waits, "pumps", "circular-staggers", "a pump must not wait for its own start after power returns",
                      "write the pumps in the same order in each group, or leave out the `stagger` of one")


def _by_tag(items: Mapping[str, Mapping[str, Any]], noun: str) -> dict[str, Any]:
    return {end.removeprefix("."): one for end, one in items.get(noun, {}).items()}


def _heights(points: Mapping[str, Switch]) -> Links:
    """Which points rest on which: an issued height is fixed and rests on nothing, but no point may name itself."""
    links: Links = {}
    for tag, point in points.items():
        for one in point.height.needs:
            for key in _LEVELS:
                name = getattr(one, key, None)
                if not isinstance(name, Text) or name not in points:
                    continue
                if name == tag or (point.height.issued is None and points[name].height.issued is None):
                    links.setdefault(tag, {}).setdefault(str(name), name.place)
    return links


def _staggers(pumps: Mapping[str, Any], groups: Mapping[str, PumpGroup]) -> Links:
    """Which pumps start a stagger after which: in each group after the one before that starts by itself as well."""
    links: Links = {}
    for group in groups.values():
        by_itself = [one for one in group.pumps
                     if one in pumps and (restart := pumps[one].restart) is not None and restart.by_itself]
        for before, one in pairwise(by_itself) if group.stagger is not None else ():
            links.setdefault(str(one), {}).setdefault(str(before), one.place)
    return links


def _named(links: Links, noun: str, rule: str, must: str, cure: str) -> Iterator[Mistake]:
    done: set[str] = set()
    for start in links:
        way = _way_back(start, links, done)
        if way:
            done.update(way)
            said = " - ".join((*way, start))
            yield Mistake(links[start][way[1] if len(way) > 1 else start], rule, f"{noun}.{start}", must, said, cure)


def _way_back(start: str, links: Links, done: set[str]) -> list[str]:
    """A shortest way from a tag back to itself; empty where there is none, or where a named circle holds it."""
    if start in done:
        return []
    ways = [[start]]
    seen: set[str] = set()
    for way in ways:  # grows while it is walked: breadth first
        for following in links.get(way[-1], {}):
            if following == start:
                return way
            if following not in seen:
                seen.add(following)
                ways.append([*way, following])
    return []

"""The narrative's facts, read back from the printed page, against the definitions they were made from."""

import re
from html.parser import HTMLParser

import pytest

from generator.model.interlock import StartStop
from generator.model.page import plain
from generator.model.scalar import Tag
from generator.pages import amounts, narrative
from generator.render.environment import fragment
from tests.pages.plants import DEMO, LOGIC, context


class Said(HTMLParser):
    """Every sentence of a page with its data attributes and its words."""

    def __init__(self) -> None:
        super().__init__()
        self.sentences: list[tuple[dict[str, str], str]] = []
        self._open = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "p":
            facts = {name.removeprefix("data-"): value or "" for name, value in attrs if name.startswith("data-")}
            self._open = bool(facts)
            if facts:
                self.sentences.append((facts, ""))

    def handle_endtag(self, tag: str) -> None:
        self._open = self._open and tag != "p"

    def handle_data(self, data: str) -> None:
        if self._open:
            facts, words = self.sentences[-1]
            self.sentences[-1] = (facts, words + data)


def sentences(source: str) -> list[tuple[dict[str, str], str]]:
    said = Said()
    for page in narrative.pages(context(source)):
        said.feed(fragment(page))
    return said.sentences


def seconds(shown: str) -> float:
    """A time as a page prints it. [s]"""
    found = re.findall(r"([\d.]+)\s*(ms|s|min|h)\b", shown)
    return sum(float(number) * {"ms": 1e-3, "s": 1.0, "min": 60.0, "h": 3600.0}[unit] for number, unit in found)


def test_what_a_trip_needs_and_what_is_left_add_up_from_one_moment() -> None:
    """Both run from the latest action; what is printed as needed is no less than it is, what is printed as left no more."""
    told = [one for one in sentences(DEMO) if one[0]["kind"] == "fast" and "left" in one[0]]
    assert len(told) > 10
    for facts, words in told:
        needed, given, left = (float(facts[name]) for name in ("needed", "seconds", "left"))
        assert left == pytest.approx(given - needed, abs=0.02)
        first, _, rest = words.partition(" after ")
        assert needed - 0.006 <= seconds(first) <= needed + 0.1 + 1e-6 or needed > 120
        behind = rest.partition(" so that ")[2]
        assert seconds(behind) <= max(left, 0.0) + 0.006
        assert "from there" not in words and ("same moment" in words)


def test_machines_that_a_trip_starts_start_at_one_moment_in_words_and_in_the_course() -> None:
    """A group's stagger is that after a loss of power. I-610 starts three pumps; its need counts one start."""
    told = [words for facts, words in sentences(DEMO) if facts["kind"] == "fast" and facts["tag"] == "I-610"]
    assert told and all("start all at one moment" in words for words in told)
    others = [words for facts, words in sentences(DEMO) if facts["kind"] == "fast" and facts["tag"] == "I-310"]
    assert others and not any("at one moment" in words for words in others)
    course = next(one for one in context(DEMO).results.courses["T-610"] if one.key.endswith("/filling"))
    acts = next(event.time for event in course.events if event.tags == ("I-610",) and event.turned == "acts")
    runs = {event.tags[0]: event.time for event in reversed(course.events)
            if event.time > acts and event.turned == "running" and event.tags[0].startswith("P-610")}
    assert len(runs) == 3 and len(set(runs.values())) == 1  # the first start of each after the trip


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_facts_are_those_of_the_definitions(source: str) -> None:
    one = context(source)
    plant, told = one.plant, sentences(source)
    for facts, words in told:
        kind, tag = facts["kind"], Tag(facts["tag"])
        assert tag in words or kind not in ("see", "does")
        if kind in ("does", "elsewhere"):
            lock = plant.interlocks[tag]
            assert facts["effect"] == "; ".join(f"{target} {state}" for target, state in lock.then.items())
            assert all(target in words for target in lock.then)
            assert float(facts.get("delay", 0)) == (lock.on_delay.si if lock.on_delay and kind == "does" else 0)
        if kind == "see":
            alarm = plant.alarms[tag]
            assert (facts["text"], facts["priority"]) == (alarm.text, alarm.priority)
            assert alarm.text in words
        if kind in ("see", "start", "stop") and "height" in facts:
            stands = one.results.setpoints[facts["point"]].stands
            assert stands is not None
            assert float(facts["height"]) == pytest.approx(stands, abs=1e-4)
        if kind in ("start", "stop"):
            control = plant.controls[tag]
            assert isinstance(control, StartStop)
            assert facts["point"] in ((*control.starts,) if kind == "start" else (control.stops,))
            assert facts["effect"] == control.moves
            if "height" in facts:
                number = plain((amounts.metres(float(facts["height"])),)).split()[0]
                assert number in words
        if kind == "back":
            reset = plant.interlocks[tag].reset
            assert reset is not None
            assert facts["at"].split() == list(reset.at)
            assert facts["by"] == reset.by
        if kind == "first cause":
            first = plant.interlocks[tag].first_cause
            assert facts["held"] == ("not recorded" if first is None else "yes" if first.held else "no")
            if first is not None and first.held:
                assert facts["at"].split() == list(first.shown_at)
                assert all(place in words for place in first.shown_at)
                assert first.told_apart is not None
                assert float(facts["apart"]) == first.told_apart.si
                assert plain((amounts.duration(first.told_apart.si),)) in words.replace("\u202f", " ")
            else:
                assert "look at the points before the reset" in words


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_nothing_of_a_tank_is_left_out(source: str) -> None:
    plant, told = context(source).plant, sentences(source)
    said = {(facts["kind"], facts["tag"]) for facts, _ in told}
    locks = {lock for tank in plant.tanks for lock in plant.interlocks_of_tank[tank]}
    assert {("does", str(lock)) for lock in locks} <= said
    assert {("back", str(lock)) for lock in locks if plant.interlocks[lock].reset} <= said
    assert {("first cause", str(lock)) for lock in locks if plant.interlocks[lock].first_cause} <= said
    alarms = {str(alarm) for point in plant.switches for alarm in plant.alarms_of[point]}
    assert {("see", alarm) for alarm in alarms} <= said
    for tag, control in plant.controls.items():
        if isinstance(control, StartStop):
            assert ("start", str(tag)) in said and ("stop", str(tag)) in said

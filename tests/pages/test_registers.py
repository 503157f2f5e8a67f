"""Registers as a reader finds them: each cell against what the definitions of the plant say, read from their text."""

from functools import cache

import yaml

from generator.model.page import plain
from generator.pages import alarms, fitter, hazards, lengths, order_list, setpoints
from generator.pages.context import Context
from tests.pages.plants import DEMO, LOGIC, ROOT, context


def table(made: object, name: str = "") -> dict[str, dict[str, str]]:
    """The rows of a register by its first cell, each by its columns."""
    pages = list(made)  # type: ignore[call-overload]  # whatever yields pages
    page = next(one for one in pages if not name or one.path.endswith(f"/{name}.html"))
    rows = [row for group in page.view.groups for row in group.rows]
    return {plain(row.cells[0].parts): dict(zip(page.view.columns, (plain(one.parts) for one in row.cells), strict=True))
            for row in rows}


@cache
def written(noun: str) -> dict[str, dict[str, object]]:
    """All definitions of a noun of the demonstration plant, read by YAML alone."""
    made: dict[str, dict[str, object]] = {}
    for whole in _files():
        made |= whole.get(noun) or {}
    return made


@cache
def _files() -> tuple[dict[str, dict[str, dict[str, object]]], ...]:
    return tuple(yaml.load(file.read_text(), yaml.CSafeLoader) or {}  # the safe one, in C
                 for file in sorted((ROOT / DEMO).glob("*.yml")))


def test_every_alarm_of_a_point_says_its_delays_and_whose_they_are() -> None:
    shown, switches = table(alarms.pages(context(DEMO))), written("switches")
    delayed = 0
    for tag, alarm in written("alarms").items():
        row, point = shown[tag], switches.get(str(alarm["from"]))
        if point is None:
            continue
        asked = [f"{point['on_delay']} of the point {alarm['from']}"] if "on_delay" in point else []
        asked += [f"{alarm['on_delay']} of its own"] if "on_delay" in alarm else []
        assert row["Sounds after"] == (", then ".join(asked) or "at once"), tag
        assert row["Clears after"] == (f"{alarm['off_delay']} of its own" if "off_delay" in alarm else "at once"), tag
        delayed += bool(asked)
    assert delayed > 5


def test_every_alarm_of_one_level_says_its_height_and_what_to_do_if_the_first_action_does_not_help() -> None:
    shown, switches = table(alarms.pages(context(DEMO))), written("switches")
    for tag, alarm in written("alarms").items():
        row = shown[tag]
        point = switches.get(str(alarm["from"]))
        if point is not None:
            issued = float(str(point["height"]["issued"]).split()[0])  # type: ignore[index]  # as written in YAML
            assert float(row["Height"].split()[0]) == issued, tag
        assert (row["If that does not help"] == "not given") == ("then" not in alarm), tag


def test_a_height_is_said_as_the_screen_shows_it_or_which_gauge_is_read() -> None:
    shown = table(alarms.pages(context(DEMO)))
    lower, upper = 0.0, 4.0  # LT-101 of the other plant: 3.00 m is 75 % of it
    assert table(alarms.pages(context(LOGIC)))["LAH-103"]["The level then shows"] == (
        f"{(3.0 - lower) / (upper - lower) * 100:.1f} % of range on LT-101")
    assert shown["LAH-221"]["The level then shows"] == "no indication on a screen; read LG-220"
    assert shown["LAH-625"]["The level then shows"] == "no indication on a screen"
    assert "of range" not in shown["LAH-341"]["The level then shows"]


def after(source: str, lock: str) -> str:
    from generator.pages import delays
    made: Context = context(source)
    return plain(delays.of_interlock(made, made.plant.interlocks[lock]))  # type: ignore[index]  # a tag of the plant


def test_an_interlock_says_for_each_cause_how_long_it_waits() -> None:
    # I-620: its float, or its pump for ten minutes, and two seconds of its own.
    assert after(DEMO, "I-620") == "2 s by LSHH-622; 10 min + 2 s by YS-620"
    # I-101: a point, or a temperature that lasts ten seconds; I-102: a vote of which one member waits; I-201 none.
    assert after(LOGIC, "I-101") == "2 s by LSHH-101; 12 s by TSH-101"
    assert after(LOGIC, "I-102") == "up to 3 s"
    assert after(LOGIC, "I-201") == "at once"


def test_the_setpoint_register_says_the_delays_of_a_point_and_of_its_alarm() -> None:
    shown, points = table(setpoints.pages(context(DEMO))), written("switches")
    for tag, point in points.items():
        assert shown[tag]["On-delay"].startswith(str(point.get("on_delay", ""))), tag
        if "on_delay" not in point:
            assert "of the point" not in shown[tag]["On-delay"]
    assert shown["LSH-221"]["On-delay"] == "5 s"
    assert shown["LSH-221"]["Off-delay"] == "10 s for the alarm LAH-221"
    assert shown["LSHH-222"]["Off-delay"] == "at once"


def test_an_alarm_stands_against_every_hazard_on_whose_side_its_point_acts() -> None:
    shown, points, bodies = table(hazards.pages(context(DEMO))), written("switches"), written("instruments")
    for tag, hazard in written("hazards").items():
        tank, level = str(hazard["begins_at"]).split()
        side = "rising" if level in ("overflow", "rim") else "falling"
        against = {name for name, alarm in written("alarms").items()
                   if (point := points.get(str(alarm["from"]))) and point["acts"] == side
                   and bodies[str(point["in"])]["tank"] == tank}
        assert against <= set(shown[tag]["Alarms"].split()), tag
        assert shown[tag]["Alarms"] != "none", tag
    assert {"LAL-123", "LALL-124"} <= set(shown["HZ-16"]["Alarms"].split())


def test_an_alarm_of_a_lost_supply_is_no_alarm_of_a_level() -> None:
    shown, signals = table(hazards.pages(context(DEMO))), written("signals")
    lost = {name for name, alarm in written("alarms").items()
            if signals.get(str(alarm["from"]), {}).get("kind") in ("supply lost", "air lost")}
    assert "UAL-1" in lost
    assert all(not lost & set(row["Alarms"].split()) for row in shown.values())
    assert shown["HZ-24"]["Tells of a lost supply"] == "UAL-1"
    assert "LAHH-622" in shown["HZ-24"]["Alarms"].split()


def test_a_probe_on_a_cable_stands_in_lengths_order_list_and_on_its_sheet() -> None:
    """By hand from the definitions: T-610's face at 4.60 m and its membrane at 0.15 m, T-110's at 3.60 and 0.15 m."""
    cut, ordered = table(lengths.pages(context(DEMO))), table(order_list.pages(context(DEMO)), "order-list")
    for tag, length, point in (("LT-610", "4450 mm", "LSH-611"), ("LT-110", "3450 mm", "LSH-111")):
        row = next(row for name, row in cut.items() if name.startswith(tag))
        assert row["Cut or set to"] == row["Below the face"] == length
        assert any(length in " ".join(row.values()) for name, row in ordered.items() if name.startswith(tag))
        sheet = fitter.sheet(context(DEMO), point)
        assert sheet is not None and plain((sheet.cuts[0].cut,)) == length and sheet.sketch is not None

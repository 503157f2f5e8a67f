"""What a point shows at a level, by trying every device that its bands allow; and the ways by which a level comes to a state."""

from itertools import pairwise, product

import pytest

from generator.compute import reachable
from generator.compute.logic_states import Direction, counted, first_cause, off_delay, on_delay, point_state
from generator.compute.reachable import Point, Tank, TankState, _narrowed
from generator.model.results import Band
from tests.compute.test_reachable import APART, point

ACT, RESET = Band(2.0, 2.5), Band(1.0, 1.5)
"""Binary fractions: their mirror images are exact."""


def shown(was_acted: bool, level: float, act: float, reset: float) -> bool:
    """One device with a true height at which it acts and one at which it lets go."""
    return True if level >= act else False if level <= reset else was_acted


@pytest.mark.parametrize("was_acted", [True, False, None])
@pytest.mark.parametrize("level", [0.5, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0])
@pytest.mark.parametrize("acts", ["rising", "falling"])
def test_a_point_is_known_where_every_device_agrees(acts: Direction, level: float, was_acted: bool | None) -> None:
    """Between the edges of a band there is a device for each answer; at an edge the band itself is tried from end to end."""
    heights = [(act, reset) for act in (2.0, 2.25, 2.5) for reset in (1.0, 1.25, 1.5)]
    befores = (True, False) if was_acted is None else (was_acted,)
    answers = {shown(before, level, *one) for one in heights for before in befores}
    wanted = answers.pop() if len(answers) == 1 else None
    if acts == "rising":
        assert point_state(was_acted, level, "rising", ACT, RESET) is wanted
    else:  # the mirror image about 1.75 m
        assert point_state(was_acted, 3.5 - level, "falling", Band(1.0, 1.5), Band(2.0, 2.5)) is wanted


@pytest.mark.parametrize(("is_asked", "before", "is_over", "on", "off"), [
    (True, "idle", False, "running", "idle"), (True, "idle", True, "running", "idle"),
    (True, "running", False, "running", "idle"), (True, "running", True, "elapsed", "idle"),
    (True, "elapsed", False, "elapsed", "idle"), (True, "elapsed", True, "elapsed", "idle"),
    (False, "idle", False, "idle", "running"), (False, "idle", True, "idle", "running"),
    (False, "running", False, "idle", "running"), (False, "running", True, "idle", "elapsed"),
    (False, "elapsed", False, "idle", "elapsed"), (False, "elapsed", True, "idle", "elapsed")])
def test_a_delay_step_by_step(is_asked: bool, before: str, is_over: bool, on: str, off: str) -> None:
    assert on_delay(before, is_asked, is_over) == on  # type: ignore[arg-type]
    assert off_delay(before, is_asked, is_over) == off  # type: ignore[arg-type]


@pytest.mark.parametrize(("last", "demand"), [*product((True, False), repeat=2)])
def test_what_counts_while_a_signal_is_bad(last: bool, demand: bool) -> None:
    assert [counted(acted, False, "trips", last, demand) for acted in (True, False)] == [True, False]  # it is good
    for acted in (True, False):
        assert counted(acted, True, "trips", last, demand) is demand
        assert counted(acted, True, "holds", last, demand) is last
        assert counted(acted, True, "ignored", last, demand) is not demand
        assert counted(acted, True, None, last, demand) is None


@pytest.mark.parametrize(("before", "standing", "is_reset", "after"), [
    ((), (), False, ()), ((), (), True, ()), ((), ("A", "B"), False, ("A", "B")), ((), ("A",), True, ("A",)),
    (("A",), ("B",), True, ("A",)), (("A",), (), False, ("A",)), (("A",), (), True, ()), (("A", "B"), ("A",), False, ("A", "B"))])
def test_the_memory_of_the_first_cause(
    before: tuple[str, ...], standing: tuple[str, ...], is_reset: bool, after: tuple[str, ...],
) -> None:
    assert first_cause(before, standing, is_reset) == after


# ---- ways to a state -------------------------------------------------------------------------------------------------


def states(*points: Point, bottom: float = 0.0, top: float = 4.0) -> dict[tuple[frozenset[str], frozenset[str]], TankState]:
    found = Tank(points, bottom, top).states()
    assert found is not None
    return {(one.acted, one.counted): one for one in found}


def way_of(*acted: str) -> tuple[tuple[float, float], ...]:
    return states(*APART)[frozenset(acted), frozenset(acted)].way


def test_a_level_that_only_rises_has_no_turn() -> None:
    """Edges: LL lets go at 0.54 to 0.56 and acts at 0.49 to 0.51; H lets go at 2.44 to 2.46, acts at 2.49 to 2.51; HH higher."""
    assert way_of("LL") == ((0.0, pytest.approx(0.49)),)
    assert way_of() == ((pytest.approx(0.54), pytest.approx(0.56)),)  # there LL may let go already
    assert way_of("H") == ((pytest.approx(2.49), pytest.approx(2.51)),)
    assert way_of("H", "HH") == ((pytest.approx(3.19), pytest.approx(3.21)),)


def test_a_state_that_wants_a_turn_tells_it() -> None:
    """A acts at 2.00 to 2.02 and lets go a metre lower; B acts at 1.50 to 1.52 and lets go a decimetre lower: A without B is met
    on the way back only."""
    found = states(point("A", True, (2.0, 2.02), 1.0), point("B", True, (1.5, 1.52), 0.1))
    way = found[frozenset("A"), frozenset("A")].way
    assert way == ((2.0, 2.02), (pytest.approx(1.4), pytest.approx(1.42)))
    assert found[frozenset("B"), frozenset("B")].way == ((1.5, 1.52),)


def test_a_delay_that_runs_out_is_no_turn() -> None:
    late = states(point("A", True, (2.0, 2.02), 0.1, delayed=True), point("B", True, (3.0, 3.02), 0.1))
    assert late[frozenset("A"), frozenset()].way == late[frozenset("A"), frozenset("A")].way == ((2.0, 2.02),)
    assert late[frozenset("AB"), frozenset("AB")].way == late[frozenset("AB"), frozenset("B")].way == ((3.0, 3.02),)
    # a delay is over only while its point has acted: never counted without having acted
    assert all(counted_ <= acted for acted, counted_ in late)
    assert (frozenset("B"), frozenset("B")) not in late


def test_turns_go_up_and_down_in_turn_and_end_where_the_state_stands() -> None:
    points = (point("A", True, (2.0, 2.02), 1.0), point("B", True, (1.5, 1.52), 0.1, delayed=True),
              point("C", False, (1.2, 1.25), 0.6))
    for one in states(*points).values():
        assert one.way[-1] == (one.low, one.high)
        lows = [0.0, *(low for low, _ in one.way)]
        steps = [after - before for before, after in pairwise(lows)]
        assert all(one * other < 0 for one, other in pairwise(steps[1:]))


@pytest.mark.parametrize(("bottom", "top", "possible"), [
    (0.0, 4.0, {"", "LL", "H", "H HH"}), (0.0, 3.19, {"", "LL", "H"}), (0.0, 3.2, {"", "LL", "H", "H HH"}),
    (0.6, 4.0, {"", "H", "H HH"}), (0.5, 4.0, {"", "LL", "H", "H HH"}), (1.0, 2.0, {""}), (2.6, 4.0, {"H", "H HH"}),
])
def test_only_what_stands_within_the_vessel_is_possible(bottom: float, top: float, possible: set[str]) -> None:
    assert {" ".join(sorted(acted)) for acted, _ in states(*APART, bottom=bottom, top=top)} == possible


def test_two_points_of_one_body_keep_their_order_both_ways() -> None:
    def made(tag: str, rising: bool, act: float, reset: float, body: str) -> Point:
        return Point(tag, rising, Band(act - 0.1, act + 0.1), Band(reset - 0.1, reset + 0.1), body,
                     Band(act - 0.01, act + 0.01), Band(reset - 0.01, reset + 0.01), False)

    def together(one: Point, other: Point) -> set[str]:
        return {"".join(sorted(acted)) for acted, _ in states(one, other)}

    for body, extra in (("LX", set()), ("LY", {"B"})):
        # two high points: the upper one B never without the lower one A, where one body holds both
        assert together(made("A", True, 2.0, 1.9, "LX"), made("B", True, 2.05, 1.95, body)) == {"", "A", "AB"} | extra
    for body, extra in (("LX", set()), ("LY", {"B"})):
        # two low points: the lower one B never without the upper one A
        assert together(made("A", False, 2.05, 2.15, "LX"), made("B", False, 2.0, 2.1, body)) == {"", "A", "AB"} | extra
    for body, extra in (("LX", set()), ("LY", {"AB"})):
        # a low point that lets go below where the high one does: never both
        assert together(made("A", False, 1.8, 1.9, "LX"), made("B", True, 2.05, 1.95, body)) == {"", "A", "B"} | extra


def test_bands_that_overlap_at_one_end_keep_no_order() -> None:
    """Within one body B acts surely above A, yet may let go while A still holds: each alone is possible."""
    low = Point("A", True, Band(1.9, 2.1), Band(1.5, 1.9), "LX", Band(1.95, 2.0), Band(1.55, 1.75), False)
    high = Point("B", True, Band(2.0, 2.2), Band(1.6, 2.0), "LX", Band(2.05, 2.1), Band(1.65, 1.85), False)
    assert {"".join(sorted(acted)) for acted, _ in states(low, high)} == {"", "A", "B", "AB"}


def test_past_the_limit_there_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """One point: below, acted between its edges, acted above, and on the way back; the edges cut four stretches and more."""
    one = Tank((point("A", True, (2.0, 2.5), 1.0),), 0.0, 4.0)
    # clear in four stretches (under 1, to 1.5, to 2, to 2.5) and acted in four (over 1, over 1.5, over 2, over 2.5)
    monkeypatch.setattr(reachable, "LIMIT", 8)
    assert one.states() is not None
    monkeypatch.setattr(reachable, "LIMIT", 7)
    assert one.states() is None


@pytest.mark.parametrize(("band", "by", "narrowed"), [
    (Band(1.0, 2.0), 0.2, Band(1.2, 1.8)), (Band(1.0, 2.0), 0.5, Band(1.5, 1.5)), (Band(1.0, 2.0), 0.7, Band(1.5, 1.5)),
    (Band(1.0, 2.0), 0.0, Band(1.0, 2.0))])
def test_a_band_without_the_error_that_a_body_shares(band: Band, by: float, narrowed: Band) -> None:
    found = _narrowed(band, by)
    assert (found.low, found.high) == (pytest.approx(narrowed.low), pytest.approx(narrowed.high))

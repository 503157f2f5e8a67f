"""Signals that tell where a final element stands, against scipy's event integration and numbers worked by hand."""

from typing import Any, cast

import pytest
from scipy.integrate import solve_ivp

from generator import compute
from generator.model.course import Course
from generator.model.plant import Definitions
from tests.compute import small
from tests.compute.test_courses import chord_area, point, run, scenario, sump, travel, when

IN, PUMP = 36 / 3600, 54 / 3600
RUNNING = {"YS-1": {"area": "A", "service": "Pump runs", "kind": "running", "of": "P-1"}}
SHUT = {"ZSC-1": {"area": "A", "service": "Inlet shut", "kind": "position", "state": "closed", "of": "XV-1"}}
PEAK: dict[str, Any] = {"at": "0 s", "what": "peak", "streams": {"in": "highest"}}


def trip(when: Any, then: dict[str, str], **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "x", "kind": "trip", "because": "test", "when": when, "then": then} | keys


def released(**pump: Any) -> Definitions:
    """The sump of the course tests; its inlet stays shut while its pump stands, its pump is the one that lets it open."""
    made = {"P-1": small.pump("54 m3/h", stop_time="4 s", start_time="3 s", **pump)}
    return sump(signals=RUNNING, pumps=made, interlocks={"I-1": trip({"not": "YS-1"}, {"XV-1": "closed"})},
                scenarios=scenario(PEAK, starts_at="1.3 m"))


def test_a_running_signal_opens_a_valve_and_lets_it_shut_again_against_scipy() -> None:
    """1.3 m is over the start point: the pump runs at the start and the inlet is open, so that 18 m3/h net go out."""
    course, _ = run(released(), "one")

    def reached(_time: float, level: Any) -> float:
        return float(level[0] - 0.6)

    cast("Any", reached).terminal = True
    found = solve_ivp(lambda _time, level: [(IN - PUMP) / chord_area(level[0])], (0, 9e3), [1.3], events=reached,
                      rtol=1e-10, atol=1e-12, max_step=20)
    stops = float(found.t_events[0][0])
    assert when(course, "LSL-1", "acted") == pytest.approx(stops, rel=1e-6)
    assert when(course, "P-1", "stopped") == pytest.approx(stops + 4, rel=1e-6)
    assert when(course, "I-1", "acts") == pytest.approx(stops + 4, rel=1e-6)
    assert when(course, "XV-1", "closed") == pytest.approx(stops + 12, rel=1e-6)


@pytest.mark.parametrize(("within", "late"), [("1 s", 0.0), ("10 s", 6.0), (None, 0.0)])
def test_a_signal_comes_when_its_feedback_time_is_over_and_not_before_its_element(within: str | None, late: float) -> None:
    """The pump takes 4 s to stop: a feedback within 10 s of the order may be 6 s later, one within 1 s no earlier."""
    feedback = {"by": "run contact"} | ({"within": within} if within else {})
    course, _ = run(released(feedback=feedback), "one")
    assert when(course, "I-1", "acts") - when(course, "P-1", "stopped") == pytest.approx(late, abs=1e-6)


def test_a_running_time_counts_from_the_signal() -> None:
    """Inflow 72 m3/h against a pump of 54 m3/h: the pump runs until the cause of two minutes shuts the inlet."""
    streams = {"in": small.stream("outside", "T-1", "72 m3/h", through=["XV-1"]),
               "out": small.stream("T-1", "outside", "54 m3/h", moved_by="P-1")}
    course, _ = run(sump(signals=RUNNING, streams=streams, scenarios=scenario(PEAK), interlocks={
        "I-1": trip({"held": "2 min", "of": "YS-1"}, {"XV-1": "closed"}, on_delay="2 s")}), "one")
    starts = travel(0.7, 72 / 3600, 1.2) + 5 + 3
    assert when(course, "P-1", "running") == pytest.approx(starts, rel=1e-3)
    assert when(course, "I-1", "acts") - when(course, "P-1", "running") == pytest.approx(122, abs=1e-6)


def test_a_stuck_element_keeps_its_signal_and_a_failed_signal_keeps_itself() -> None:
    for failed, acts in (("P-1", True), ("YS-1", False)):
        course, _ = run(sump(signals=RUNNING, interlocks={"I-1": trip({"not": "YS-1"}, {"XV-1": "closed"})}, scenarios=scenario(
            PEAK | {"fails": failed}, starts_at="1.1 m")), "one")
        ends = [event.turned for event in course.events if event.kind == "interlock"]
        assert ("lets go" not in ends) is acts, (failed, ends)


def test_a_position_signal_follows_the_state_that_it_tells_of() -> None:
    """1.1 m to 1.6 m of the lying tank at 36 m3/h, 2 s, 8 s of stroke: then ZSC-1 is on, and what waits for it acts."""
    lock = {"I-1": trip("LSHH-1", {"XV-1": "closed"}, on_delay="2 s"), "I-2": trip("ZSC-1", {"P-1": "running"})}
    course, _ = run(sump(signals=SHUT, interlocks=lock, scenarios=scenario(
        PEAK | {"fails": "LSH-1"}, starts_at="1.1 m")), "one")
    assert when(course, "I-2", "acts") == pytest.approx(when(course, "XV-1", "closed"), abs=1e-6)
    assert when(course, "XV-1", "closed") == pytest.approx(travel(1.1, IN, 1.6) + 10, rel=1e-3)


def burning(both: bool) -> Course:
    """An upright tank of 2 m that two burners draw at 36 m3/h; below 0.6 m its trip puts out both, or one of the two."""
    burners = {name: {"area": "A", "service": "x", "kind": "burner"} for name in ("BR-1", "BR-2")}
    plant = sump(small.UPRIGHT, pumps={}, controls={}, equipment=burners, switches={"LSL-1": point("falling", "0.6 m", "trip")},
                 streams={"in": small.stream("outside", "T-1", "18 m3/h", through=["XV-1"]),
                          "burnt": small.stream("T-1", "outside", "36 m3/h", used_by=["BR-1", "BR-2"])},
                 interlocks={"I-1": trip("LSL-1", dict.fromkeys(burners if both else ("BR-1",), "off"), latch={
                     "survives_power_loss": "no"})},
                 scenarios=scenario({"at": "0 s", "what": "firing", "streams": {"in": "none", "burnt": "highest"}}))
    return run(plant, "one")[0]


def test_what_burners_use_ceases_when_all_of_them_are_off() -> None:
    """0.7 m to 0.6 m: 0.1 pi m3 at 0.01 m3/s is 31.416 s; the level then stands, or goes on to the bottom."""
    course = burning(both=True)
    assert when(course, "burnt", "ceased") == pytest.approx(31.416, abs=1e-2)
    assert course.points[-1][1] == pytest.approx(0.6, abs=1e-6)
    assert burning(both=False).points[-1][1] == pytest.approx(0.0, abs=1e-6)


def test_the_explorer_lets_a_valve_open_by_the_running_signal() -> None:
    """Over the start point the pump runs, so the inlet stands open; under the stop point both are at rest."""
    table = compute.results(released(), small.KNOWLEDGE).explorers["T-1"]
    places = {item.tag: place for place, item in enumerate(table.items)}

    def look(fault: int, way: int, band: int) -> tuple[str, ...]:
        return tuple(table.states[fault][way][band][places[tag]] for tag in ("P-1", "XV-1"))

    top = len(table.edges)
    assert look(0, 0, top) == ("running", "open")
    assert look(0, 1, 0) == ("stopped", "closed")
    stuck = next(number for number, fault in enumerate(table.faults) if fault.tag == "P-1")
    assert look(stuck, 0, top) == ("stopped", "closed")

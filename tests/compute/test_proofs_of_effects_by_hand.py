"""What interlocks do to devices and levels, each verdict worked out by hand on two tanks: T-1 feeds T-2 by P-1 through XV-2.

No source but the logic itself: every row is a truth table of one or two lines.
"""

from functools import cache
from typing import Any

import pytest

from generator.compute.formulas import No, together
from generator.compute.liquid_effects import LiquidEffects
from generator.compute.proofs_of_effects import ProofsOfEffects
from generator.compute.world import World
from generator.model.proof import Proof
from generator.model.scalar import Tag
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock

POINTS = {"L": ("T-1", "falling", "1 m"), "H": ("T-1", "rising", "2 m"), "HH": ("T-1", "rising", "3 m"),
          "L2": ("T-2", "falling", "1 m"), "H2": ("T-2", "rising", "3 m")}


def nouns(locks: dict[str, Any], roles: dict[str, str] | None = None, **others: Any) -> dict[str, Any]:
    """XV-1 lets in to T-1, P-1 pumps through XV-2 to T-2, XV-3 drains T-2; A-1 to A-3 are pumps in a group of their own."""
    points = {tag: one for tag, one in POINTS.items() if (roles or {}).get(tag) != "none"}
    return {
        "plant": {"defaults": {"accuracy": {"own": "5 mm"}}},
        "tanks": {"T-1": small.tank(), "T-2": small.tank()},
        "instruments": {f"LX-{tag}": small.body(tank, differential="50 mm") for tag, (tank, *_) in points.items()},
        "switches": {tag: small.switch(acts, issued=height, **{"in": f"LX-{tag}", "role": (roles or {}).get(tag, "trip")})
                     for tag, (_, acts, height) in points.items()},
        "signals": {tag: {"area": "A", "service": "hot", "kind": "temperature"} for tag in ("O", "Q")},
        "valves": {tag: {"area": "A", "service": "valve", "kind": "on-off"} for tag in ("XV-1", "XV-2", "XV-3", "XV-9")},
        "pumps": {"P-1": small.pump(), "P-2": small.pump(suction={"tank": "T-2", "kind": "bell", "height": "0.2 m"})},
        "pump_groups": {"PG-1": {"name": "both", "pumps": ["P-1", "P-2"], "arrangement": "duty/standby"}},
        "streams": {"in": small.stream("outside", "T-1", "10 m3/h", through=["XV-1"]),
                    "over": small.stream("T-1", "T-2", "10 m3/h", moved_by="P-1", through=["XV-2"]),
                    "drain": small.stream("T-2", "outside", "10 m3/h", through=["XV-3"])},
        "panels": {"PB": {"area": "A", "where": "gallery"}},
        "modes": {"auto": {"name": "auto", "means": "auto"}},
        "interlocks": locks} | others


@cache
def _of_levels() -> Any:
    return small.worked(**nouns({}))


def proofs_on(plant: Any) -> ProofsOfEffects:
    levels = _of_levels()
    return ProofsOfEffects(plant, World(plant, levels.setpoints, levels.tanks))


def conflict(**locks: dict[str, Any]) -> Proof:
    """What is said of two interlocks that drive XV-1."""
    return proofs_on(small.plant(**nouns({name.replace("_", "-"): one for name, one in locks.items()}))).conflict(Tag("XV-1"))


SHUT, OPEN = {"XV-1": "closed"}, {"XV-1": "open"}
LATCH = {"latch": {"survives_power_loss": "yes"}, "reset": {"at": ["PB"], "by": "operator", "when": {"not": "O"}}}


@pytest.mark.parametrize(("one", "other", "verdict"), [
    (lock("O", SHUT), lock("Q", OPEN), "fails"),  # nothing ties two signals together
    (lock("O", SHUT), lock("Q", SHUT), "holds"),  # both want the same
    (lock("O", SHUT), lock({"not": "O"}, OPEN), "holds"),  # never together
    (lock("L", SHUT), lock("HH", OPEN), "holds"),  # no level is low and high
    (lock("H", SHUT), lock("HH", OPEN), "fails"),
    (lock("O", SHUT, wins_over=["I-2"]), lock("Q", OPEN), "holds"),
    (lock("O", SHUT), lock("Q", OPEN, wins_over=["I-1"]), "holds"),
    (lock("O", SHUT, wins_over=["I-2"]), lock("Q", OPEN, wins_over=["I-1"]), "fails"),
    (lock("O", SHUT), lock("Q", OPEN, kind="permissive"), "holds"),  # a permissive asks for nothing
    (lock("L", SHUT, **LATCH), lock("HH", OPEN), "fails"),  # held from before
    (lock("L", SHUT), lock("HH", OPEN, **LATCH), "fails"),
    (lock("O", SHUT, **LATCH), lock({"not": "O"}, OPEN), "fails"),
    (lock({"all_of": ["L", "HH"]}, SHUT, **LATCH), lock("Q", OPEN), "holds"),  # what never acts is never held
    (lock("L", SHUT, **LATCH), lock({"all_of": ["L", "HH"]}, OPEN), "holds"),  # nor does the other ever come
])
def test_two_interlocks_that_want_one_valve_in_two_states(one: Any, other: Any, verdict: str) -> None:
    found = conflict(I_1=one, I_2=other)
    assert found.verdict == verdict
    assert (found.others == ("I-1", "I-2")) is (verdict == "fails")


def test_a_conflict_names_who_wants_what() -> None:
    found = conflict(I_1=lock("O", SHUT), I_2=lock("Q", OPEN))
    assert found.evidence == "I-1 closed, I-2 open"
    assert "I-1 wants XV-1 closed and I-2 wants it open" in found.words
    assert "O is on" in found.words and "Q is on" in found.words
    mutual = conflict(I_1=lock("O", SHUT, wins_over=["I-2"]), I_2=lock("Q", OPEN, wins_over=["I-1"]))
    assert mutual.evidence == "I-1 and I-2 win over each other"


def test_a_latch_that_holds_from_before_tells_both_moments_in_their_order() -> None:
    for first, second in ((("L", SHUT, LATCH), ("HH", OPEN, {})), (("HH", SHUT, {}), ("L", OPEN, LATCH))):
        found = conflict(I_1=lock(first[0], first[1], **first[2]), I_2=lock(second[0], second[1], **second[2]))
        before, _, after = found.words.partition("acts and is held")
        assert "L has acted" in before and "HH has acted" in after


@pytest.mark.parametrize(("pairs", "said"), [
    ([], "no opposite demands"),
    ([("O", OPEN)], "no opposite demands"),
    ([("O", OPEN), ({"not": "O"}, SHUT)], "1 pair of opposite demands, never together or with a stated priority"),
    ([("O", OPEN), ({"not": "O"}, SHUT), ({"not": "O"}, SHUT)],
     "2 pairs of opposite demands, never together or with a stated priority"),
])
def test_pairs_of_opposite_demands_are_counted(pairs: Any, said: str) -> None:
    found = conflict(**{f"I_{place}": lock(*one) for place, one in enumerate(pairs, 1)})
    assert (found.verdict, found.words) == ("holds", said)


def test_a_conflict_that_hangs_on_a_point_without_a_height_is_not_assessed() -> None:
    made = nouns({"I-1": lock("HH", SHUT), "I-2": lock("H", OPEN)})
    made["switches"]["HH"]["height"] = {"needs": []}
    plant = small.plant(**made)
    worked = small.worked(**made)
    found = ProofsOfEffects(plant, World(plant, worked.setpoints, worked.tanks)).conflict(Tag("XV-1"))
    assert (found.verdict, found.missing) == ("cannot be assessed", ("HH: height.issued",))


@pytest.mark.parametrize(("first", "second", "missing"), [
    ("HH", "L", ("HH: height.issued",)),  # at once or later
    # never at once, by O: held first, then the other; with H it matters where HH stands
    ({"all_of": ["HH", "H", "O"]}, {"all_of": ["L2", {"not": "O"}]}, ("HH: height.issued",)),
    ({"all_of": ["L2", "O"]}, {"all_of": ["HH", "H", {"not": "O"}]}, ("HH: height.issued",)),
    ({"all_of": ["HH", "H", "O"]}, {"all_of": ["L2", "H2", {"not": "O"}]}, ()),  # the other never comes
    ({"all_of": ["L2", "H2", "O"]}, {"all_of": ["HH", "H", {"not": "O"}]}, ()),  # nothing is ever held
])
def test_a_latch_beside_a_point_without_a_height(first: Any, second: Any, missing: tuple[str, ...]) -> None:
    made = nouns({"I-1": lock(first, SHUT, **LATCH), "I-2": lock(second, OPEN)})
    made["switches"]["HH"]["height"] = {"needs": []}
    plant, worked = small.plant(**made), small.worked(**made)
    found = ProofsOfEffects(plant, World(plant, worked.setpoints, worked.tanks)).conflict(Tag("XV-1"))
    assert (found.verdict, found.missing) == ("cannot be assessed" if missing else "holds", missing)


def test_steps_are_those_of_all_questions_that_were_put() -> None:
    locks = {"I-1": lock("L", SHUT, **LATCH), "I-2": lock({"all_of": ["L", "HH"]}, OPEN), "I-3": lock({"not": "L"}, OPEN)}
    plant = small.plant(**nouns(locks))
    work = proofs_on(plant)
    forms = {tag: work.world.formulas.of(one.when) for tag, one in plant.interlocks.items()}
    one, other, third = forms.values()
    asked = [together(one, other), one, together(other, No(one)), together(one, third), one, together(third, No(one))]
    assert work.conflict(Tag("XV-1")).steps == sum(work.world.can(formula).steps for formula in asked) > 0


def test_a_conflict_of_a_group_is_one_of_its_pumps() -> None:
    plant = small.plant(**nouns({"I-1": lock("O", {"PG-1": "stopped"}), "I-2": lock("Q", {"P-1": "running"})}))
    assert proofs_on(plant).conflict(Tag("P-1")).evidence == "I-1 stopped, I-2 running"


@pytest.mark.parametrize(("one", "other", "verdict"), [
    # HH shuts the inlet; by that the level falls and HH lets go, while O still asks for it open
    (lock("HH", SHUT, wins_over=["I-2"]), lock("O", OPEN), "fails"),
    (lock("HH", SHUT, wins_over=["I-2"], **LATCH), lock("O", OPEN), "holds"),
    (lock("HH", SHUT, wins_over=["I-2"], off_delay="60 s"), lock("O", OPEN), "holds"),
    (lock("HH", SHUT), lock("O", OPEN), "holds"),  # wins over nothing
    (lock("HH", SHUT, wins_over=["I-2"]), lock("O", SHUT), "holds"),  # asks for the same
    (lock("HH", SHUT, wins_over=["I-2"]), lock("L", OPEN), "holds"),  # never together
    (lock("HH", SHUT, wins_over=["I-2"]), lock("O", {"XV-3": "open"}), "holds"),  # another valve
    (lock("O", SHUT, wins_over=["I-2"]), lock("HH", OPEN), "holds"),  # no level behind the one that wins
    (lock("L", OPEN, wins_over=["I-2"]), lock("O", SHUT), "fails"),  # the mirror image
    (lock("L", SHUT, wins_over=["I-2"]), lock("O", OPEN), "holds"),  # makes its cause worse, does not let go
    (lock("HH", OPEN, wins_over=["I-2"]), lock("O", SHUT), "holds"),
    (lock("HH", SHUT, wins_over=["I-2"]), lock("O", OPEN, kind="permissive"), "holds"),
    (lock("HH", SHUT, kind="permissive", wins_over=["I-2"]), lock("O", OPEN), "holds"),
    (lock("HH", SHUT, wins_over=["I-3"]), lock("O", OPEN), "holds"),  # over one that drives nothing here
])
def test_a_priority_that_undoes_itself(one: Any, other: Any, verdict: str) -> None:
    plant = small.plant(**nouns({"I-1": one, "I-2": other, "I-3": lock("O", {"XV-3": "closed"})}))
    found = proofs_on(plant).hunts(Tag("XV-1"))
    assert (found.verdict, found.others) == (verdict, ("I-1", "I-2") if verdict == "fails" else ())


@pytest.mark.parametrize(("when", "mine", "theirs", "way", "back"), [("HH", SHUT, OPEN, "falls", "rises"),
                                                                     ("L", OPEN, SHUT, "rises", "falls")])
def test_hunting_tells_which_way_the_level_goes_and_comes_back(when: str, mine: Any, theirs: Any, way: str, back: str) -> None:
    plant = small.plant(**nouns({"I-1": lock(when, mine, wins_over=["I-2"]), "I-2": lock("O", theirs)}))
    words = proofs_on(plant).hunts(Tag("XV-1")).words
    assert f"I-1 wins: XV-1 {mine['XV-1']}. By that T-1 {way} and I-1 lets go" in words
    assert f"I-2 still asks: XV-1 {theirs['XV-1']}, T-1 {back} again" in words


def test_a_pump_of_a_group_hunts_as_the_group_does() -> None:
    plant = small.plant(**nouns({"I-1": lock("L", {"PG-1": "stopped"}, wins_over=["I-2"]), "I-2": lock("O", {"P-1": "running"})}))
    assert proofs_on(plant).hunts(Tag("P-1")).evidence == "I-1 and I-2 in turn"


# Rows: a device, T-1 and T-2 when it runs or opens: +1 up, -1 down, 0 neither. P-1 stands between both.
@pytest.mark.parametrize(("device", "first", "second"), [
    ("XV-1", 1, 0), ("P-1", -1, 1), ("XV-2", -1, 1), ("XV-3", 0, -1), ("XV-9", 0, 0), ("P-2", 0, -1), ("PG-1", -1, 0)])
def test_what_a_device_does_to_two_levels(device: str, first: int, second: int) -> None:
    liquid = LiquidEffects(small.plant(**nouns({})))
    for on, off in (("open", "closed"), ("running", "stopped"), ("on", "off")):
        assert [liquid.change(device, on, tank) for tank in ("T-1", "T-2")] == [first, second]
        assert [liquid.change(device, off, tank) for tank in ("T-1", "T-2")] == [-first, -second]
    assert liquid.change(device, "position 2", "T-1") == 0
    # of the tanks at the ends of the device's own streams
    ends = {"XV-1": ["T-1"], "P-1": ["T-1", "T-2"], "XV-2": ["T-1", "T-2"], "XV-3": ["T-2"], "PG-1": ["T-1"]}.get(device, [])
    assert liquid.neighbours(device, "open") == tuple(
        (tank, {"T-1": first, "T-2": second}[tank]) for tank in ends)


def test_what_runs_over_by_itself_is_no_work_of_a_valve_behind_it() -> None:
    made = nouns({})
    made["streams"]["spill"] = small.stream("T-1", "T-2", "10 m3/h", through=["XV-9"], by_overflow="yes")
    liquid = LiquidEffects(small.plant(**made))
    assert [liquid.change("XV-9", "open", tank) for tank in ("T-1", "T-2")] == [0, 1]


def feeds(when: Any, then: dict[str, str], **keys: Any) -> Proof:
    plant = small.plant(**nouns({"I-1": lock(when, then, **keys)}))
    return proofs_on(plant).feeds(Tag("I-1"), plant.interlocks[Tag("I-1")])


@pytest.mark.parametrize(("when", "then", "fed"), [
    ("HH", {"XV-1": "open"}, ("XV-1",)), ("HH", {"XV-1": "closed"}, ()), ("HH", {"P-1": "stopped"}, ("P-1",)),
    ("L", {"XV-1": "closed"}, ("XV-1",)), ("L", {"XV-1": "open"}, ()), ("L", {"P-1": "running"}, ("P-1",)),
    ({"not": "HH"}, {"XV-1": "closed"}, ("XV-1",)), ({"not": "HH"}, {"XV-1": "open"}, ()),
    ("HH", {"XV-3": "open"}, ()), ("HH", {"XV-1": "open", "P-1": "stopped"}, ("XV-1", "P-1")),
    # the outlet shut on a high level next door floods this one, and helps the one that asked
    ({"any_of": ["HH", "H2"]}, {"P-1": "stopped"}, ()),
    ({"any_of": ["HH", "H2"]}, {"XV-1": "open"}, ("XV-1",)),  # helps nobody
    ({"any_of": ["L", "L2"]}, {"P-1": "running"}, ()), ({"any_of": ["HH", "L2"]}, {"P-1": "stopped"}, ("P-1",)),
])
def test_an_effect_that_makes_its_cause_worse(when: Any, then: dict[str, str], fed: tuple[str, ...]) -> None:
    found = feeds(when, then)
    assert (found.verdict, found.others) == ("fails" if fed else "holds", fed)


@pytest.mark.parametrize(("when", "then", "way"), [("HH", {"XV-1": "open"}, "rises"), ("L", {"P-1": "running"}, "falls")])
def test_what_feeds_its_cause_is_told_with_the_point_and_the_way(when: str, then: dict[str, str], way: str) -> None:
    found = feeds({"any_of": [when, "O"]}, then)
    assert found.words.startswith(f"T-1 {way} to {when}, and I-1 acts: ") and f"By that T-1 {way} further" in found.words
    assert not found.eased


@pytest.mark.parametrize(("note", "verdict", "eased"), [
    ("", "fails", True), ("XV-1 flushes", "fails", True), ("XV-1 and XV-2 flush", "holds", False), ("O is fine", "fails", True)])
def test_a_note_excuses_what_it_names_where_something_else_helps(note: str, verdict: str, eased: bool) -> None:
    keys = {"note": note} if note else {}
    found = feeds("HH", {"XV-1": "open", "XV-2": "closed", "P-1": "running"}, **keys)
    assert (found.verdict, found.eased) == (verdict, eased)


def neighbours(when: Any, then: dict[str, str], roles: dict[str, str], **others: Any) -> Proof:
    plant = small.plant(**nouns({"I-1": lock(when, then)}, roles, **others))
    return proofs_on(plant).neighbours(Tag("I-1"), plant.interlocks[Tag("I-1")])


@pytest.mark.parametrize(("when", "then", "roles", "bare"), [
    ("L", {"P-1": "stopped"}, {}, ()),  # T-2 falls, and L2 tells
    ("HH", {"P-1": "running"}, {"H2": "none"}, ("T-2",)),  # T-2 rises unseen
    ("HH", {"P-1": "running"}, {"H2": "alarm"}, ()), ("HH", {"P-1": "running"}, {"H2": "trip"}, ()),
    ("HH", {"P-1": "running"}, {"H2": "control"}, ("T-2",)),  # a control calls nobody
    ("HH", {"P-1": "running"}, {"L2": "none"}, ()),
    ("L", {"P-1": "stopped"}, {"L2": "none"}, ("T-2",)),  # a pump draws from T-2
    ("L", {"P-1": "stopped"}, {"L2": "none", "H2": "none"}, ("T-2",)),
    ("H2", {"P-1": "stopped"}, {"HH": "none", "H": "none"}, ("T-1",)), ("H2", {"P-1": "stopped"}, {"HH": "none"}, ()),
    ("H2", {"XV-3": "open"}, {"L2": "none"}, ()),  # its own tank is no neighbour
    ({"any_of": ["H", "H2"]}, {"P-1": "stopped"}, {"HH": "none"}, ()),
])
def test_a_neighbour_that_an_effect_floods_or_starves(
    when: Any, then: dict[str, str], roles: dict[str, str], bare: tuple[str, ...],
) -> None:
    found = neighbours(when, then, roles)
    assert (found.verdict, found.others) == ("fails" if bare else "holds", bare)


@pytest.mark.parametrize(("begins", "verdict"), [
    ("T-2 empty", "fails"), ("T-2 overflow", "holds"), ("T-2 rim", "holds"), ("T-1 empty", "holds"), (None, "holds")])
def test_a_tank_that_may_run_empty_without_harm_needs_no_low_point(begins: str | None, verdict: str) -> None:
    made = {"pumps": {"P-1": small.pump()}, "pump_groups": {}}  # nothing draws from T-2 now
    if begins is not None:
        made["hazards"] = {"HZ-1": {"what": "x", "begins_at": begins, "harms": "equipment", "safe_state": "x"}}
    assert neighbours("L", {"P-1": "stopped"}, {"L2": "none"}, **made).verdict == verdict


@pytest.mark.parametrize(("when", "then", "way", "roles"), [("HH", "running", "rises", {"H2": "none"}),
                                                            ("L", "stopped", "falls", {"L2": "none"})])
def test_which_way_the_neighbour_goes(when: str, then: str, way: str, roles: dict[str, str]) -> None:
    words = neighbours(when, {"P-1": then}, roles).words
    assert f"I-1 acts: P-1 {then}. T-2 {way}" in words and f"acts on a {way[:-1].replace('rise', 'ris')}ing level" in words


HAZARDS = {"hazards": {tag: {"what": "x", "begins_at": "T-1 empty", "harms": "equipment", "safe_state": "x"}
                       for tag in ("HZ-1", "HZ-2")}}
START, STOP = {"P-1": "running"}, {"P-1": "stopped"}


@pytest.mark.parametrize(("permit", "others", "verdict"), [
    (lock("H", START, kind="permissive"), [], "fails"),  # nothing stops the pump when H is lost
    (lock("H", START, kind="permissive"), [lock("L", STOP)], "holds"),
    (lock("H", START, kind="permissive"), [lock("HH", STOP)], "fails"),  # the other side
    (lock("H", START, kind="permissive"), [lock("L2", STOP)], "fails"),  # another tank
    (lock("H", START, kind="permissive"), [lock("L", {"P-2": "stopped"})], "fails"),  # another pump
    (lock("H", START, kind="permissive"), [lock("L", STOP, kind="permissive")], "fails"),
    (lock("H", START, kind="permissive"), [lock("L", {"P-1": "running"})], "fails"),
    (lock("H", START, kind="permissive"), [lock("O", STOP)], "fails"),
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", STOP, hazard="HZ-1")], "holds"),  # told by another cause
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", SHUT, hazard="HZ-1")], "holds"),
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", SHUT)], "fails"),
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", STOP)], "fails"),
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", STOP, hazard="HZ-2")], "fails"),
    (lock("H", START, kind="permissive", hazard="HZ-1"), [lock("O", SHUT, kind="permissive", hazard="HZ-1")], "fails"),
    (lock({"not": "L"}, START, kind="permissive"), [lock("L", STOP)], "holds"),
    (lock("L", OPEN, kind="permissive"), [lock("H", SHUT)], "holds"),  # a filling valve, lost by a rising level
    (lock("L", OPEN, kind="permissive"), [lock("L", SHUT)], "fails"),
    (lock("O", START, kind="permissive"), [], "holds"),  # no level
    (lock("H", STOP, kind="permissive"), [], "fails"),  # forces, as a permissive cannot
    (lock("H", SHUT, kind="permissive"), [], "fails"),
])
def test_what_runs_when_a_permissive_is_lost(permit: Any, others: list[Any], verdict: str) -> None:
    locks = {"I-1": permit} | {f"I-{place}": one for place, one in enumerate(others, 2)}
    plant = small.plant(**nouns(locks, **HAZARDS))
    (found,) = proofs_on(plant).of(Tag("I-1"), plant.interlocks[Tag("I-1")])
    assert found.verdict == verdict


def test_a_permissive_by_an_ordinary_point_protects_from_nothing_unless_a_hazard_is_named() -> None:
    for keys, verdict in (({}, "holds"), ({"hazard": "HZ-1"}, "fails")):
        plant = small.plant(**nouns({"I-1": lock("H", START, kind="permissive", **keys)}, {"H": "control"}, **HAZARDS))
        found = proofs_on(plant).permissive(Tag("I-1"), plant.interlocks[Tag("I-1")])
        assert found.verdict == verdict
        assert found.words == "it protects from no listed hazard" or verdict == "fails"


@pytest.mark.parametrize(("when", "then", "said"), [
    ("H", START, "P-1 runs. T-1 falls past H"), ("L", OPEN, "XV-1 stands open. T-1 rises past L"),
    ("H", {"E-1": "on"}, "E-1 is on. T-1 falls past H")])
def test_what_goes_on_past_a_lost_permissive(when: str, then: dict[str, str], said: str) -> None:
    heater = {"equipment": {"E-1": {"area": "A", "service": "heat", "kind": "heater"}}}
    plant = small.plant(**nouns({"I-1": lock(when, then, kind="permissive")}, **heater))
    found = proofs_on(plant).permissive(Tag("I-1"), plant.interlocks[Tag("I-1")])
    assert found.words.startswith(said)
    assert found.others == (next(iter(then)), when)


def test_questions_of_effects_are_asked_where_a_level_asks() -> None:
    plant = small.plant(**nouns({"I-1": lock("O", SHUT), "I-2": lock("H", SHUT), "I-3": lock("H", OPEN, kind="permissive"),
                                  "I-4": lock({"any_of": ["O", "H"]}, SHUT)}))
    work = proofs_on(plant)
    asked = {tag: [one.question for one in work.of(tag, lock_)] for tag, lock_ in plant.interlocks.items()}
    of_level = ["effect does not feed its cause", "neighbours are protected"]
    assert asked == {"I-1": [], "I-2": of_level, "I-3": ["permissive is no trip"], "I-4": of_level}

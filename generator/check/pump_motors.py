"""Motors of pumps: their current, what switches them, and their restart after a loss of power: rules 6.13 to 6.16."""

from generator.check.absences import missing_of
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfPump, OfSupply
from generator.check.words import listed, time
from generator.model.record import Absence, Outcome, Record, value_of
from generator.model.results import MotorSwitching

PRACTICE = "common practice, no source"
NEAR_WORKED, NEAR_TABLE = 0.15, 0.35


def _stated(pump: OfPump) -> float | None:
    motor = pump.pump.motor
    return motor.full_load_current.si if motor and motor.full_load_current else None


def _to_check_by(pump: OfPump) -> list[tuple[str, float, float]]:
    result = pump.result
    if result is None:
        return []
    found: list[tuple[str, Outcome | None, float]] = [
        ("worked out from its power", result.worked_current, NEAR_WORKED),
        ("in a published table", result.tabled_current, NEAR_TABLE)]
    return [(words, one.value, near) for words, one, near in found if isinstance(one, Record)]


@rule("6.13", "The stated current of the motor agrees with its power", scope="pump", severity="note", basis=PRACTICE,
      conditions=(When("a full-load current is stated", lambda pump: _stated(pump) is not None),
                  When("it can be worked out or stands in a published table", lambda pump: bool(_to_check_by(pump)))))
def stated_current_agrees_with_the_power(pump: OfPump) -> Answer:
    """Compares the current of the nameplate with the one worked out from power, voltage, efficiency and power factor
    (within 15 %), and with a published table (within 35 %, since tables are made for wires and breakers).

    A current that is far off was read from another motor, or belongs to another voltage. Cure: read the nameplate again.
    """
    stated = _stated(pump) or 0.0
    for words, value, near in _to_check_by(pump):
        if abs(stated - value) > near * value:
            return Fail(f"{stated:.3g} A stated, {value:.3g} A {words}", f"{stated:.3g} A, {value:.3g} A {words}",
                        "read the nameplate again")
    return Pass(f"{stated:.3g} A; " + ", ".join(f"{value:.3g} A {words}" for words, value, _ in _to_check_by(pump)))


@rule("6.14", "What switches a motor is made for it", scope="pump", severity="warning",
      basis="IEC 60947-4-1, utilisation category AC-3", conditions=(
          When("a relay, a contactor or its own starter is said to drive it", lambda pump: bool(_relays(pump))),))
def what_switches_a_motor_is_made_for_it(pump: OfPump) -> Answer:
    """Asks for a category for motors and enough current in it, of a relay that acts on the motor and of the pump's starter.

    A relay that only acts on the starter in the pump's panel switches its coil; that is judged with the relay.

    A relay for coils welds at the first start of a motor, and then the pump no longer stops.
    Cure: a contactor between, or the relay's category and rating.
    """
    said = []
    for one in _relays(pump):
        if one.may is None:
            if isinstance(one.limit, Absence):
                return Missing(missing_of(one.limit))
            full = pump.result.full_load_current if pump.result else None
            return Missing(missing_of(full) if isinstance(full, Absence) else (f"{pump.tag}: motor",))
        if not one.may:
            return Fail(f"{one.by}: {one.why}", f"{one.by}: {one.why}", "put a contactor between", also=(one.by,))
        said.append(f"{one.by}: {one.why}")
    return Pass("; ".join(said))


def _relays(pump: OfPump) -> list[MotorSwitching]:
    found = pump.result.switched_by if pump.result else ()
    return [one for one in found if one.by == pump.tag or one.by in pump.context.plant.relays]


@rule("6.15", "A restart waits until the motor has rested", scope="pump", severity="warning", basis=PRACTICE,
      conditions=(
          When("it starts by itself when power returns", lambda pump: bool(
              pump.pump.restart and pump.pump.restart.by_itself and pump.pump.supply)),
          When("its motor has a least time at rest", lambda pump: (
              pump.result is not None and isinstance(pump.result.least_rest, Record)))))
def restart_waits_until_the_motor_has_rested(pump: OfPump) -> Answer:
    """Compares the delay of the restart with the least time at rest, since the power may be away for a moment only.

    A motor that is started hot and still turning draws more than at any other start. Cure: a longer `restart.after`,
    or a longer `stagger` for one that is not the first of its group.
    """
    rest = value_of(pump.result.least_rest if pump.result else None) or 0.0
    after = pump.context.results.records.get(f"#{pump.tag}/restart")
    delay = after.value if isinstance(after, Record) else 0.0
    if delay >= rest - 1e-9:
        return Pass(f"it waits {time(delay)}, asked for are {time(rest)}")
    return Fail(f"it waits {time(delay)}, its motor asks for {time(rest)}", f"{time(delay)} of {time(rest)}",
                "let it wait longer")


@rule("6.16", "The supply carries the motors that restart", scope="supply", severity="warning", basis=PRACTICE, conditions=(
    When("what it can give to motors is stated", lambda subject: subject.supply.carries is not None),
    When("pumps hang on it", lambda subject: subject.tag in subject.context.results.restarts)))
def supply_carries_the_motors_that_restart(subject: OfSupply) -> Answer:
    """Adds, moment by moment, the currents of the motors that run already and of those that start, and compares the
    largest sum with what the supply can give.

    Where the voltage falls too far no motor comes up, and the station stands still. Cure: more time between the starts.
    """
    line = subject.context.results.restarts[subject.tag]
    if isinstance(line.largest, Absence):
        return Missing(missing_of(line.largest))
    carries = subject.supply.carries
    limit = carries.si if carries else 0.0
    said = f"{line.largest.value:.3g} A of {limit:.3g} A"
    if line.largest.value <= limit * (1 + 1e-9):
        return Pass(said)
    worst = [step.tag for step in line.steps if isinstance(step.current, Record) and step.current.value == line.largest.value]
    return Fail(f"{said} while {listed(worst)} start", said, "leave more time between the starts", also=tuple(worst))

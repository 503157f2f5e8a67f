"""Alarms beside each other and before what follows them: rules 2.9, 2.11 to 2.13, 2.15 and 2.17."""

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfAlarm, OfTank, Whole
from generator.check.words import listed
from generator.model.scalar import Tag

ALARM_STANDARD = "ANSI/ISA-18.2-2016 and IEC 62682, rationalisation of alarms (from memory)"
PRACTICE = "common practice, no source"


@rule("2.9", "One level has one priority", scope="tank", severity="warning", basis=ALARM_STANDARD)
def one_level_has_one_priority(subject: OfTank) -> Answer:
    """Asks that two alarms of one direction whose points can act at the same height carry the same priority.

    Two priorities for one level teach the operator to wait for the second.
    Cure: one alarm, or one priority.
    """
    plant, results = subject.context.plant, subject.context.results
    alarms = [(tag, plant.alarms[tag], results.setpoints[point])
              for point in plant.switches_of[subject.tag] if point in results.setpoints
              for tag in plant.alarms_of[point]]
    for place, (one, first, at) in enumerate(alarms):
        for other, second, also_at in alarms[place + 1:]:
            if at.stands is None or also_at.stands is None or at.acts != also_at.acts:
                continue
            if abs(at.stands - also_at.stands) < 1e-3 and first.priority != second.priority:
                return Fail(f"{one} is {first.priority}, {other} is {second.priority}",
                            f"{one} {first.priority}, {other} {second.priority}", "give both one priority",
                            at=second.place_of("priority"), also=(one, other))
    return Pass(f"{len(alarms)} alarms")


@rule("2.11", "No two alarms of one direction ask for the same action", scope="tank", severity="warning",
      basis=ALARM_STANDARD)
def alarms_do_not_repeat_an_action(subject: OfTank) -> Answer:
    """Compares the first action of the alarms of a tank, direction by direction.

    A second alarm that asks for what the first one asked for adds noise in the worst minutes.
    Cure: another action, or one alarm less.
    """
    plant = subject.context.plant
    seen: dict[tuple[str, str], str] = {}
    for point in plant.switches_of[subject.tag]:
        for tag in plant.alarms_of[point]:
            key = (plant.switches[point].acts, " ".join(plant.alarms[tag].first.lower().split()))
            if key in seen:
                return Fail(f"{seen[key]} and {tag} both say: {plant.alarms[tag].first}", f"{seen[key]} and {tag}",
                            "give the second its own action", at=plant.alarms[tag].place_of("first"),
                            also=(seen[key], tag))
            seen[key] = tag
    return Pass(f"{len(seen)} alarms, each with its own action")


@rule("2.12", "Each alarm has its own text", scope="plant", severity="error", basis=PRACTICE)
def alarm_texts_differ(subject: Whole) -> Answer:
    """Compares the texts as they stand on the screen.

    Two alarms that read the same cannot be told apart by the person who must act.
    Cure: name the tank and the level in the text.
    """
    seen: dict[str, str] = {}
    twice: list[tuple[str, str]] = []
    for tag, alarm in subject.context.plant.alarms.items():
        text = " ".join(alarm.text.upper().split())
        if text in seen:
            twice.append((seen[text], tag))
        seen[text] = tag
    if twice:
        said = "; ".join(f"{one} and {other} read the same" for one, other in twice)
        return Fail(said, said, "make the texts differ", also=tuple(tag for pair in twice for tag in pair))
    return Pass(f"{len(seen)} texts")


@rule("2.13", "Two level signals of one tank are compared", scope="tank", severity="warning",
      basis="Buncefield and Texas City investigation reports", conditions=(
          When("two transmitters measure the tank", lambda tank: len(_transmitters(tank)) > 1),))
def two_signals_are_compared(subject: OfTank) -> Answer:
    """Asks for a deviation alarm where two transmitters measure the same level.

    A stuck signal looks like a calm tank; the other signal is the only thing that tells.
    Cure: an alarm with `deviation_of`.
    """
    both = _transmitters(subject)
    near = subject.context.alarms_of_tank.get(subject.tag, ())
    found = [tag for tag in near if set(subject.context.plant.alarms[Tag(tag)].deviation_of) & set(both)]
    if found:
        return Pass(f"compared by {listed(found)}")
    return Fail(f"{listed(both)} are not compared", f"{listed(both)} not compared", "add an alarm with `deviation_of`",
                also=tuple(both))


def _transmitters(subject: OfTank) -> list[str]:
    plant = subject.context.plant
    return [tag for tag in plant.instruments_of[subject.tag] if plant.instruments[tag].range is not None]


@rule("2.15", "What the alarm comes before lies ahead of its level", scope="alarm", severity="warning", basis=ALARM_STANDARD,
      conditions=(When("it tells of a level and names what follows it", lambda alarm: (
          alarm.switch is not None and alarm.alarm.before is not None)),))
def alarm_comes_before_what_lies_ahead(alarm: OfAlarm) -> Answer:
    """Compares the direction of the alarm's point with that of the points behind `before`, on the same tank.

    A high alarm that names the low trip counts its minutes towards the wrong end of the tank.
    Cure: name the trip that comes next as the level goes on.
    """
    plant, target = alarm.context.plant, str(alarm.alarm.before)
    lock = plant.interlocks.get(Tag(target))
    points = [tag for tag in (lock.when.tags() if lock else (Tag(target),)) if tag in plant.switches]
    here = [tag for tag in points if plant.tank_of(tag) == alarm.tank_tag]
    acts = alarm.switch.acts if alarm.switch else ""
    if here and not any(_way(alarm, tag, lock is not None) == acts for tag in here):
        other = "falling" if acts == "rising" else "rising"
        return Fail(f"it sounds on a {acts} level, and {target} acts on a {other} one", f"{target} acts on a {other} level",
                    "name what follows as the level goes on", at=alarm.alarm.place_of("before"), also=(target,))
    return Pass(target)


def _way(alarm: OfAlarm, tag: Tag, in_a_cause: bool) -> str:
    """Direction in which a point comes about as part of what follows the alarm."""
    plant = alarm.context.plant
    acts, lock = str(plant.switches[tag].acts), plant.interlocks.get(Tag(str(alarm.alarm.before)))
    if in_a_cause and lock is not None and lock.when.senses(tag) == frozenset((False,)):
        return "falling" if acts == "rising" else "rising"
    return acts


@rule("2.17", "The alarm sounds in every mode", scope="alarm", severity="by consequence", basis=PRACTICE,
      conditions=(When("modes are named in which it sounds", lambda alarm: bool(alarm.alarm.live_in)),))
def alarm_sounds_in_every_mode(alarm: OfAlarm) -> Answer:
    """Compares the modes in which the alarm sounds with the modes of the plant.

    In HAND nothing holds the level but a person, who needs the alarm more than the controller does. Cure: let it sound in every
    mode; where it tells of a machine that a person has in hand, let it come from a signal of that machine instead.
    """
    silent = [tag for tag in alarm.context.plant.modes if tag not in alarm.alarm.live_in]
    if silent:
        return Fail(f"it is silent in {listed(silent)}", f"silent in {listed(silent)}", "let it sound in every mode",
                    at=alarm.alarm.place_of("live_in"))
    return Pass("it sounds in every mode")

"""Whether an interlock serves what it is for: rules 5.18 to 5.26."""

from generator.check.conditions import FORCES_A_STATE
from generator.check.context import WORST_FIRST
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Element, OfControl, OfInterlock
from generator.check.words import listed
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
SRS = "IEC 61511-1:2016, 10.3 (from memory)"
STOPS = ("manual stop", "emergency stop")


@rule(
    "5.18",
    "Who wins protects from the graver harm",
    scope="interlock",
    severity="warning",
    basis=PRACTICE,
    conditions=(
        FORCES_A_STATE,
        When(
            "another interlock gives way to it",
            lambda subject: any(tag in subject.context.plant.interlocks for tag in subject.interlock.wins_over),
        ),
    ),
)
def winner_protects_from_the_graver_harm(subject: OfInterlock) -> Answer:
    """Compares whom the interlock protects with whom those protect that give way to it on the same element.

    People stand before the environment, that before equipment, that before production; one without a hazard stands last.
    A priority is seldom read again, and on the day when both ask the lesser harm is kept away and the graver one comes.
    Cure: turn the priority round.
    """
    plant = subject.context.plant
    mine = _rank(plant, subject.interlock)
    for tag in subject.interlock.wins_over:
        loser = plant.interlocks.get(tag)
        if loser is None or _rank(plant, loser) >= mine:
            continue
        for element, state, wanted in _contested(plant, subject.interlock, loser):
            graver = plant.hazards[loser.hazard] if loser.hazard else None
            said = f"{loser.hazard}, {graver.what} ({graver.harms})" if graver else "its hazard"
            own = plant.hazards[subject.interlock.hazard].harms if subject.interlock.hazard else "nobody by a listed hazard"
            return Fail(
                f"both ask at once: {tag} wants {element} {wanted} against {said}. {subject.tag} wants it {state}, "
                f"protects {own}, and wins",
                f"{subject.tag} {state} beats {tag} {wanted} on {element}",
                "turn the priority round",
                at=subject.interlock.place_of("wins_over"),
                also=(str(tag), element),
            )
    return Pass("those that give way protect from nothing graver")


def _rank(plant: Definitions, lock: Interlock) -> int:
    """Place of what an interlock protects, the gravest first."""
    return WORST_FIRST.index(plant.hazards[lock.hazard].harms) if lock.hazard in plant.hazards else len(WORST_FIRST)


def _contested(plant: Definitions, one: Interlock, other: Interlock) -> list[tuple[str, str, str]]:
    """Elements that two interlocks want in different states."""
    first, second = (
        {str(element): str(state) for target, state in lock.then.items() for element in (plant.members_of(target) or (target,))}
        for lock in (one, other)
    )
    return [
        (element, state, second[element]) for element, state in first.items() if element in second and second[element] != state
    ]


@rule(
    "5.19",
    "The interlock rests in ordinary running",
    scope="interlock",
    severity="error",
    basis=PRACTICE,
    conditions=(FORCES_A_STATE,),
)
def interlock_rests_in_ordinary_running(subject: OfInterlock) -> Answer:
    """Looks at the cause while every level is in its normal band, no trip point and no alarm point has acted, nothing is
    pushed and nothing is lost: it must not stand.

    A cause written the wrong way round, `not` too much or too little, acts all the time and is silent when it is needed.
    Cure: turn the cause round.
    """
    return proved(
        subject.context,
        "it rests in ordinary running",
        subject.tag,
        "turn the cause round",
        at=subject.interlock.place_of("when"),
    )


@rule(
    "5.20",
    "What the interlock moves works against its hazard",
    scope="interlock",
    severity="by consequence",
    basis=SRS,
    conditions=(FORCES_A_STATE, When("it names a hazard", lambda subject: subject.interlock.hazard is not None)),
)
def effect_serves_its_hazard(subject: OfInterlock) -> Answer:
    """Follows the streams from each effect to the tank at which the hazard begins: one effect at least must move its
    level away from there, directly or by the tank that feeds it, or stop a machine such as a heater.

    A trip on the wrong valve, or under the wrong hazard, is counted as a layer and protects nobody.
    Cure: the device that feeds or empties that tank, or the hazard that it really protects from.
    """
    return proved(
        subject.context,
        "effect serves its hazard",
        subject.tag,
        "name the right device, or the right hazard",
        at=subject.interlock.place_of("then"),
    )


@rule(
    "5.21",
    "Stop, reset and key are what they are used for",
    scope="interlock",
    severity="error",
    basis=PRACTICE,
    conditions=(When("it names a stop, a reset button or a key", lambda subject: bool(_hands(subject.interlock))),),
)
def hands_are_what_they_are_used_for(subject: OfInterlock) -> Answer:
    """Compares the kind of each signal with its use: a manual stop stops, a reset resets, a bypass key bypasses.

    A reset button that also stops, or a key that resets, does two things in one push, one of them unseen.
    Cure: a signal of its own for each use, or the right `kind`.
    """
    plant = subject.context.plant
    wrong = [
        f"{tag} is used as {use} and is of the kind {plant.signals[tag].kind}"
        for use, tag, kinds in _hands(subject.interlock)
        if tag in plant.signals and plant.signals[tag].kind not in kinds
    ]
    if wrong:
        return Fail("; ".join(wrong), "; ".join(wrong), "use a signal of the right kind")
    return Pass(listed(str(tag) for _, tag, _ in _hands(subject.interlock)))


@rule(
    "5.22",
    "One control moves the element",
    scope="element",
    severity="error",
    basis=PRACTICE,
    conditions=(When("ordinary running moves it", lambda subject: bool(subject.context.plant.controls_of_element[subject.tag])),),
)
def one_control_moves_the_element(subject: Element) -> Answer:
    """Asks that no two controls move the element: each would order it by its own level, and nothing says whose order stands.

    Cure: one control, and an interlock for what the other level forbids.
    """
    plant = subject.context.plant
    controls = plant.controls_of_element[subject.tag]
    if len(controls) < 2:
        return Pass(listed(map(str, controls)))
    tanks = [f"{tag} by the level of {plant.controls[tag].tank}" for tag in controls]
    return Fail(
        f"{listed(tanks)} move it: while one asks for a start and the other for a stop, nothing says which order stands",
        f"{listed(map(str, controls))} move it",
        "leave it to one of them",
        also=tuple(map(str, controls)),
    )


@rule(
    "5.23",
    "A priority does not make the element go to and fro",
    scope="element",
    severity="warning",
    basis=PRACTICE,
    conditions=(When("interlocks drive it", lambda subject: bool(subject.context.plant.interlocks_of_effect[subject.tag])),),
)
def priority_does_not_hunt(subject: Element) -> Answer:
    """Looks for an interlock that wins, is not held, and takes its own cause away, while the one that gives way goes on asking
    for the opposite: both causes in a possible state.

    The element then moves at every turn of a deadband until it fails. Cure: a latch or an off-delay for the one that wins.
    """
    return proved(subject.context, "priority does not hunt", subject.tag, "latch the one that wins, or give it an off-delay")


@rule(
    "5.24",
    "No level of another tank holds the interlock back",
    scope="interlock",
    severity="by consequence",
    basis=SRS,
    conditions=(FORCES_A_STATE, When("it names a hazard", lambda subject: subject.interlock.hazard is not None)),
)
def nothing_beside_holds_it_back(subject: OfInterlock) -> Answer:
    """Takes every point on the hazard's own tank as acted, every signal as it suits, and every point of another tank as it
    does not, and asks whether the cause stands.

    The hazard comes to one tank; a second tank in the cause lets it pass. Cure: a cause that its own tank can bring about.
    """
    return proved(
        subject.context,
        "nothing beside holds it back",
        subject.tag,
        "let its own tank bring the cause about",
        at=subject.interlock.place_of("when"),
    )


def _hands(lock: Interlock) -> list[tuple[str, Tag, tuple[str, ...]]]:
    """What a person's hand gives to an interlock: its use, its tag, the kinds that fit."""
    made: list[tuple[str, Tag | None, tuple[str, ...]]] = [
        ("manual stop", lock.manual_stop, STOPS),
        ("reset", lock.reset.button if lock.reset else None, ("reset",)),
        ("bypass key", lock.bypass.key if lock.bypass else None, ("bypass key",)),
    ]
    return [(use, tag, kinds) for use, tag, kinds in made if tag is not None]


@rule("5.25", "The control starts and stops on the level of its own tank", scope="control", severity="error", basis=PRACTICE,
      conditions=(When("it starts and stops on points", lambda control: isinstance(control.control, StartStop)),))
def control_rests_on_its_own_tank(control: OfControl) -> Answer:
    """Asks that each level point by which the control starts or stops belongs to the tank that it holds.

    A pump that another tank stops runs its own tank dry, or over. Cure: a point of its own tank, and an interlock for what
    the other level forbids.
    """
    plant, own = control.context.plant, control.control
    points = (*own.starts, own.stops) if isinstance(own, StartStop) else ()
    strange = [str(tag) for tag in dict.fromkeys(points) if tag in plant.switches and plant.tank_of(tag) != own.tank]
    if strange:
        tanks = listed(str(plant.tank_of(Tag(tag))) for tag in strange)
        return Fail(f"it holds {own.tank} and waits for {listed(strange)} of {tanks}: {own.tank} may do what it likes meanwhile",
                    f"{listed(strange)} of {tanks}", "use a point of its own tank", also=tuple(strange))
    return Pass(listed(map(str, points)))


@rule("5.26", "One reset button has one person and one place", scope="interlock", severity="warning", basis=PRACTICE,
      conditions=(When("its reset has a button", lambda subject: bool(
          subject.interlock.reset is not None and subject.interlock.reset.button)),))
def reset_button_has_one_keeper(subject: OfInterlock) -> Answer:
    """Compares the person and the places of this reset with those of every other reset on the same button.

    One push puts back all that hangs on the button. Where one trip may be reset by the operator and the other by the shift
    lead only, or one from a place that sees nothing of the other, the push gives more than the person may give.
    Cure: the same role and places for all of them, or a button for each.
    """
    reset = subject.interlock.reset
    others = {tag: lock.reset for tag, lock in subject.context.plant.interlocks.items()
              if reset is not None and lock.reset is not None and tag != subject.tag and lock.reset.button == reset.button}
    if reset is None or not others:
        return Pass(f"{reset.button if reset else 'the button'} resets nothing else")
    wrong = [f"{tag} by {other.by}" for tag, other in others.items() if str(other.by) != str(reset.by)]
    wrong += [f"{tag} at {listed(map(str, other.at))}" for tag, other in others.items() if set(other.at) != set(reset.at)]
    if wrong:
        return Fail(f"{subject.tag} is reset by {reset.by} at {listed(map(str, reset.at))}, and {reset.button} also resets "
                    f"{'; '.join(wrong)}", f"{reset.button} also resets {'; '.join(wrong)}",
                    "the same role and places for all of them, or a button for each", at=reset.place_of("button"))
    return Pass(f"{reset.button} also resets {listed(map(str, others))}, by the same person at the same place")

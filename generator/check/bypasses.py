"""Bypasses: rules 9.6 to 9.10 and 9.12."""

from generator.check.logic import parts_of
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfInterlock
from generator.check.words import listed
from generator.model.condition import Vote
from generator.model.scalar import Tag

BYPASSING = "IEC 61511-1:2016, 16.2 (from memory)"


HAS_BYPASS = When("it may be bypassed", lambda subject: subject.interlock.bypass is not None)


@rule("9.6", "The bypass is seen while it lasts", scope="interlock", severity="by consequence", basis=BYPASSING,
      conditions=(HAS_BYPASS,), needs=("interlock.bypass.alarmed",))
def bypass_is_seen(subject: OfInterlock, alarmed: bool) -> Answer:
    """Asks that the bypass is alarmed while it lasts and when its time is over.

    Longest time, permission and substitute are part of the language already. A bypass that nobody sees is forgotten,
    and the next shift trusts the trip. Cure: alarm it.
    """
    bypass = subject.interlock.bypass
    longest = bypass.longest.written if bypass else ""
    if alarmed:
        return Pass(f"{longest}, alarmed")
    return Fail("it is not alarmed", "not alarmed", "alarm it while it lasts",
                at=bypass.place_of("alarmed") if bypass else None)


@rule("9.7", "What protects meanwhile does not rest on what is bypassed", scope="interlock", severity="error",
      basis=BYPASSING, conditions=(When("its substitute rests on something that has a tag", lambda subject: (
          subject.interlock.bypass is not None and bool(subject.interlock.bypass.relies_on))),))
def substitute_stands_by_itself(subject: OfInterlock) -> Answer:
    """Compares what the substitute rests on with the points of the interlock and with their bodies.

    A reading of the float that is bypassed because it is broken protects nobody.
    Cure: another instrument, or a dip by hand.
    """
    plant = subject.context.plant
    relies = subject.interlock.bypass.relies_on if subject.interlock.bypass else ()
    bodies = set(subject.context.bodies_of(subject.interlock))
    causes = set(subject.interlock.when.tags())
    bad = []
    for tag in relies:
        alarm = plant.alarms.get(Tag(tag))
        source = str(alarm.from_) if alarm else tag
        body = plant.switches[Tag(source)].in_ if source in plant.switches else source
        if source in causes or body in bodies or source == subject.tag:
            bad.append(tag)
    if bad:
        return Fail(f"{listed(bad)} rests on the bypassed body", f"relies on {listed(bad)}", "use something else",
                    at=subject.interlock.bypass.place_of("relies_on") if subject.interlock.bypass else None,
                    also=tuple(bad))
    return Pass(listed(relies))


@rule("9.8", "A start-up bypass ends by itself", scope="interlock", severity="by consequence", basis=BYPASSING,
      conditions=(When("it has a start-up bypass", lambda subject: (
          subject.interlock.bypass is not None and subject.interlock.bypass.start_up_only)),))
def start_up_bypass_ends_by_itself(subject: OfInterlock) -> Answer:
    """Asks for a condition or a time that ends it: a condition that can come about before the cause stands, or a time no
    longer than the longest that the bypass may last.

    A start-up bypass that a person must take off stays on. Cure: state `ends` or `ends_after`.
    """
    bypass = subject.interlock.bypass
    if bypass is not None and bypass.ends_after is not None and bypass.ends_after.si > bypass.longest.si:
        return Fail(f"it ends after {bypass.ends_after.written}, and a bypass may last {bypass.longest.written}",
                    f"ends after {bypass.ends_after.written} of {bypass.longest.written}", "let it end within `longest`",
                    at=bypass.place_of("ends_after"))
    if bypass is not None and bypass.ends is not None and bypass.ends_after is None:
        answer = proved(subject.context, "start-up bypass ends", subject.tag, "another condition, or `ends_after`",
                        at=bypass.place_of("ends"))
        return Pass("by a condition") if isinstance(answer, Pass) else answer
    if bypass is not None and bypass.ends_after is not None:
        return Pass(f"after {bypass.ends_after.written}")
    return Fail("nothing ends it", "no end", "state `ends` or `ends_after`", at=bypass.place if bypass else None)


@rule("9.9", "A vote with one member out is defined", scope="interlock", severity="warning", basis=BYPASSING,
      conditions=(
    HAS_BYPASS, When("the cause has a vote", lambda subject: bool(list(parts_of(subject.interlock.when, Vote))))))
def degraded_vote_is_defined(subject: OfInterlock) -> Answer:
    """Asks what a vote becomes when one member is bypassed or faulty: two of three becomes one of two, or two of two; and
    that the bypass takes out the one member, where the words say so.

    A bypass that leaves `takes_out` out counts as the end of the whole function, on every page.
    Cure: state `degraded_vote`, and `takes_out` of the bypass.
    """
    bypass = subject.interlock.bypass
    if subject.interlock.degraded_vote and bypass is not None and "takes_out" not in bypass.model_fields_set:
        return Fail(f"with one member out: {subject.interlock.degraded_vote}; what the bypass takes out is not stated",
                    "`takes_out` not stated", "state `takes_out`: the whole function, or one member as clear or as acted",
                    at=bypass.place)
    return Pass(str(subject.interlock.degraded_vote)) if subject.interlock.degraded_vote else Fail(
        "not stated", "degraded vote not defined", "state `degraded_vote`")


@rule("9.10", "A bypass leaves something against the hazard", scope="interlock", severity="by consequence",
      basis=BYPASSING, conditions=(HAS_BYPASS,))
def bypass_leaves_a_layer(subject: OfInterlock) -> Answer:
    """Takes the interlock out, with every other that the same key takes out, and asks what still stands.

    A trip that still acts, an alarm that still sounds, or a substitute under `relies_on` that rests on a working device
    of its own. Bodies with a known defect count as failed.
    Cure: state in `relies_on` what protects meanwhile, add an alarm, or give each bypass its own key.
    """
    bypass = subject.interlock.bypass
    return proved(subject.context, "bypass leaves a layer", subject.tag, "name a substitute that stands by itself",
                  at=bypass.place if bypass else None)


@rule("9.12", "No key stands in the cause", scope="interlock", severity="by consequence", basis=BYPASSING)
def no_key_stands_in_the_cause(subject: OfInterlock) -> Answer:
    """Asks that the cause rests on no bypass key: a way round the interlock is stated under `bypass` alone.

    A key in the cause is a bypass that no permit, no longest time, no alarm and no planner knows of.
    Cure: move it to `bypass.key`.
    """
    signals = subject.context.plant.signals
    keys = [str(tag) for tag in dict.fromkeys(subject.interlock.when.tags())
            if tag in signals and signals[tag].kind == "bypass key"]
    if keys:
        return Fail(f"{listed(keys)} turned, {subject.tag} no longer acts as it says, and nothing shows it as bypassed",
                    f"{listed(keys)} in the cause", "move it to `bypass.key`", at=subject.interlock.place_of("when"),
                    also=tuple(keys))
    return Pass("no key")

"""Set points on a transmitter: no contact of their own; what counts is what the logic does with a failed signal."""

from generator.compute.duties import Duty, decides
from generator.model.instrument import Instrument, Switch
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.results import ContactResult
from generator.model.scalar import Tag

IN_BAND, OUT_OF_BAND = "signal in its band", "signal out of its band"


def result(
    plant: Definitions, tag: str, point: Switch, body: Instrument, rests: tuple[Duty, ...],
) -> ContactResult:
    """A set point on a transmitter: a fault shows as a signal out of its band, and the interlocks say what then."""
    locks = {duty.tag: plant.interlocks[Tag(duty.tag)] for duty in rests if duty.tag in plant.interlocks}
    answers = {name: lock.bad_signal for name, lock in locks.items()}
    said = {"holds": "holds its last state", "ignored": "ignores it", None: "has no answer recorded"}
    fault = " ".join(f"{name} {trips_as(locks[name], tag) if answer == 'trips' else said[answer]}."
                     for name, answer in answers.items()) or "No interlock rests on it."
    acted = sentence([duty.words for duty in rests if duty.on_act]) if rests else "Nothing follows."
    reached = "risen" if point.acts == "rising" else "fallen"
    sentences = (
        ("Plant running, liquid away from the set point", IN_BAND, "Nothing follows."),
        (f"Liquid has {reached} to the set point", IN_BAND, acted),
        ("Wire broken", OUT_OF_BAND, f"Seen as a failed signal. {fault}"),
        ("Cores shorted together", OUT_OF_BAND, f"Seen as a failed signal. {fault}"),
        ("Supply lost", OUT_OF_BAND, f"Seen as a failed signal. {fault}"),
    )
    if body.signal == "contact":
        return ContactResult(tag, "", "", "", "", (), None, "Neither a contact nor a transmitter's signal is recorded.")
    if not answers:
        alarms = [duty.tag for duty in rests if duty.kind == "alarm"]
        why = (f"Only {', '.join(alarms)} rests on it; what a failed signal does to an alarm is not recorded." if alarms
               else "No interlock and no alarm rests on it, so there is no safe side to judge.")
        return ContactResult(tag, IN_BAND, IN_BAND, OUT_OF_BAND, OUT_OF_BAND, sentences, None, why, OUT_OF_BAND)
    open_answers = [name for name, answer in answers.items() if answer is None]
    is_safe = None if open_answers else all(answer == "trips" for answer in answers.values())
    return ContactResult(tag, IN_BAND, IN_BAND, OUT_OF_BAND, OUT_OF_BAND, sentences, is_safe,
                         f"On a failed signal: {fault}", OUT_OF_BAND)


def trips_as(lock: Interlock, tag: str) -> str:
    """What an interlock that trips on a failed signal does when that of one of its points fails, in words."""
    if not decides(lock, tag):
        return "counts it as not given" if lock.kind == "permissive" else "counts it as acted"
    return {"trip": "trips", "permissive": "permits no start"}.get(lock.kind, "acts")


def sentence(words: list[str]) -> str:
    """Words joined to one sentence."""
    text = "; ".join(words)
    return f"{text[:1].upper()}{text[1:]}."

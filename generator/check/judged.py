"""From the worked-out suitability of a device to the answer of a rule."""

from generator.check.rule import Answer, Fail, Missing, Pass, When
from generator.check.subjects import Body
from generator.model.device import Judgement


def judgements(body: Body, *names: str) -> tuple[Judgement, ...]:
    """What was judged of a device under some criteria, those that do not apply left out."""
    suited = body.context.results.suitability.get(body.tag)
    return tuple(one for one in suited.of(*names) if one.verdict != "does not apply") if suited else ()


def judged_by(words: str, *names: str, plain: bool = False) -> When:
    """The condition that a device is judged by one of some criteria. `plain` says the words as they are."""
    return When(words if plain else f"the device is one of: {words}", lambda body: bool(judgements(body, *names)))


def answer(body: Body, cure: str, *names: str) -> Answer:
    """The worst of several judgements: any failure, else anything missing, else a pass with what stands.

    A failure names the technologies that nothing recorded speaks against.
    """
    found = judgements(body, *names)
    if not found:
        return Missing((f"{body.tag}: technology",))
    bad = [one for one in found if one.verdict == "fail"]
    if bad:
        others = [one.technology for one in body.context.results.suitability[body.tag].alternatives]
        advice = f"{cure}; these may serve with what the device's page asks of each: {', '.join(others)}" if others else cure
        return Fail("; ".join(one.why for one in bad), "; ".join(one.evidence for one in bad), advice)
    missing = tuple(dict.fromkeys(field for one in found for field in one.missing))
    if missing:
        return Missing(missing)
    return Pass("; ".join(one.why for one in found))

"""The document itself: rules 10.1 to 10.9 and 10.15."""

import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from itertools import pairwise

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Adopted, OfHazard, OfHold, OfInterlock, OfReference, Sentence, Whole
from generator.check.words import listed
from generator.model.record import Absence, Outcome
from generator.model.scalar import Tag
from generator.model.units import ALIASES, UNITS

PRACTICE = "common practice, no source"
ISSUED = ("for construction", "as built")


@rule("10.1", "The interlock has a hazard or a reason", scope="interlock", severity="warning",
      basis="IEC 61511-1:2016, 10.3 (from memory)")
def interlock_has_a_hazard_or_reason(subject: OfInterlock) -> Answer:
    """Asks for the hazard that the interlock protects from, or for `because`.

    A function that nobody can explain is bypassed first and removed next.
    Cure: state `hazard` or `because`.
    """
    if subject.interlock.hazard:
        return Pass(str(subject.interlock.hazard))
    return Pass("a reason is stated") if subject.interlock.because else Fail(
        "neither is stated", "no hazard, no reason", "state `hazard` or `because`")


@rule("10.2", "The hazard has protection, or a reason why not", scope="hazard", severity="by consequence",
      basis="IEC 61511-1:2016; layers of protection analysis (from memory)")
def hazard_has_protection(subject: OfHazard) -> Answer:
    """Asks for an interlock against the hazard, a credited alarm on its tank, or `without_protection`.

    Cure: a function, or the reason.
    """
    plant = subject.context.plant
    locks = subject.context.interlocks_of_hazard.get(subject.tag, ())
    tank = subject.context.tank_where(subject.hazard.begins_at) or ""
    alarms = [tag for tag in subject.context.alarms_of_tank.get(tank, ()) if plant.alarms[Tag(tag)].safety]
    if locks or alarms:
        return Pass(listed([*locks, *alarms]))
    if subject.hazard.without_protection:
        return Pass("a reason is stated")
    return Fail("nothing protects from it", "no protection", "add a function, or `without_protection`")


@rule("10.3", "The document was written against the latest revision", scope="reference", severity="warning",
      basis=PRACTICE, conditions=(When("the reference states a revision",
                                       lambda one: one.reference.revision is not None),),
      needs=("reference.latest",))
def reference_is_the_latest(subject: OfReference, latest: str) -> Answer:
    """Compares the revision that was used with the latest known.

    Cure: read the new one, and write its revision here.
    """
    used = subject.reference.revision
    if used == latest:
        return Pass(f"revision {used}")
    return Fail(f"written against {used}, the latest is {latest}", f"{used}, latest {latest}", "read the new revision",
                at=subject.reference.place_of("revision"))


@rule("10.4", "The revisions stand in order", scope="plant", severity="warning", basis=PRACTICE)
def revisions_stand_in_order(subject: Whole) -> Answer:
    """Asks that days rise, that no letter comes twice, that none lies after the day of the document, and that the last
    revision has the status that the cover claims.

    Cure: correct the revision block.
    """
    revisions = subject.context.plant.revisions
    for earlier, later in pairwise(revisions):
        if later.on < earlier.on:
            return Fail(f"{later.revision} is dated before {earlier.revision}",
                        f"{later.revision} before {earlier.revision}",
                        "correct the days", at=later.place_of("on"))
    names = [str(one.revision) for one in revisions]
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        return Fail(f"{listed(twice)} stands twice", f"{listed(twice)} twice", "give each its own letter")
    if revisions and revisions[-1].on > subject.document.as_of:
        return Fail(f"{names[-1]} is dated after the day of the document", f"{names[-1]} after as_of",
                    "correct `as_of`",
                    at=revisions[-1].place_of("on"))
    if revisions and revisions[-1].status != subject.document.status:
        return Fail(f"the cover says {subject.document.status}, {names[-1]} says {revisions[-1].status}",
                    f"{subject.document.status}, {names[-1]} {revisions[-1].status}", "add the revision",
                    at=revisions[-1].place_of("status"))
    return Pass(f"{len(revisions)} revisions") if revisions else Fail("none is stated", "no revisions",
                                                                      "state `revisions`")


@rule("10.5", "The document is approved by others than its author", scope="plant", severity="error", basis=PRACTICE,
      conditions=(When("it claims to be for construction or as built",
                       lambda whole: whole.document.status in ISSUED),))
def document_is_approved(subject: Whole) -> Answer:
    """Asks for prepared, checked and approved, and that the last two are not the first.

    Cure: have it checked and approved, then state the roles.
    """
    document = subject.document
    gone = [key for key in ("prepared", "checked", "approved") if getattr(document, key) is None]
    if gone:
        return Fail(f"{listed(gone)} not stated", f"without {listed(gone)}", "have it checked and approved")
    if document.prepared in (document.checked, document.approved):
        return Fail(f"{document.prepared} prepared it and also checked or approved it", f"{document.prepared} twice",
                    "let another role check and approve")
    return Pass(f"approved: {document.approved}")


@rule("10.6", "The hold is not overdue", scope="hold", severity="warning", basis=PRACTICE,
      conditions=(When("it is open", lambda hold: (
          hold.hold.closed is None or hold.hold.closed > hold.context.plant.plant.document.as_of)),))
def hold_is_not_overdue(subject: OfHold) -> Answer:
    """Compares the day by which something was to be settled with the day of the document.

    Cure: settle it, or agree another day.
    """
    today, due = subject.context.plant.plant.document.as_of, subject.hold.due
    if today <= due:
        return Pass(f"due {due.isoformat()}")
    return Fail(f"was due {due.isoformat()}, {(today - due).days} days ago", f"due {due.isoformat()}", "settle it",
                at=subject.hold.place_of("due"))


@rule("10.7", "A published rule that is used outside its scope says why", scope="adopted rule", severity="warning",
      basis=PRACTICE, conditions=(When("it is used as an analogy", lambda adopted: adopted.adoption.analogy),))
def analogy_has_a_reason(subject: Adopted) -> Answer:
    """Asks for `because` where the plant adopts a rule that was made for other plants.

    The reader must see that it is a choice and not an obligation. Cure: state `because`.
    """
    if subject.adoption.because:
        return Pass(str(subject.adoption.because))
    return Fail("no reason is stated", "analogy without reason", "state `because`")


@rule("10.19", "A response time by category finds a tank of that category", scope="adopted rule", severity="warning",
      basis="API Std 2350, response times by category (from memory)", conditions=(
          When("it gives the response time of a category", lambda adopted: _category(adopted.rule) is not None),))
def category_has_a_tank(subject: Adopted) -> Answer:
    """Asks whether some tank states the category for which an adopted rule gives a response time.

    Without such a tank the rule is in force and asks for nothing: no tank gets a latest level of its high-high alarm.
    Cure: state `categories` of the tanks that it is meant for, or do not adopt it.
    """
    category = _category(subject.rule)
    tanks = [tag for tag, tank in subject.context.plant.tanks.items() if category in tank.categories.values()]
    if tanks:
        return Pass(f"{category}: {listed(tanks)}")
    return Fail(f"no tank states {category}", f"no tank of {category}", "state `categories` of its tanks")


def _category(rule: str) -> str | None:
    """The category for which a published rule gives the response time; None for any other rule."""
    _, _, number = rule.partition("overfill-response-category-")
    return f"category {number}" if number else None


_IN_BRACES = re.compile(r"\{([^{}]*)\}")
_SOURCED = re.compile(r"\d[^:]*:\s*\S")


@rule("10.15", "The text refers to known values", scope="prose", severity="error", basis=PRACTICE,
      conditions=(When("the text has braces", lambda sentence: bool(set("{}") & set(sentence.text))),))
def text_refers_to_known_values(subject: Sentence) -> Answer:
    """Looks at what stands in braces in free text: the name of a worked-out value, with ` in ` and a unit where another
    is wanted, or a figure with its source.

    A misspelt name is printed as it stands, in the middle of an instruction. Cure: the name of a value, such as
    `{LSHH-210 height}` or `{T-210 volume to overflow in m3}`, or a figure with its source, `{15 min: site rule 4}`.
    """
    values = subject.context.results.values
    wrong = [(inner, fault) for inner in _IN_BRACES.findall(subject.text) for fault in _faults(inner, values)]
    if wrong:
        said = "; ".join(f"{{{inner}}}: {why}" for inner, (why, _) in wrong)
        return Fail(said, listed(f"{{{inner}}}" for inner, _ in wrong), "; ".join(cure for _, (_, cure) in wrong))
    if set("{}") & set(_IN_BRACES.sub("", subject.text)):
        return Fail("a brace opens or closes alone", "a brace alone", "close each brace that opens")
    return Pass()


def _faults(inner: str, values: Mapping[str, Outcome]) -> Iterator[tuple[str, str]]:
    """Why nothing can be put in the place of a reference, and the cure; nothing where something can."""
    words, _, unit = inner.partition(" in ")
    name = " ".join(words.split())
    outcome = values.get(name)
    if outcome is None:
        if not _SOURCED.match(inner):
            near = get_close_matches(name, values, 1, 0.7)
            yield "no value has this name", (
                f"did you mean {{{near[0]}{f' in {unit}' if unit else ''}}}?" if near else
                "write the name of a value, or a figure with its source")
    elif unit and not isinstance(outcome, Absence):
        spelt = ALIASES.get(unit.strip(), unit.strip())
        if spelt not in UNITS or UNITS[spelt][0] != outcome.dimension:
            same = [one for one, (dimension, _, _) in UNITS.items() if dimension == outcome.dimension]
            yield f"it has no unit {unit.strip()}", f"write a unit such as {listed(same[:3])}"

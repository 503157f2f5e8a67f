"""What a document may claim: sentences that say why the claimed status may not stand."""

from collections.abc import Sequence

from generator.check.words import listed
from generator.model.finding import Finding
from generator.model.plant import Definitions

MOST_NAMED = 5


def blocks(plant: Definitions, findings: Sequence[Finding]) -> tuple[str, ...]:
    """Why the document may not carry the status that it claims; nothing where it may.

    Open errors, failed or not assessable, refuse "for construction" and "as built"; open holds refuse "as built";
    points without an issued height refuse everything but "draft".
    """
    status = plant.plant.document.status
    said: list[str] = []
    proposed = [tag for tag, point in plant.switches.items() if point.height.issued is None]
    if status != "draft" and proposed:
        said.append(f"It may not leave draft: {_some(proposed)} {_have(proposed)} no issued height.")
    errors = [one for one in findings if one.is_open and one.severity == "error"]
    if status in ("for construction", "as built"):
        for verdict, words in (("fail", "failed"), ("cannot be assessed", "could not be assessed")):
            these = [f"{one.rule} on {one.subject}" for one in errors if one.verdict == verdict]
            if these:
                said.append(f"It may not be issued {status}: {len(these)} error-rated "
                            f"{'rule' if len(these) == 1 else 'rules'} {words}: {_some(these)}.")
    today = plant.plant.document.as_of
    holds = [tag for tag, hold in plant.holds.items() if hold.closed is None or hold.closed > today]
    if status == "as built" and holds:
        said.append(f"It may not be issued as built: {_some(holds)} {'is' if len(holds) == 1 else 'are'} on hold.")
    return tuple(said)


def _some(names: Sequence[str]) -> str:
    named = list(names[:MOST_NAMED])
    return listed(named) if len(names) <= MOST_NAMED else f"{', '.join(named)} and {len(names) - MOST_NAMED} more"


def _have(names: Sequence[str]) -> str:
    return "has" if len(names) == 1 else "have"

"""What was proved of the logic, as the answer of a rule."""

from generator.check.context import Context
from generator.check.rule import Answer, Fail, Missing, Pass
from generator.model.finding import Severity
from generator.model.place import Place
from generator.model.proof import Question


def proved(
    context: Context, question: Question, subject: str, cure: str, at: Place | None = None,
    eased: Severity | None = None,
) -> Answer:
    """The proofs of one question on one subject: a counter-example fails it, an open one cannot be assessed.

    `eased` is the severity of a failure that something recorded makes weigh less.
    """
    proofs = [proof for proof in context.results.proofs.get(subject, ()) if proof.question == question]
    for proof in proofs:
        if proof.verdict == "fails":
            return Fail(proof.words, proof.evidence, cure, at=at, severity=eased if proof.eased else None,
                        also=proof.others)
    for proof in proofs:
        if proof.verdict == "cannot be assessed":
            return Missing(proof.missing or (f"{subject}: {proof.words}",))
    return Pass(next((proof.words for proof in proofs), "nothing to prove"))

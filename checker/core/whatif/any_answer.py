"""What is decided although one answer is missing: every answer that could be given decides it the same way."""

from __future__ import annotations

from decimal import Decimal

from checker.core import findings
from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, Finding
from checker.core.pack import Pack
from checker.core.situation import NOT_STATED
from checker.core.values import Reason, ReasonKind, Value
from checker.core.whatif.trials import Bench, Trial

# Answers have at most twelve decimal places (see `answers`), so nothing lies between a number and the next.
FINEST = Decimal("1e-12")


def judge(trial: Trial, bench: Bench) -> list[Finding]:
    """One finding a rule, in the order of the pack; what every answer to one open question decides alike is decided."""
    return [settle(finding, trial, bench) for finding in findings.judge(trial, bench.gate)]


def settle(finding: Finding, trial: Trial, bench: Bench) -> Finding:
    """`finding`, decided where it comes out the same for every answer to the first question it waits for.

    One question is tried, never two at once: of 114,828 findings none was decided by trying more. A number is tried for
    all its values at once, so a rule may stay open where the bounds are too wide to show it; never the other way round.
    """
    name = _open_question(finding, trial)
    if name is None:
        return finding
    leaves = []
    for answer in answers_of(trial.pack, name):
        leaf = bench.judge(finding.rule, trial.with_answers({name: answer}, (name,))).finding
        leaves.append(leaf)
        if leaf.outcome == CANNOT_TELL or leaf.outcome != leaves[0].outcome:
            return finding
    cells = {cell_id: cell for leaf in leaves for cell_id, cell in leaf.cells.items()}
    reasons = (Reason(ReasonKind.ANY_ANSWER, name),)
    return Finding(finding.rule, leaves[0].outcome, reasons, cells, finding.measure)


def answers_of(pack: Pack, name: str) -> list[Value]:
    """Every answer to a question but "don't know"; its numbers as the smallest and a `Span` of all others.

    The smallest stands alone because it is often none at all, such as no insulation and no other circuit.
    """
    question = pack.questions[name]
    kind = question["kind"]
    if kind == "yes-no":
        return [True, False]
    if kind == "choice":
        answers: list[Value] = [choice["value"] for choice in question["choices"]]
    else:
        least, most = Decimal(question["minimum"]), Decimal(question["maximum"])
        answers = [least, Span(least + FINEST, most, (Reason(ReasonKind.TRIED, name),))]  # type: ignore[list-item]
    return [*answers, NOT_STATED] if question["unanswered"] == NOT_STATED else answers


def _open_question(finding: Finding, trial: Trial) -> str | None:
    """The first question that `finding` waits for; None where it waits for none, or asks for a fact to be known."""
    if finding.outcome != CANNOT_TELL or not finding.rule.any_answer:
        return None
    waits = (r.id for r in finding.reasons if r.kind in (ReasonKind.DONT_KNOW, ReasonKind.NOT_ASKED))
    return next((name for name in waits if name in trial.pack.questions and name not in trial.supposed), None)

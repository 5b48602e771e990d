"""What is decided although something is not known: every answer that could be given decides it the same way."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple
from weakref import WeakKeyDictionary

from checker.core import findings
from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, FAILED, Finding
from checker.core.pack import Pack
from checker.core.situation import DONT_KNOW, NOT_STATED, Situation
from checker.core.tables import Cell
from checker.core.values import Reason, Value
from checker.core.whatif.trials import TRIED, Bench, Trial

NOT_ASKED = "not-asked"
ANY_ANSWER = "any-answer"
# Answers have at most twelve decimal places (see `answers`), so nothing lies between a number and the next.
FINEST = Decimal("1e-12")
# More cases than this are not tried for one rule: it stays open, which is never wrong.
MOST_CASES = 48


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
        answers = [least, Span(least + FINEST, most, (Reason(TRIED, name),))]  # type: ignore[list-item]
    return [*answers, NOT_STATED] if question["unanswered"] == NOT_STATED else answers


class Settled(NamedTuple):
    """How an open rule came out when every answer to what it waits for was tried, and what that hung on."""

    bench: Bench
    reasons: tuple[Reason, ...]
    given: dict[str, Value | None]  # the questions that were read, and how they stood
    decided: Decided | None


class Decided(NamedTuple):
    outcome: str
    reasons: tuple[Reason, ...]
    cells: dict[str, Cell]
    unasked: tuple[str, ...]


# By pack and rule: how each was settled last. In an interview an answer more changes that of few rules only, and
# trying every answer is most of what a question costs.
_last: WeakKeyDictionary[Pack, dict[str, Settled]] = WeakKeyDictionary()


def judge(situation: Situation, as_of: str, confirmed: frozenset[str]) -> list[Finding]:
    """One finding a rule, in the order of the pack; what every answer decides alike is decided."""
    judged = findings.judge(situation, as_of, confirmed)
    trial, bench = Trial(situation.pack, situation.answers), Bench(as_of, confirmed)
    kept = _last.setdefault(situation.pack, {})
    for place, finding in enumerate(judged):
        if finding.outcome == CANNOT_TELL:
            last = kept.get(finding.rule.id)
            if last is None or not _still_holds(last, finding, trial, bench):
                last = kept[finding.rule.id] = _tried(finding, trial, bench)
            judged[place] = _with(finding, last.decided)
    return judged


def _still_holds(last: Settled, finding: Finding, trial: Trial, bench: Bench) -> bool:
    """Whether trying every answer again would read what it read then: the same doubts, and the same answers."""
    return (
        last.reasons == finding.reasons
        and last.bench == bench
        and all(trial.answers.get(name) == given for name, given in last.given.items())
    )


def settle(judged: list[Finding], trial: Trial, bench: Bench) -> list[Finding]:
    """`judged` with those decided that come out the same for every answer to what they wait for.

    A numeric answer is tried for all its values at once, so a rule that is decided for each of them may stay open
    where the bounds are too wide to show it; never the other way round.
    """
    return [
        _with(finding, _tried(finding, trial, bench).decided) if finding.outcome == CANNOT_TELL else finding
        for finding in judged
    ]


def _with(finding: Finding, decided: Decided | None) -> Finding:
    if decided is None:
        return finding
    outcome, reasons, cells, unasked = decided
    return Finding(finding.rule, outcome, reasons, cells, unasked, finding.measure)


def _tried(finding: Finding, trial: Trial, bench: Bench) -> Settled:
    read: set[str] = set()
    decided = _decided(finding, trial, bench, read)
    return Settled(bench, finding.reasons, {name: trial.answers.get(name) for name in read}, decided)


def _decided(finding: Finding, trial: Trial, bench: Bench, read: set[str]) -> Decided | None:
    if not finding.rule.any_answer or _splits(finding, trial) is None:
        return None
    leaves: list[tuple[Finding, frozenset[str]]] = []
    if not _same(finding, trial, bench, leaves, read):
        return None
    supposed = dict.fromkeys(name for _, names in leaves for name in names)
    questions = sorted(supposed, key=lambda name: trial.pack.questions[name]["order"])
    cells = {name: cell for leaf, _ in leaves for name, cell in leaf.cells.items()}
    unasked = tuple(dict.fromkeys(name for leaf, _ in leaves for name in leaf.unasked))
    return Decided(leaves[0][0].outcome, tuple(Reason(ANY_ANSWER, name) for name in questions), cells, unasked)


def _same(finding: Finding, trial: Trial, bench: Bench, leaves: list, read: set[str]) -> bool:
    """Whether all cases below `trial` are decided alike; they are put into `leaves`, what was read for it into `read`."""
    name = _splits(finding, trial)
    if name is None:
        return False
    for answer in answers_of(trial.pack, name):
        case = trial.with_answers({name: answer}, (name,))
        leaf, names = bench.judge(finding.rule, case)
        read |= names
        if leaf.outcome == CANNOT_TELL:
            if not _same(leaf, case, bench, leaves, read):
                return False
            continue
        leaves.append((leaf, case.supposed))
        # A label fact that nobody asked for may still save the rule: that failure is not settled.
        if (
            (leaf.outcome == FAILED and leaf.unasked)
            or leaf.outcome != leaves[0][0].outcome
            or len(leaves) > MOST_CASES
        ):
            return False
    return True


def _splits(finding: Finding, trial: Trial) -> str | None:
    """The question to try every answer of, or None when nothing would be gained.

    A figure that needs confirming keeps a pass away whatever is answered; a question is tried once.
    """
    for reason in finding.reasons:
        if (
            reason.kind in (DONT_KNOW, NOT_ASKED)
            and reason.id not in trial.supposed
            and reason.id in trial.pack.questions
        ):
            return reason.id
    return None

"""What the check would say if everything open were as usual: the short verdict, and how far each supposed answer may be off.

Nothing here reaches the verdict itself: it is judged without the usual answers, and they are never among the answers.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from checker.core import interview, report, verdict
from checker.core.findings import Finding
from checker.core.messages import value_shown
from checker.core.pack import Pack
from checker.core.situation import DONT_KNOW, NOT_STATED
from checker.core.values import Value, plain
from checker.core.whatif import any_answer
from checker.core.whatif.flips import Flips
from checker.core.whatif.trials import Bench, Judged, Trial


class Supposed(NamedTuple):
    """The case with every open question at its usual answer, `names`, and how it is judged."""

    trial: Trial
    names: tuple[str, ...]
    findings: list[Finding]


def suppose(trial: Trial, bench: Bench) -> Supposed:
    """`trial` with the usual answers in place of what is open: not answered, or "don't know"."""
    answers = dict(trial.answers)
    for name, question in trial.pack.questions.items():
        if question["usual"] and "value" in question["usual"] and is_open(trial, name):
            answers[name] = _usual(question)
    for name, other in twins(trial.pack).items():
        if is_open(trial, name) and answers.get(other, DONT_KNOW) != DONT_KNOW:
            answers[name] = answers[other]
    filled = Trial(trial.pack, answers)
    names = tuple(name for name in answers if is_open(trial, name))
    return Supposed(filled, names, any_answer.judge(filled, bench))


def is_open(trial: Trial, name: str) -> bool:
    """Whether nobody has answered this question, or only with "don't know"."""
    return trial.answers.get(name, DONT_KNOW) == DONT_KNOW


def twins(pack: Pack) -> dict[str, str]:
    """The questions whose usual answer is that of another one, with that other: link wires as thick as the cable."""
    return {name: q["usual"]["same_as"] for name, q in pack.questions.items() if "same_as" in (q["usual"] or ())}


def _usual(question: dict) -> Value:
    value = question["usual"]["value"]
    return Decimal(value) if question["kind"] == "number" and value != NOT_STATED else value


def shown(supposed: Supposed, bench: Bench) -> dict:
    """The `supposed` key of a reply (docs/format.md)."""
    trial, findings = supposed.trial, supposed.findings
    reached = report.verdict_shown(trial, verdict.reach(findings, trial.answers.get("worker")))
    # After a stop nobody need be asked for sizes. What goes by another question needs no asking while that one is asked.
    waiting, same = [] if reached["headline"] == "stop" else interview.waiting(findings, trial), twins(trial.pack)
    waits_for = [name for name in waiting if same.get(name) not in waiting]
    return {
        "headline": "find-out" if waits_for else reached["headline"],
        "who": reached["who"],
        "sizing": reached["sizing"],
        # While something decisive is open, no supposed answer decides anything yet.
        "lines": [] if waits_for else _lines(supposed, bench),
        "waits_for": waits_for,
    }


def _lines(supposed: Supposed, bench: Bench) -> list[dict]:
    """One a supposed answer that could change the verdict, the one with the least to spare first."""
    trial = supposed.trial
    judged = bench.depending(supposed.findings, trial)
    flips = Flips(trial, bench, judged)
    held = _Held(trial, bench, judged)
    found = [_line(trial, name, flips, held) for name in _enough(supposed.names, held)]
    return [line for _, line in sorted(found, key=lambda pair: pair[0])]


def _enough(names: tuple[str, ...], held: _Held) -> list[str]:
    """Of the supposed answers those that have to be looked at before the verdict stands.

    One is left out while the verdict stays whatever its answer, with what was left out before it still open. Numbers
    are tried first, for they have to be read or measured, and the last asked before the others.
    """
    questions, told = held.trial.pack.questions, []
    for name in sorted(names, key=lambda name: (questions[name]["kind"] != "number", -questions[name]["order"])):
        without = held.without(name)
        if without is None:
            told.append(name)
        else:
            held = without
    return told


def _in_short(findings: list[Finding], trial: Trial) -> tuple[str, str, str]:
    said = verdict.reach(findings, trial.answers.get("worker"))
    return said.headline, said.who.outcome, said.sizing.outcome


def _line(trial: Trial, name: str, flips: Flips, held: _Held) -> tuple[Decimal, dict]:
    """A line, and how much it has to spare: the share of the usual number, or of the choices, that keeps the verdict."""
    pack, now = trial.pack, trial.answers[name]
    question, usual = pack.questions[name], pack.questions[name]["usual"]
    line = {
        "question": name,
        "value": plain(now) if isinstance(now, Decimal) else now,
        "text": f"{question['label']}: {value_shown(pack, name, now)}",
        "seen": usual["seen"],
        "why": usual["why"],
        "holds_to": None,
        "changes_at": None,
    }
    if not isinstance(now, Decimal):
        if question["kind"] == "number":
            return Decimal(1), line  # "the label does not say": no number to be off by
        answers = any_answer.answers_of(pack, name)
        keep = [answer for answer in answers if held.by(name, answer)]
        return Decimal(len(keep)) / len(answers), {**line, "holds": keep}
    edges = flips.both_ways(name, now)
    if not edges:
        return Decimal(1), line
    share = {edge["toward"]: abs(Decimal(edge["changes_at"]) - now) / max(abs(now), Decimal(1)) for edge in edges}
    nearest = min(edges, key=lambda edge: share[edge["toward"]])
    ends = {"holds_to": nearest["holds_to"], "changes_at": nearest["changes_at"]}
    return share[nearest["toward"]], {**line, **ends}


class _Held:
    """Whether the verdict stays what it is with another answer to one question."""

    def __init__(self, trial: Trial, bench: Bench, judged: dict[str, Judged]) -> None:
        self.trial, self.bench, self.judged = trial, bench, judged
        self.verdict = self._said(trial, judged)

    def by(self, name: str, answer: Value) -> bool:
        other = self.trial.with_answers({name: answer})
        return self._said(other, self.bench.again(self.judged, other, frozenset((name,)))) == self.verdict

    def without(self, name: str) -> _Held | None:
        """The same with this question open; None where its answer is needed for the verdict."""
        trial = self.trial.with_answers({name: DONT_KNOW})
        left = _Held(trial, self.bench, self.bench.again(self.judged, trial, frozenset((name,))))
        return left if left.verdict == self.verdict else None

    def _said(self, trial: Trial, judged: dict[str, Judged]) -> tuple[str, str, str]:
        return _in_short([any_answer.settle(one.finding, trial, self.bench) for one in judged.values()], trial)

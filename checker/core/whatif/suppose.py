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
    alone = [
        name for name in supposed.names if any(name in one.names for one in judged.values()) and not held.whatever(name)
    ]
    found = [_line(trial, name, flips, held) for name in _enough(supposed, alone, held.verdict, bench)]
    return [line for _, line in sorted(found, key=lambda pair: pair[0])]


def _enough(supposed: Supposed, alone: list[str], said: tuple[str, str, str], bench: Bench) -> list[str]:
    """`alone` change the verdict by themselves; others may together, and are added until the ticks give the verdict."""
    trial, names = supposed.trial, list(alone)
    while True:
        untold = [name for name in supposed.names if name not in names]
        ticked = Trial(trial.pack, {name: answer for name, answer in trial.answers.items() if name not in untold})
        findings = any_answer.judge(ticked, bench)
        more = next((name for name in interview.waiting(findings, ticked) if name in untold), None)
        if more is None or _in_short(findings, ticked) == said:
            return names
        names.append(more)


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

    def whatever(self, name: str) -> bool:
        """Every answer that could be given keeps it; a stretch of numbers that is not decided as one does not."""
        return all(self.by(name, answer) for answer in any_answer.answers_of(self.trial.pack, name))

    def _said(self, trial: Trial, judged: dict[str, Judged]) -> tuple[str, str, str]:
        return _in_short([any_answer.settle(one.finding, trial, self.bench) for one in judged.values()], trial)

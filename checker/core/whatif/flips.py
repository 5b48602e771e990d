"""How far each number is from changing the verdict: the nearest value, either way, at which headline or sizing changes."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, Finding
from checker.core.messages import fill, value_shown
from checker.core.values import Unknown, plain
from checker.core.verdict import OPEN, in_short
from checker.core.whatif.any_answer import settle
from checker.core.whatif.nearest import Edge, nearest, next_row
from checker.core.whatif.trials import Bench, Judged, Trial, undecided

PARTS = ("danger", "who", "sizing")


class Flips:
    """The flips of one case. `judged`: every rule that decides, as judged in `trial`."""

    def __init__(self, trial: Trial, bench: Bench, judged: dict[str, Judged]) -> None:
        self.trial, self.bench = trial, bench
        self.judged = {name: held for name, held in judged.items() if held.finding.rule.part in PARTS}
        self.verdict = self._in_short({})

    def all(self) -> list[dict]:
        """One entry a number and direction, in the order of the questions."""
        found = []
        for name, question in self.trial.pack.questions.items():
            now = self.trial.answers.get(name)
            if question["kind"] == "number" and isinstance(now, Decimal):
                found += self.both_ways(name, now)
        return found

    def both_ways(self, name: str, now: Decimal) -> list[dict]:
        concerned = [held for held in self.judged.values() if name in held.names]
        others = self._by_part({r: held.finding.outcome for r, held in self.judged.items() if name not in held.names})
        only_sizing = all(held.finding.rule.part == "sizing" for held in concerned)
        if not concerned or (only_sizing and FAILED in others["sizing"]):
            return []  # something else is too small, whatever this number is
        both = (self._flip(name, now, upward, list(concerned), others, only_sizing) for upward in (True, False))
        return [shown for shown in both if shown]

    def _flip(
        self,
        name: str,
        now: Decimal,
        upward: bool,
        concerned: list[Judged],
        others: dict[str, set[str]],
        only_sizing: bool,
    ) -> dict | None:
        rows: list = []
        step = Decimal(self.trial.pack.questions[name]["step"])

        def judge(value: Decimal | Span) -> tuple[str, str] | None:
            trial = self.trial.with_answers({name: value})  # type: ignore[dict-item]
            parts = {part: set(outcomes) for part, outcomes in others.items()}
            for place, held in enumerate(concerned):
                outcome = self._outcome(held, trial)
                if outcome in (FAILED, OPEN) and place:
                    concerned.insert(0, concerned.pop(place))  # what decided here will most likely decide nearby
                if outcome == OPEN and FAILED not in parts["sizing"] and self.verdict[1] != "change":
                    rows[:] = trial.spread
                    return None
                if outcome != NOT_APPLICABLE:
                    parts[held.finding.rule.part].add(outcome)
                if outcome == FAILED and only_sizing:
                    break  # no other number of this size changes anything any more
            rows[:] = trial.spread
            return in_short(*parts.values())

        def guess(near: Decimal, far: Decimal) -> Decimal | None:
            place = crossing([held.finding for held in concerned], self.trial, name, near, far)
            return next_row(rows, near, far, step) if place is None else place

        edge = nearest(self.trial.pack, name, now, upward, judge, self.verdict, guess)
        return self._shown(name, now, upward, edge, concerned) if edge else None

    def _outcome(self, held: Judged, trial: Trial) -> str:
        judged = self.bench.judge(held.finding.rule, trial)
        if held.finding.reasons and judged.finding.outcome == CANNOT_TELL:
            judged = judged._replace(finding=settle(judged.finding, trial, self.bench))
        return OPEN if undecided(judged, trial) else judged.finding.outcome

    def _by_part(self, outcomes: dict[str, str]) -> dict[str, set[str]]:
        parts: dict[str, set[str]] = {part: set() for part in PARTS}
        for rule, outcome in outcomes.items():
            if outcome != NOT_APPLICABLE:
                parts[self.judged[rule].finding.rule.part].add(outcome)
        return parts

    def _in_short(self, changed: dict[str, str]) -> tuple[str, str]:
        outcomes = {rule: held.finding.outcome for rule, held in self.judged.items()} | changed
        return in_short(*self._by_part(outcomes).values())  # type: ignore[return-value]  # findings are decided

    def _shown(self, name: str, now: Decimal, upward: bool, edge: Edge, concerned: list[Judged]) -> dict:
        pack = self.trial.pack
        trial = self.trial.with_answers({name: edge.breaks})
        outcomes = {held.finding.rule.id: self._outcome(held, trial) for held in concerned}
        after = self._in_short(outcomes)
        part = "headline" if after[0] != self.verdict[0] else "sizing"
        before, then = (v[0 if part == "headline" else 1] for v in (self.verdict, after))
        words = {
            "it": pack.questions[name]["label"],
            "now": value_shown(pack, name, now),
            "holds": value_shown(pack, name, edge.holds),
            "breaks": value_shown(pack, name, edge.breaks),
            "before": fill(self.trial, pack.phrases[f"{part}.{before}"]),
            "then": fill(self.trial, pack.phrases[f"{part}.{then}"]),
        }
        text = pack.phrases["flip.up" if upward else "flip.down"]
        for hole, word in words.items():
            text = text.replace("{" + hole + "}", word)
        return {
            "question": name,
            "label": pack.questions[name]["label"],
            "toward": "up" if upward else "down",
            "now": plain(now),
            "holds_to": plain(edge.holds),
            "changes_at": plain(edge.breaks),
            "unit": pack.questions[name]["unit"],
            "part": part,
            "before": before,
            "after": then,
            "rules": [rule for rule, outcome in outcomes.items() if outcome != self.judged[rule].finding.outcome],
            "text": text,
        }


def crossing(findings: list[Finding], trial: Trial, name: str, near: Decimal, far: Decimal) -> Decimal | None:
    """Where a comparison of these rules changes sides between two numbers, as if it went in a straight line; else None."""
    ends = [trial.with_answers({name: end}) for end in (near, far)]
    readers = [end.reader(end) for end in ends]
    best = None
    for finding in findings:
        for comparison in finding.rule.comparisons:
            over: list[Any] = []
            for reader in readers:
                left, right = comparison.left(reader), comparison.right(reader)
                if isinstance(left, (Unknown, Span)) or isinstance(right, (Unknown, Span)):
                    break
                over.append(left - right)  # type: ignore[operator]  # the build checked: numbers
            if len(over) == 2 and over[0] != over[1] and (over[0] > 0) != (over[1] > 0):
                share = over[0] / (over[0] - over[1])
                place = near + share * (far - near)
                if best is None or abs(place - near) < abs(best - near):
                    best = place
    return best

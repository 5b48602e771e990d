"""The same case with other answers, judged quickly: only what reads a changed answer is worked out again.

Everything that looks beyond the answers given stands on this: what is decided for every possible answer (`any_answer`),
what would clear the sizing (`changes`), and how far a number is from changing the verdict (`flips`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from checker.core.findings import CANNOT_TELL, Finding, Gate, weigh
from checker.core.pack import Pack, Rule
from checker.core.situation import Known, Names, Reader, Situation
from checker.core.values import ReasonKind, Value


class Noting(Reader):
    """A reader that notes every question it depends on, also through quantities."""

    __slots__ = ("names",)

    def __init__(self, situation: Trial) -> None:
        super().__init__(situation)
        self.names: set[str] = set()

    def value(self, name: str) -> Value:
        value = self._plain.get(name)
        if value is not None:
            self.names.add(name)
            return value
        value = super().value(name)
        self.names |= self._memory[name].names
        return value

    def __call__(self, name: str):
        if name in self._plain:
            self.names.add(name)
        return super().__call__(name)

    def given(self, name: str) -> Value | None:  # type: ignore[override]
        self.names.add(name)
        return super().given(name)


class Trial(Situation):
    """A case that may be tried with other answers; what does not depend on a changed answer is not worked out again."""

    reader = Noting

    def __init__(self, pack: Pack, answers: dict[str, Value], supposed: frozenset[str] = frozenset()) -> None:
        super().__init__(pack, answers, supposed)
        self._before: Trial | None = None
        self._changed: frozenset[str] = frozenset()

    def with_answers(self, changes: Mapping[str, Value], supposed: tuple[str, ...] = ()) -> Trial:
        """The case with `changes` in its answers."""
        trial = Trial(self.pack, {**self.answers, **changes}, self.supposed.union(supposed))
        trial._before, trial._changed = self, frozenset(changes)
        return trial

    def work_out(self, name: str) -> Known:
        found = self._held(name)
        if found is None:
            found = super().work_out(name)
            if name in self.pack.questions:
                found = self.memory[name] = Known(found.value, {}, frozenset((name,)))
        return found

    def _held(self, name: str) -> Known | None:
        """What is worked out already, here or in the case before as far as it does not depend on what was changed."""
        found = self.memory.get(name)
        if found is None and self._before is not None:
            found = self._before._held(name)
            if found is not None:
                if not self._changed.isdisjoint(found.names):
                    return None
                self.memory[name] = found
        return found


class Judged(NamedTuple):
    """The finding of one rule in one trial, and the questions it depends on."""

    finding: Finding
    names: Names


class Bench(NamedTuple):
    """Judges trials, all by one gate."""

    gate: Gate

    def judge(self, rule: Rule, trial: Trial) -> Judged:
        reader = Noting(trial)
        finding, _ = weigh(rule, reader, self.gate)
        return Judged(finding, reader.names)

    def depending(self, findings: list[Finding], trial: Trial) -> dict[str, Judged]:
        """The findings of `trial` that decide something, by rule, each with the questions it depends on."""
        return {
            finding.rule.id: self.judge(finding.rule, trial)._replace(finding=finding)
            for finding in findings
            if finding.rule.decides
        }

    def again(self, before: dict[str, Judged], trial: Trial, changed: frozenset[str]) -> dict[str, Judged]:
        """Every rule of `before` in `trial`, which differs from the case of `before` in the answers `changed`."""
        return {
            rule: held if changed.isdisjoint(held.names) else self.judge(held.finding.rule, trial)
            for rule, held in before.items()
        }


def undecided(judged: Judged, trial: Trial) -> bool:
    """Whether a rule, judged for a span of answers, may come out differently at one of them than at another."""
    finding = judged.finding
    if finding.outcome != CANNOT_TELL:
        return False
    # Where several cells serve, one may be weak and another not: only one cell at a time tells.
    return bool(trial.spread) or any(reason.kind is ReasonKind.TRIED for reason in finding.reasons)

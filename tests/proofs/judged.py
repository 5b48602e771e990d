"""Findings and verdict of a `Model`, in formulas."""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple

import z3

from tests.proofs.model import FALSE, Kleene, Model, all_of, any_of, quantities_of, tree_names
from tests.proofs.summaries import GIVEN


class Finding(NamedTuple):
    """`weak`: everything says yes, but on a figure to be confirmed, so it cannot tell."""

    passed: z3.BoolRef
    failed: z3.BoolRef
    open: z3.BoolRef
    absent: z3.BoolRef


class Judged:
    def __init__(self, model: Model) -> None:
        self.model = model
        content = model.pack.content
        parts = {stage["id"]: stage["part"] for stage in content["stages"]}
        self.rules = {rule["id"]: rule for rule in content["rules"]}
        self.part = {name: parts[rule["stage"]] for name, rule in self.rules.items()}
        self.decides = [name for name, rule in self.rules.items() if rule["weight"] != "advice"]
        self._findings: dict[str, Finding] = {}

    def names(self, rule: str) -> set[str]:
        return tree_names(self.rules[rule]["applies"]) | tree_names(self.rules[rule]["requires"])

    def finding(self, rule: str) -> Finding:
        if rule not in self._findings:
            applies = self.model.expression(self.rules[rule]["applies"])
            requires: Kleene = self.model.expression(self.rules[rule]["requires"])
            own = z3.BoolVal(rule in self.model.weak_cells)
            weak = any_of([own, applies.weak, requires.weak])
            passed = all_of([applies.true, requires.true, z3.Not(weak) if not z3.is_false(weak) else z3.BoolVal(True)])
            failed = all_of([applies.true, requires.false])
            self._findings[rule] = Finding(passed, failed, z3.Not(z3.Or(passed, failed, applies.false)), applies.false)
        return self._findings[rule]

    def facts(self, rules: list[str] | None = None, defined: bool = True) -> list[z3.BoolRef]:
        """What holds of any answers: the questions, and (unless only their ranges) the quantities that `rules` read."""
        names = sorted(set().union(*(self.names(rule) for rule in rules or self.rules)))
        quantities = quantities_of(self.model.book, names)
        told: list[z3.BoolRef] = []
        questions = {*names, "worker"}
        for name in quantities:
            told += self.model.range(name)
            if defined:
                told += self.model.definition(name)
            questions |= set(self.model.book.of(name).reads)
        for name in sorted(questions & set(self.model.pack.questions)):
            told += self.model.question(name)
        return told

    def some(self, part: str, outcome: str) -> z3.BoolRef:
        return any_of(getattr(self.finding(rule), outcome) for rule in self.decides if self.part[rule] == part)

    def worker_is(self, who: str) -> z3.BoolRef:
        return z3.And(self.model.state("worker", GIVEN), self.model.choice("worker", who))

    @cached_property
    def verdict(self) -> dict[str, dict[str, z3.BoolRef]]:
        """`headline`, `who` and `sizing`, each word with when it is said."""
        worker = self.worker_is("supervised") if "worker" in self.model.pack.questions else FALSE
        return verdict(self.some, worker)


def verdict(some, supervised: z3.BoolRef) -> dict[str, dict[str, z3.BoolRef]]:
    """`checker.core.verdict.reach`, from whether some deciding rule of a part (`some(part, outcome)`) passed, failed or is open."""
    danger, reserved, wrong = some("danger", "failed"), some("who", "failed"), some("sizing", "failed")
    judged = z3.And(some("danger", "passed"), some("who", "passed"))
    doubt = z3.Or(some("danger", "open"), some("who", "open"))
    clear = z3.And(z3.Not(danger), z3.Not(reserved))
    helped = z3.And(clear, supervised, judged)
    who = {
        "stop": danger,
        "supervised": helped,
        "permitted": z3.And(clear, z3.Not(helped), judged, z3.Not(doubt)),
        "licensed-only": z3.And(z3.Not(danger), z3.Not(helped), z3.Or(reserved, doubt, z3.Not(judged))),
    }
    fits = z3.And(z3.Not(wrong), z3.Not(some("sizing", "open")), some("sizing", "passed"))
    sizing = {"change": wrong, "fits": fits, "find-out": z3.And(z3.Not(wrong), z3.Not(fits))}
    all_fits = z3.And(clear, fits, judged, z3.Not(doubt))
    headline = {
        "stop": danger,
        "call": z3.And(z3.Not(danger), reserved),
        "change": z3.And(clear, wrong),
        "fits": all_fits,
        "find-out": z3.And(clear, z3.Not(wrong), z3.Not(all_fits)),
    }
    return {"headline": headline, "who": who, "sizing": sizing}

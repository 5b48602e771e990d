"""A thicker cable, a higher device rating, a smaller load, a cooler place, a shorter run never makes a verdict worse.

Proved rule by rule, for any answers: from passed (or not applicable) none falls to failed or cannot tell, and from cannot
tell none falls to failed. The verdict is the worst of its rules, so it falls no further than they do. Where a rule does
come out worse, `exceptions.toml` says so with its reason, and the solver shows a pair of answers that can be run: an
exception that is none any more fails here too.
"""

from __future__ import annotations

from functools import cache

import pytest
import z3

from tests import sampling
from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.model import solver
from tests.proofs.relations import Step, lost, newly_failed
from tests.proofs.shared import PACKS, book, each_pack, listed

pytestmark = pytest.mark.slow
STEPS = listed("steps")["steps"]
EXCEPTIONS = {
    (entry["question"], entry["rule"], kind): entry["why"]
    for kind in ("loses", "fails")
    for entry in listed("exceptions")["steps"]
    for entry in ({**entry, "rule": rule} for rule in entry.get(kind, []))
}
FALLS = {"loses": lost, "fails": newly_failed}


_settled: dict[tuple, str] = {}


@cache
def step_of(name: str, question: str, way: str) -> Step:
    return Step(book(name), question, way)


@cache
def falls(name: str, question: str, way: str) -> list[tuple[str, str]]:
    """(rule, kind) of every rule that the solver can make come out worse, or cannot settle; listed ones unasked."""
    step, found = step_of(name, question, way), []
    for rule in step.touched():
        judged = Judged(step.a)
        trees = [str(judged.rules[rule][key]) for key in ("applies", "requires")]
        meaning = (*trees, step.book.meaning(judged.names(rule)), question, way)
        for kind in FALLS:
            if (question, rule, kind) in EXCEPTIONS:
                found.append((rule, kind))
                continue
            if (*meaning, kind) not in _settled:
                _settled[*meaning, kind] = _asked(step, rule, kind)
            if _settled[*meaning, kind] != "unsat":
                found.append((rule, kind))
    return found


def _worse(step: Step, rule: str, kind: str) -> z3.BoolRef:
    return FALLS[kind](*(Judged(model).finding(rule) for model in (step.a, step.b)))


def _asked(step: Step, rule: str, kind: str) -> str:
    """First from what is proved of the quantities; else with everything the rule rests on."""
    worse = _worse(step, rule, kind)
    return "unsat" if step.proves(rule, worse) else str(_solver(step, rule, worse).check())


def _solver(step: Step, rule: str, worse: z3.BoolRef) -> z3.Solver:
    return solver(*step.whole(rule), worse)


def pair(step: Step, rule: str, kind: str) -> tuple[dict, dict] | None:
    """Two sets of answers that show how the rule comes out worse; None where that is too much work for the solver."""
    asked = _solver(step, rule, _worse(step, rule, kind))
    if str(asked.check()) != "sat":
        return None
    found = told.neat(asked, [step.a, step.b])
    before = told.read_off(step.a, found)
    return before, {**before, step.question: told.read_off(step.b, found)[step.question]}


@pytest.mark.parametrize("step", sampling.share(STEPS, 3), ids=lambda step: f"{step['question']}-{step['way']}")
@each_pack
def test_what_can_only_help_makes_no_rule_worse(name, step):
    pack = PACKS[name]
    if step["question"] not in pack.questions:
        pytest.skip("this pack does not ask it")
    unlisted = []
    for rule, kind in falls(name, step["question"], step["way"]):
        if (step["question"], rule, kind) not in EXCEPTIONS:
            found = pair(step_of(name, step["question"], step["way"]), rule, kind)
            shown = (
                "too much work for the solver"
                if found is None
                else "\n".join(told.file(pack, answers) for answers in found)
            )
            unlisted.append(f"{step['what']} makes {rule} worse ({kind}):\n{shown}")
    assert not unlisted, "\n".join(unlisted)


@pytest.mark.skipif(not sampling.deep(), reason="it takes every rule set: make prove")
def test_every_exception_is_one_and_can_be_run():
    """Each listed fall happens in some pack, and the checker itself shows it on the solver's answers."""
    missing = set(EXCEPTIONS)
    rank = {"failed": 0, "cannot-tell": 1, "passed": 2, "not-applicable": 2}
    for name, pack in PACKS.items():
        for question, way in ((step["question"], step["way"]) for step in STEPS):
            wanted = [(rule, kind) for asked, rule, kind in missing if asked == question]
            if not wanted or question not in pack.questions:
                continue
            touched = step_of(name, question, way).touched()
            for rule, kind in wanted:
                if rule in touched and (found := pair(step_of(name, question, way), rule, kind)):
                    before, after = (rank[told.outcomes(pack, answers)[rule]] for answers in found)
                    if after < before:
                        missing.discard((question, rule, kind))
    assert not missing


def test_each_exception_has_its_reason():
    assert all(len(why.split()) > 4 for why in EXCEPTIONS.values())

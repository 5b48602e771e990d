"""Every rule can pass and can fail, none hides behind another without saying so, and no answers escape all rules.

What is possible is shown by answers that the checker itself then judges; what is not, is proved.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import cache
from typing import Any

import pytest
import z3

from tests.core import asking
from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.model import Model, solver
from tests.proofs.shared import PACKS, book, each_pack, listed
from tests.rules.test_cases import CASES

pytestmark = pytest.mark.slow
NEVER = {
    (name, entry["rule"], entry["outcome"])
    for entry in listed("exceptions")["never"]
    for name, pack in PACKS.items()
    if pack.id not in entry.get("except", ())
}


def implied(name: str) -> dict[str, str]:
    """The rules of a pack that fail only where another fails too, each with that other."""
    pack, rules = PACKS[name].id, judged(name).rules
    entries = [entry for entry in listed("exceptions")["implied"] if pack in entry.get("packs", [pack])]
    return {entry["rule"]: entry["by"] for entry in entries if {entry["rule"], entry["by"]} <= rules.keys()}


@cache
def judged(name: str) -> Judged:
    return Judged(Model(book(name)))


@cache
def solver_of(name: str) -> z3.Solver:
    return solver(*judged(name).facts())


@cache
def cases(name: str) -> list[dict[str, str]]:
    """What the checker finds in the cases of the rules: where one shows what is asked, the solver need not look."""
    pack, found = PACKS[name], []
    for case in CASES:
        if case.pack == pack.id:
            answers = asking.sound(pack.id) | case.told["with"]
            # A case of another edition may know a question or a choice that this one does not have.
            with suppress(told.BadRequest):
                found.append(told.outcomes(pack, answers))
    return found


def shown(name: str, wanted: list[z3.BoolRef], proof: Callable[[dict[str, str]], bool]) -> str:
    """ "yes" with answers of which the checker itself says `proof(outcomes)`, else "no" (proved), or what went wrong."""
    if any(proof(found) for found in cases(name)):
        return "yes"
    asked, model = solver_of(name), judged(name).model
    answers: dict[str, Any] = {}
    for seed in range(4):
        before = asked.num_scopes()
        asked.push()
        asked.add(*wanted)
        answer = str(asked.check())
        if answer != "sat":
            asked.pop()
            return "no" if answer == "unsat" else "too much work for the solver"
        answers = told.read_off(model, asked.model())
        if not proof(told.outcomes(PACKS[name], answers)):  # a number of more places than an answer may have was cut
            answers = told.read_off(model, told.neat(asked, [model]))
        asked.pop(asked.num_scopes() - before)
        outcomes = told.outcomes(PACKS[name], answers)
        if proof(outcomes):
            cases(name).append(outcomes)
            return "yes"
        asked = solver(*judged(name).facts())  # perhaps others can be written down in twelve places
        asked.set("random_seed", seed + 1)
    return f"the checker does not agree:\n{told.file(PACKS[name], answers)}"


@pytest.mark.parametrize("outcome", ["passed", "failed"])
@each_pack
def test_every_rule_can_pass_and_can_fail(name, outcome):
    held, wrong = judged(name), {}
    for rule in held.rules:
        said = shown(name, [getattr(held.finding(rule), outcome)], lambda found, rule=rule: found[rule] == outcome)
        if said != ("no" if (name, rule, outcome) in NEVER else "yes"):
            wrong[rule] = said
    assert not wrong


@each_pack
def test_every_rule_can_be_the_only_one_that_fails(name):
    """So none follows from the others. Where one does, `exceptions.toml` names the other, and it is proved."""
    held, wrong, known = judged(name), {}, implied(name)
    for rule in held.decides:
        if (name, rule, "failed") in NEVER:
            continue
        others = [other for other in held.decides if other not in (rule, known.get(rule))]
        failed = held.finding(rule).failed
        alone = [failed, *(z3.Not(held.finding(other).failed) for other in others)]

        def only(found: dict[str, str], rule=rule, others=others) -> bool:
            return found[rule] == "failed" and not any(found[other] == "failed" for other in others)

        said = shown(name, alone, only)
        if said != "yes":
            wrong[rule] = said if said != "no" else f"fails only where one of these fails: {_with(name, rule)}"
        if rule in known:
            by = held.finding(known[rule]).failed
            if shown(name, [failed, z3.Not(by)], lambda found: False) != "no":
                wrong[rule] = f"no longer follows from {known[rule]}"
    assert not wrong


def _with(name: str, rule: str) -> list[str]:
    held, asked = judged(name), solver_of(name)
    failed, found = held.finding(rule).failed, []
    for other in held.decides:
        asked.push()
        asked.add(failed, z3.Not(held.finding(other).failed))
        if other != rule and asked.check() == z3.unsat:
            found.append(other)
        asked.pop()
    return found


@pytest.mark.parametrize("part", ["danger", "who", "sizing"])
@each_pack
def test_no_answers_escape_every_rule_of_a_part(name, part):
    held = judged(name)
    rules = [rule for rule in held.decides if held.part[rule] == part]

    def escapes(found: dict[str, str]) -> bool:
        return all(found[rule] == "not-applicable" for rule in rules)

    assert shown(name, [held.finding(rule).absent for rule in rules], escapes) == "no"

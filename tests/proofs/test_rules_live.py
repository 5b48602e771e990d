"""Every rule can pass and can fail, none hides behind another without saying so, and no answers escape all rules.

What is possible is shown by answers that the checker itself then judges; what is not, is proved.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
import z3

from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.model import Model
from tests.proofs.shared import PACKS, book, each_pack, listed

pytestmark = pytest.mark.slow
NEVER = {(entry["rule"], entry["outcome"]) for entry in listed("exceptions")["never"]}
IMPLIED = {entry["rule"]: entry["by"] for entry in listed("exceptions")["implied"]}
# Answers that showed something in one pack are tried first in the next: most rules are the same.
_tried: list[dict[str, Any]] = []


@cache
def judged(name: str) -> Judged:
    return Judged(Model(book(name)))


@cache
def solver(name: str) -> z3.Solver:
    made = z3.Solver()
    made.set("timeout", 60_000)
    made.add(*judged(name).facts())
    return made


@cache
def tried(name: str) -> list[dict[str, str]]:
    """What the checker finds for the answers of earlier packs, as far as this pack knows their questions and choices."""
    found = []
    for answers in list(_tried):
        kept = {n: v for n, v in answers.items() if n in PACKS[name].questions}
        try:
            found.append(told.outcomes(PACKS[name], kept))
        except told.BadRequest:
            continue
    return found


def shown(name: str, wanted: list[z3.BoolRef], proof) -> str:
    """ "yes" with answers of which the checker itself says `proof(outcomes)`, else "no" (proved), or what went wrong."""
    if any(proof(found) for found in tried(name)):
        return "yes"
    asked = solver(name)
    before = asked.num_scopes()
    asked.push()
    asked.add(*wanted)
    answer = str(asked.check())
    try:
        if answer != "sat":
            return "no" if answer == "unsat" else "not settled in a minute"
        model = judged(name).model
        answers = told.read_off(model, asked.model())
        if not proof(told.outcomes(PACKS[name], answers)):  # a number of more places than an answer may have was cut
            answers = told.read_off(model, told.neat(asked, [model]))
    finally:
        asked.pop(asked.num_scopes() - before)
    outcomes = told.outcomes(PACKS[name], answers)
    if not proof(outcomes):
        return f"the checker does not agree:\n{told.file(PACKS[name], answers)}"
    _tried.append(answers)
    tried(name).append(outcomes)
    return "yes"


@pytest.mark.parametrize("outcome", ["passed", "failed"])
@each_pack
def test_every_rule_can_pass_and_can_fail(name, outcome):
    held, wrong = judged(name), {}
    for rule in held.rules:
        said = shown(name, [getattr(held.finding(rule), outcome)], lambda found, rule=rule: found[rule] == outcome)
        if said != ("no" if (rule, outcome) in NEVER else "yes"):
            wrong[rule] = said
    assert not wrong


@each_pack
def test_every_rule_can_be_the_only_one_that_fails(name):
    """So none follows from the others. Where one does, `exceptions.toml` names the other, and it is proved."""
    held, wrong = judged(name), {}
    for rule in held.decides:
        if (rule, "failed") in NEVER:
            continue
        others = [other for other in held.decides if other not in (rule, IMPLIED.get(rule))]
        failed = held.finding(rule).failed
        alone = [failed, *(z3.Not(held.finding(other).failed) for other in others)]

        def only(found: dict[str, str], rule=rule, others=others) -> bool:
            return found[rule] == "failed" and not any(found[other] == "failed" for other in others)

        said = shown(name, alone, only)
        if said != "yes":
            wrong[rule] = said if said != "no" else f"fails only where one of these fails: {_with(name, rule)}"
        if rule in IMPLIED and IMPLIED[rule] in held.rules:
            by = held.finding(IMPLIED[rule]).failed
            if shown(name, [failed, z3.Not(by)], lambda found: False) != "no":
                wrong[rule] = f"no longer follows from {IMPLIED[rule]}"
    assert not wrong


def _with(name: str, rule: str) -> list[str]:
    held, asked = judged(name), solver(name)
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

"""What `fits` and `permitted` mean, proved for every pack over the whole range of answers.

A claim about what is computed follows from the rules alone, whatever the quantities are, and so holds for the rounded
values that the checker compares. One that goes back to the answers (`deep`) goes through the quantities, exactly; a
quotient of answers differs from a rating by at least 10**-27 unless it equals it (answers carry 12 places), while it is
rounded in the 34th digit, so rounding turns none of them.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import pytest
import z3

from checker.core.quantities import QUANTITIES
from checker.dev.rulebook import expressions, units
from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.model import Model, solver
from tests.proofs.shared import PACKS, book, each_pack, listed
from tests.proofs.summaries import NOT_STATED

pytestmark = pytest.mark.slow
CLAIMS = listed("claims")["claims"]


@cache
def judged(name: str) -> Judged:
    return Judged(Model(book(name)))


def names_of(content: dict[str, Any]) -> expressions.Names:
    """The names of a compiled pack, typed as its rules were."""
    types: dict[str, expressions.Type] = {
        name: expressions.Number(units.parse(u)) for name, u in content["units"].items()
    }
    for question in content["questions"]:
        if question["kind"] == "yes-no":
            types[question["id"]] = expressions.Truth()
        elif question["kind"] == "choice":
            types[question["id"]] = expressions.Choice(tuple(choice["value"] for choice in question["choices"]))
    for quantity in QUANTITIES.values():
        if quantity.choices:
            types[quantity.name] = expressions.Choice(quantity.choices)
    optional = frozenset(q["id"] for q in content["questions"] if q["unanswered"] == NOT_STATED)
    return expressions.Names(types, optional)


# Of a figure that only has bounds the checker passes what passes for all of them. So it passes for these.
# A motor beyond its table takes a large current; a cable whose rating has no upper bound carries no more than the lower.
CHOSEN = {"beyond-least": Fraction(1, 1000), "beyond-between": Fraction(0), "beyond-most": Fraction(1000)}
CHOSEN |= {"beyond-most:cable-current": Fraction(1)}


def chosen(asked: z3.Solver) -> list[z3.BoolRef]:
    """Of every such figure that the solver's facts name."""
    found, seen, left = [], set(), list(asked.assertions())
    while left:
        term = left.pop()
        if term.get_id() in seen:
            continue
        seen.add(term.get_id())
        left += term.children()
        text = str(term) if term.num_args() == 0 else ""
        if (value := CHOSEN.get(text, CHOSEN.get(text.partition(":")[0]))) is not None:
            found.append(term == z3.Q(value.numerator, value.denominator))
    return found


@cache
def solver_of(name: str, deep: bool) -> z3.Solver:
    """Knows what holds of any answers; how each quantity is worked out only if `deep`, else no more than its range."""
    made = solver(*judged(name).facts(defined=deep))
    made.add(*chosen(made))
    return made


def possible(name: str, wrong: list[z3.BoolRef], deep: bool = False) -> z3.CheckSatResult:
    asked = solver_of(name, deep)
    asked.push()
    asked.add(*wrong)
    answer = asked.check()
    asked.pop()
    return answer


def example(name: str, wanted: list[z3.BoolRef], seed: int = 0) -> dict[str, Any] | None:
    """Answers of which `wanted` holds, or None where there are none. Asked afresh: which ones come depends on nothing else."""
    held = judged(name)
    asked = solver(*held.facts(), *wanted)
    asked.add(*chosen(asked))
    asked.set("random_seed", seed)
    return told.read_off(held.model, told.neat(asked, [held.model])) if asked.check() == z3.sat else None


def counterexample(name: str, wrong: list[z3.BoolRef]) -> str:
    """Answers that can be run, for which the claim does not hold."""
    answers = example(name, wrong)
    return "no answers found: the rules alone do not give it" if answers is None else told.file(PACKS[name], answers)


@pytest.mark.parametrize("claim", CLAIMS, ids=[claim["id"] for claim in CLAIMS])
@each_pack
def test_a_sizing_that_fits_keeps_its_word(name, claim):
    held, pack = judged(name), PACKS[name]
    if pack.id in claim.get("not_in", {}):
        pytest.skip(claim["not_in"][pack.id])
    text = claim.get("instead", {}).get(pack.id, claim["holds"])
    term = held.model.expression(expressions.parse_truth(text, names_of(pack.content)))
    wrong = [held.verdict["sizing"]["fits"], term.false if claim.get("if_known") else z3.Not(term.true)]
    found = possible(name, wrong, claim.get("deep", False))
    assert str(found) == "unsat", f"{claim['why']}\n{counterexample(name, wrong)}"


@each_pack
def test_there_are_answers_that_fit(name):
    """Else every claim above would hold for want of a case."""
    said = []
    for seed in range(
        4
    ):  # a number of more than twelve places is cut when it is written down: then others are asked for
        answers = example(name, [judged(name).verdict["headline"]["fits"]], seed)
        assert answers is not None
        said.append(told.judged(PACKS[name], answers)[2].headline)
        if said[-1] == "fits":
            return
    pytest.fail(f"{said}\n{told.file(PACKS[name], answers)}")


@pytest.mark.parametrize("part", ["danger", "who", "sizing"])
@each_pack
def test_no_failed_rule_leaves_a_fit(name, part):
    held = judged(name)
    assert_never(name, [held.verdict["headline"]["fits"], held.some(part, "failed")])


@pytest.mark.parametrize("part", ["danger", "who"])
@pytest.mark.parametrize("outcome", ["failed", "open"])
@each_pack
def test_no_failed_or_open_gate_leaves_a_permission(name, part, outcome):
    held = judged(name)
    assert_never(name, [held.verdict["who"]["permitted"], held.some(part, outcome)])


@each_pack
def test_a_fit_is_for_somebody_who_may_do_it(name):
    held = judged(name)
    who = held.verdict["who"]
    assert_never(name, [held.verdict["headline"]["fits"], z3.Not(z3.Or(who["permitted"], who["supervised"]))])


@each_pack
def test_the_unlicensed_are_never_permitted(name):
    """Who is unlicensed, or does not say, is not permitted; where a law leaves some work open, that is listed."""
    held, pack = judged(name), PACKS[name]
    licensed = z3.Or(held.worker_is("licensed"), held.worker_is("supervised"))
    permitted = held.verdict["who"]["permitted"]
    left_open = [entry for entry in listed("exceptions").get("unlicensed", []) if entry["pack"] in (pack.id, name)]
    assert_never(name, [permitted, z3.Not(licensed), *(z3.Not(_true(held, entry["where"])) for entry in left_open)])
    for entry in left_open:
        now = possible(name, [permitted, z3.Not(licensed), _true(held, entry["where"])], deep=True)
        assert str(now) == "sat", f"no longer so: {entry}"


@each_pack
def test_what_the_law_reserves_is_not_permitted(name):
    """A rule of law about who may do it that is not passed takes the permission, and an unlicensed worker the fit."""
    held = judged(name)
    laws = [rule for rule in held.decides if held.part[rule] == "who" and held.rules[rule]["weight"] == "law"]
    for rule in laws:
        row = held.finding(rule)
        assert_never(name, [held.verdict["who"]["permitted"], z3.Or(row.failed, row.open)])
        assert_never(name, [held.verdict["headline"]["fits"], z3.Or(row.failed, row.open)])


def _true(held: Judged, text: str) -> z3.BoolRef:
    return held.model.expression(expressions.parse_truth(text, names_of(held.model.pack.content))).true


def assert_never(name: str, wrong: list[z3.BoolRef]) -> None:
    assert str(possible(name, wrong)) == "unsat", counterexample(name, wrong)

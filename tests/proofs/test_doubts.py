"""Replacing any answers by "don't know" never improves a verdict, and learning them never overturns a decided finding.

Proved for any answers and any number of doubts at once, quantity by quantity and then rule by rule, twice: with every
figure confirmed, and with none (a pass that rests on a weak figure is then no pass). Left out, because they are no doubt:
answers that contradict each other.
"""

from __future__ import annotations

from functools import cache

import pytest
import z3

from checker.core.findings import CANNOT_TELL, PASSED, Gate, weigh
from checker.core.situation import Reader, Situation
from checker.core.tables import Cell
from tests.core.asking import AS_OF
from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.model import quantities_of, solver
from tests.proofs.relations import Doubt
from tests.proofs.shared import PACKS, book, each_pack

pytestmark = pytest.mark.slow
_settled: dict[tuple, str] = {}


@cache
def weak(name: str) -> frozenset[str]:
    """The figures that take a pass away until somebody confirms them."""
    return frozenset(c.id for c in cells_of(name) if c.status in ("memory", "conflict") or c.stale_after < AS_OF)


def cells_of(name: str) -> list[Cell]:
    """Every table cell and parameter of a pack, and the standing of every rule."""
    pack = PACKS[name]
    cells = [cell for table in pack.tables.values() for cell in table.cells.values()]
    return [*cells, *pack.parameters.values(), *(rule.own for rule in pack.rules)]


@cache
def doubt(name: str, confirmed: bool) -> Doubt:
    made = Doubt(book(name), frozenset() if confirmed else weak(name))
    judged = Judged(made.a)
    for quantity in quantities_of(book(name), sorted(set().union(*map(judged.names, judged.rules)))):
        made.prove(quantity)
    return made


@pytest.mark.parametrize("confirmed", [True, False], ids=["all figures confirmed", "no figure confirmed"])
@each_pack
def test_a_doubt_gives_no_pass_and_the_truth_overturns_nothing(name, confirmed):
    held, wrong = doubt(name, confirmed), []
    judged = Judged(held.a)
    for rule in judged.rules:
        names = judged.names(rule)
        trees = [str(judged.rules[rule][key]) for key in ("applies", "requires")]
        figures = held.a.weak_cells & {rule, *names, *_cells(held, names)}
        key = (*trees, book(name).meaning(names), figures, bool(held.unproved))
        if key not in _settled:
            _settled[key] = "unsat" if held.proves(rule) else str(_solver(held, rule).check())
        if _settled[key] != "unsat":
            wrong.append(f"{rule}:\n{_shown(held, rule)}")
    assert not wrong, "\n".join(wrong)


def _cells(held: Doubt, names: set[str]) -> set[str]:
    summaries = (held.book.of(name) for name in quantities_of(held.book, sorted(names)))
    return {cell for summary in summaries for way in summary.ways for cell in way.cells}


def _solver(held: Doubt, rule: str) -> z3.Solver:
    return solver(*held.whole(rule), held.gives(rule))


def _shown(held: Doubt, rule: str) -> str:
    """The two sets of answers: with the doubts, and with the truth."""
    asked = _solver(held, rule)
    if str(asked.check()) != "sat":
        return "too much work for the solver"
    found = told.neat(asked, [held.a, held.b])
    return "\n".join(told.file(held.book.pack, told.read_off(model, found)) for model in (held.b, held.a))


@each_pack
def test_the_weak_figures_are_those_the_checker_holds_for_weak(name):
    """A rule that always holds, resting on one figure after the other, loses its pass to these and to no other."""
    pack = PACKS[name]
    always = pack.rules[0]._replace(applies=lambda _: True, requires=lambda _: True)
    lost = set()
    for cell in cells_of(name):
        finding, _ = weigh(always._replace(id=cell.id, own=cell), Reader(Situation(pack, {})), Gate(AS_OF))
        assert finding.outcome in (PASSED, CANNOT_TELL)
        if finding.outcome == CANNOT_TELL:
            lost.add(cell.id)
    assert lost == weak(name)

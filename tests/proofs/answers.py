"""From a solver's model to answers that can be run, and what the checker says of them."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import z3

from checker.core import findings, verdict
from checker.core.answers import check_answers
from checker.core.errors import BadRequest
from checker.core.findings import Gate
from checker.core.pack import Pack
from checker.core.situation import Situation
from checker.core.values import plain
from tests.core.asking import AS_OF
from tests.proofs.model import Model
from tests.proofs.summaries import GIVEN, NOT_ASKED, states


def read_off(model: Model, found: z3.ModelRef) -> dict[str, Any]:
    """The answers of a set, for every question the model speaks of. A number the format cannot hold is cut to 12 places."""
    answers: dict[str, Any] = {}
    for name, question in model.pack.questions.items():
        stands = [s for s in states(question) if z3.is_true(found[model.state(name, s)])]
        if not stands or stands[0] == NOT_ASKED:
            continue
        answers[name] = _value(model, found, name, question) if stands[0] == GIVEN else stands[0]
    return answers


def _value(model: Model, found: z3.ModelRef, name: str, question: dict) -> Any:
    if question["kind"] == "yes-no":
        return z3.is_true(found[model.truth(name)])
    if question["kind"] == "choice":
        return next(c["value"] for c in question["choices"] if z3.is_true(found[model.choice(name, c["value"])]))
    value = found[model.real(name)]
    if value is None:
        return question["minimum"]
    exact = _exact(value)
    return plain(round(Decimal(exact.numerator) / Decimal(exact.denominator), 12))


def neat(solver: z3.Solver, models: list[Model]) -> z3.ModelRef:
    """A model of `solver` (which has one) whose numbers are short decimals, as far as there is one."""
    found = solver.model()
    numbers = {
        model.real(name)
        for model in models
        for name, question in model.pack.questions.items()
        if question["kind"] == "number"
    }
    for _ in range(3):
        long = [n for n in numbers if found[n] is not None and 1000 % _exact(found[n]).denominator]
        for number in long:
            found = _shorter(solver, number, _exact(found[number])) or found
    return found


def _exact(value: z3.ArithRef) -> Fraction:
    return (value if z3.is_rational_value(value) else value.approx(20)).as_fraction()


def _shorter(solver: z3.Solver, number: z3.ArithRef, exact: Fraction) -> z3.ModelRef | None:
    for places in (0, 1, 2, 4, 8, 12):
        below = Fraction(exact.numerator * 10**places // exact.denominator, 10**places)
        for near in (below, below + Fraction(1, 10**places)):
            solver.push()
            solver.add(number == z3.Q(near.numerator, near.denominator))
            if solver.check() == z3.sat:
                return solver.model()  # what was added stays: the next number has to go with it
            solver.pop()
    return None


def everything(pack: Pack) -> frozenset[str]:
    """Every figure of the pack, as if a reader had confirmed all of them."""
    cells = (cell.id for table in pack.tables.values() for cell in table.cells.values())
    return frozenset([*cells, *pack.parameters, *(rule.id for rule in pack.rules)])


def outcomes(pack: Pack, answers: dict[str, Any], confirmed: frozenset[str] | None = None) -> dict[str, str]:
    """What the checker finds, rule by rule; with every figure confirmed unless told otherwise."""
    return {finding.rule.id: finding.outcome for finding in judged(pack, answers, confirmed)[1]}


def judged(pack: Pack, answers: dict[str, Any], confirmed: frozenset[str] | None = None) -> tuple:
    """Situation, findings and verdict."""
    situation = Situation(pack, check_answers({n: _decimal(v) for n, v in answers.items()}, pack.questions))
    found = findings.judge(situation, Gate(AS_OF, everything(pack) if confirmed is None else confirmed))
    return situation, found, verdict.reach(found, situation.answers.get("worker"))


def _decimal(value: Any) -> Any:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return Decimal(str(value)) if number else value


def file(pack: Pack, answers: dict[str, Any]) -> str:
    """An answers file: save it as .json and run `spareway check` on it."""
    return json.dumps(
        {"pack": pack.id, "edition": pack.about["edition"], "as_of": AS_OF, "answers": answers}, indent=1, default=str
    )


__all__ = ["BadRequest", "everything", "file", "judged", "neat", "outcomes", "read_off"]

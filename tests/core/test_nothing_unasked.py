"""When no question is left, nothing that nobody was asked for could have lowered the verdict: not asked is not "not stated"."""

from __future__ import annotations

import json
from decimal import Decimal, localcontext
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from checker.core import pack as packs
from checker.core import verdict
from checker.core.answers import check_answers
from checker.core.findings import Gate
from checker.core.interview import next_question
from checker.core.situation import DONT_KNOW, NOT_STATED
from checker.core.values import CONTEXT, ReasonKind, Value
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial
from checker.dev.cases import scenarios
from tests.core import asking, strategies
from tests.sampling import deep, examples

RANKS = {
    "headline": ("stop", "call", "change", "find-out", "fits"),
    "who": ("stop", "licensed-only", "supervised", "permitted"),
    "sizing": ("change", "find-out", "fits"),
}


def reached(trial: Trial, gate: Gate) -> tuple[dict[str, int], bool]:
    """How good the verdict is, part by part; and whether two answers cannot both be right."""
    judged = any_answer.judge(trial, Bench(gate))
    said = verdict.reach(judged, trial.answers.get("worker"))
    at_odds = any(r.kind is ReasonKind.CONTRADICTION for f in judged for r in f.reasons)
    outcomes = {"headline": said.headline, "who": said.who.outcome, "sizing": said.sizing.outcome}
    return {part: RANKS[part].index(outcome) for part, outcome in outcomes.items()}, at_odds


def run(pack: packs.Pack, gate: Gate, told: dict[str, Value]) -> Trial:
    """The case when `next` asks nothing more; what `told` does not hold is not known."""
    trial = Trial(pack, {})
    while question := next_question(any_answer.judge(trial, Bench(gate)), trial):
        trial = trial.with_answers({question: told.get(question, DONT_KNOW)})
    return Trial(pack, trial.answers)


def ends(pack: packs.Pack, name: str) -> list[Value]:
    """Every choice, both ends of a number, and what else may be said."""
    question = pack.questions[name]
    if question["kind"] == "number":
        found: list[Value] = [Decimal(question["minimum"]), Decimal(question["maximum"])]
    elif question["kind"] == "yes-no":
        found = [True, False]
    else:
        found = [choice["value"] for choice in question["choices"]]
    return [*found, DONT_KNOW, *([NOT_STATED] if question["unanswered"] == NOT_STATED else [])]


def assert_nothing_lowers(trial: Trial, gate: Gate, names: list[str]) -> None:
    before, _ = reached(trial, gate)
    for name in names:
        for answer in ends(trial.pack, name):
            after, at_odds = reached(trial.with_answers({name: answer}), gate)
            # Two answers that cannot both be right show a slip of the pen, not a fact that should have been asked.
            lowered = [part for part in before if after[part] < before[part]]
            assert at_odds or not lowered, f"{name} = {answer} lowers {lowered}"


@pytest.fixture(autouse=True)
def _context():
    with localcontext(CONTEXT):
        yield


CASES = [case for case in scenarios.every() if case.expect["headline"] in ("fits", "find-out") or deep()]


@pytest.mark.sampled(one_in=60)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_no_answer_that_nobody_was_asked_for_lowers_a_worked_case(case: Any) -> None:
    request = case.request
    gate = Gate(str(request["as_of"]), frozenset(request.get("confirmed", ())))
    pack = packs.choose(request["pack"], request.get("edition"), gate.as_of)
    told = as_read(pack, request["answers"])
    trial = run(pack, gate, told)
    assert_nothing_lowers(trial, gate, sorted(pack.questions.keys() - trial.answers.keys()))


def as_read(pack: packs.Pack, answers: dict[str, Any]) -> dict[str, Value]:
    """The answers as the door reads them."""
    return check_answers(
        json.loads(json.dumps(answers, default=str), parse_int=Decimal, parse_float=Decimal),
        pack.questions,
        pack.unread,
    )


@pytest.mark.parametrize("pack_id", asking.PACKS)
def test_no_answer_that_nobody_was_asked_for_lowers_a_random_case(pack_id: str) -> None:
    gate = Gate(asking.AS_OF)
    pack = packs.choose(pack_id, None, gate.as_of)

    # Not made smaller where one fails: each try walks a whole run of questions.
    @settings(examples(10), phases=(Phase.generate,))
    @given(st.data())
    def walk(data: st.DataObject) -> None:
        sound = asking.sound(pack_id)
        changed = data.draw(st.lists(st.sampled_from(sorted(pack.questions)), max_size=8, unique=True))
        drawn = {name: data.draw(strategies.answer(pack_id, name), label=name) for name in changed}
        trial = run(pack, gate, as_read(pack, sound | drawn))
        left = sorted(pack.questions.keys() - trial.answers.keys())
        assert_nothing_lowers(
            trial, gate, data.draw(st.lists(st.sampled_from(left), min_size=1, max_size=6, unique=True))
        )

    walk()

"""What holds for every set of answers, whatever the rules say: spelling, changing one's mind, confirming, and asking on."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from tests.core import asking, strategies
from tests.sampling import examples

quick = examples(60)
BECAUSE_OF_A_QUESTION = ("not-asked", "dont-know", "not-stated")


def plain_findings(report: dict) -> list:
    return [(f["rule"], f["outcome"], f["left"], f["right"], f["reasons"]) for f in report["findings"]]


@quick
@given(st.data())
def test_one_number_in_three_spellings_is_one_answer(data):
    """As a JSON number, as digits, and with idle zeros."""
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    numbers = {
        n: Decimal(str(v))
        for n, v in answers.items()
        if strategies.questions(pack)[n]["kind"] == "number" and _is_number(v)
    }
    longer = {name: f"{value:f}" + ("0" if "." in f"{value:f}" else ".0") for name, value in numbers.items()}
    short = {name: value.normalize() + 0 for name, value in numbers.items()}
    reports = [
        asking.ask({**answers, **spelt}, pack)
        for spelt in ({}, {n: f"{v:f}" for n, v in short.items()}, _fitting(longer))
    ]
    assert plain_findings(reports[0]) == plain_findings(reports[1]) == plain_findings(reports[2])
    assert len({report["headline"] for report in reports}) == 1


def _is_number(value: object) -> bool:
    return not isinstance(value, bool) and value not in (strategies.DONT_KNOW, strategies.NOT_STATED)


def _fitting(spelt: dict[str, str]) -> dict[str, str]:
    """No more than the twelve places an answer may have."""
    return {name: text for name, text in spelt.items() if len(text.partition(".")[2]) <= 12}


@quick
@given(st.data())
def test_an_answer_that_is_changed_and_changed_back_leaves_no_trace(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    before = asking.text(answers, pack)
    first = asking.handle(before)
    name = data.draw(st.sampled_from(sorted(answers)))
    asking.ask(answers | {name: data.draw(strategies.answer(pack, name))}, pack)
    asking.ask({n: v for n, v in answers.items() if n != name}, pack, ask="next")
    again = {n: v for n, v in answers.items() if n != name} | {name: answers[name]}
    assert asking.handle(before) == first
    assert asking.ask(again, pack)["findings"] == asking.ask(answers, pack)["findings"]


@quick
@given(st.data())
def test_confirming_a_figure_turns_a_doubt_into_a_pass_and_nothing_else(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    before = asking.ask(answers, pack, confirmed=[])  # not what a pack's sound case takes as confirmed
    cells = sorted({r["id"] for f in before["findings"] for r in f["reasons"] if r["kind"] == "confirm"})
    confirmed = data.draw(st.lists(st.sampled_from(cells), unique=True)) if cells else []
    was, now = asking.outcomes(before), asking.outcomes(asking.ask(answers, pack, confirmed=confirmed))
    assert {(was[rule], now[rule]) for rule in was if was[rule] != now[rule]} <= {("cannot-tell", "passed")}


@quick
@given(st.data())
def test_what_a_doubt_names_is_what_settles_it(data):
    """Once the questions a finding names are answered, none of them is a reason any more: asking on leads somewhere."""
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    open_ = [f for f in asking.ask(answers, pack)["findings"] if f["outcome"] == "cannot-tell"]
    named = {(f["rule"], r["id"]) for f in open_ for r in f["reasons"] if r["kind"] in BECAUSE_OF_A_QUESTION}
    learnt = {name: data.draw(strategies.known(pack, name)) for name in sorted({name for _, name in named})}
    after = asking.ask(answers | learnt, pack)
    told = {name for name, value in learnt.items() if value != strategies.NOT_STATED}
    still = {
        (f["rule"], r["id"]) for f in after["findings"] for r in f["reasons"] if r["kind"] in BECAUSE_OF_A_QUESTION
    }
    assert not {(rule, name) for rule, name in named & still if name in told}

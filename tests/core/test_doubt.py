"""Doubt only lowers: "I don't know" can take a pass away and never gives one, and it never hides a decided finding.

One thing is not doubt: two answers that contradict each other leave a rule open, and taking one of them back closes it.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.core.api import handle
from tests.core import asking, strategies
from tests.sampling import examples

quick = examples(150)
walks = examples(25)


def contradicted(report: dict) -> set[str]:
    """The rules that are open because two answers do not go together."""
    return {f["rule"] for f in report["findings"] if any(r["kind"] == "contradiction" for r in f["reasons"])}


@quick
@given(st.data())
def test_not_knowing_never_gives_a_pass(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    doubted = data.draw(st.lists(st.sampled_from(sorted(answers)), min_size=1, max_size=5, unique=True))
    before = asking.ask(answers, pack)
    after = asking.ask(answers | dict.fromkeys(doubted, strategies.DONT_KNOW), pack)
    was, now = asking.outcomes(before), asking.outcomes(after)
    at_odds = contradicted(before)
    assert not [rule for rule in was if now[rule] == "passed" != was[rule] and rule not in at_odds], doubted
    if not at_odds:
        assert not (after["headline"] == "fits" != before["headline"]), doubted
        assert not (after["sizing"]["outcome"] == "fits" != before["sizing"]["outcome"]), doubted


@quick
@given(st.data())
def test_a_finding_that_is_decided_despite_a_doubt_is_not_overturned_by_the_truth(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    doubted = data.draw(st.lists(st.sampled_from(sorted(answers)), min_size=1, max_size=4, unique=True))
    answers |= dict.fromkeys(doubted, strategies.DONT_KNOW)
    was = asking.ask(answers, pack)
    before = asking.outcomes(was)
    learnt = {name: data.draw(strategies.known(pack, name), label=name) for name in doubted}
    now = asking.ask(answers | learnt, pack)
    after = asking.outcomes(now)
    decided = {rule for rule in before if before[rule] != "cannot-tell"} - contradicted(now)
    overturned = {rule: (before[rule], after[rule]) for rule in decided if after[rule] != before[rule]}
    # A figure that only the fuller answer rests on may need confirming: a pass less, never an outcome turned round.
    assert not {rule: turn for rule, turn in overturned.items() if turn != ("passed", "cannot-tell")}, learnt


@quick
@given(st.data())
def test_the_order_of_the_answers_does_not_matter(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    shuffled = dict(data.draw(st.permutations(sorted(answers.items()))))
    for wanted in ("check", "next"):
        assert asking.ask(answers, pack, ask=wanted) == asking.ask(shuffled, pack, ask=wanted)


@quick
@given(st.data())
def test_the_same_request_gets_the_same_bytes(data):
    pack = data.draw(strategies.packs())
    answers = data.draw(strategies.cases(pack))
    asked = data.draw(st.sampled_from(["check", "next"]))
    request = asking.text(answers, pack, ask=asked)
    first = handle(request)
    handle(asking.text({}, pack))
    assert handle(request) == first


@walks
@given(st.data())
def test_the_run_of_questions_ends_and_leaves_nothing_unasked(data):
    """Whatever is answered: no question twice, an end, no "not asked" left, and what was settled stays settled."""
    pack = data.draw(strategies.packs())
    chosen = data.draw(st.fixed_dictionaries({name: _usual(pack, name) for name in strategies.questions(pack)}))
    told: list[tuple[str, str]] = []
    headlines: list[str] = []
    bounds: list[tuple[int, int]] = []
    verdict_at = None
    for reply, answers in asking.walk(lambda question: chosen[question["id"]], pack, beyond=True):
        told += [(finding["rule"], finding["outcome"]) for finding in reply["settled"]["findings"]]
        headlines += [reply["settled"]["headline"]] if reply["settled"]["headline"] else []
        bounds.append((reply["remaining"]["at_most"], reply["beyond"]["at_most"]))
        assert reply["answered"] == len(answers)
        if reply["question"] is None and verdict_at is None:
            verdict_at, reached = len(answers), _verdict(asking.ask(answers, pack))
            assert reply["remaining"]["at_most"] == 0
        assert (verdict_at is None) == (reply["question"] is not None), "what was settled was opened again"
    asked = len(bounds) - 1
    assert bounds[-1] == (0, 0)
    for at, (verdict, all_) in enumerate(bounds):
        assert verdict >= verdict_at - at, "more questions came before the verdict than were said to remain"
        assert all_ >= asked - at, "more questions came than were said to remain"

    report = asking.ask(answers, pack)
    assert not [
        reason
        for finding in report["findings"]
        for reason in finding["reasons"]
        if reason["kind"] == "not-asked" and finding["weight"] != "advice"
    ]
    final, at_odds = asking.outcomes(report), contradicted(report)
    assert at_odds or reached == _verdict(report), "a question that was held idle changed the verdict"
    assert not [(rule, outcome) for rule, outcome in told if final[rule] != outcome and rule not in at_odds]
    ranks = ["stop", "call", "change", "find-out", "fits"]
    assert at_odds or all(ranks.index(report["headline"]) <= ranks.index(headline) for headline in headlines)


def _verdict(report: dict) -> tuple[str, str, str]:
    return report["headline"], report["who"]["outcome"], report["sizing"]["outcome"]


def _usual(pack: str, question: str) -> st.SearchStrategy:
    """Often the sound answer, so that the run gets past the first stages in many ways."""
    any_answer = strategies.answer(pack, question)
    if question not in asking.sound(pack):
        return any_answer
    usual = st.just(asking.sound(pack)[question])
    return st.one_of(usual, usual, any_answer)


@asking.each_pack
def test_knowing_nothing_at_all_is_no_verdict(pack):
    everything = dict.fromkeys(strategies.questions(pack), strategies.DONT_KNOW)
    for answers in ({}, everything):
        report = asking.ask(answers, pack)
        assert report["headline"] == "find-out"
        assert report["who"]["outcome"] == "licensed-only"
        assert report["sizing"]["outcome"] == "find-out"
        # Some things hold whatever the answers are.
        assert not [f for f in report["findings"] if f["outcome"] in ("passed", "failed") and not f["reasons"]]
        undoubted = [f for f in report["findings"] if f["outcome"] == "passed" and f["reasons"]]
        assert all({reason["kind"] for reason in f["reasons"]} == {"any-answer"} for f in undoubted)
        assert "failed" not in asking.outcomes(report).values()


# A 240 V clock needs no neutral, a 240 V heater no AFCI; an owner's exemption is nothing to a licensed worker.
# A device in its own enclosure needs no rail; the kind of breaker counts for motors.
IDLE = {
    "us": {"other_supply", "premises", "neutral_at_device", "afci", "owner_occupier", "run_hours"}
    | {"breaker_kind", "device_modules", "spare_modules", "rcd"},
    "gb": {"other_supply", "premises", "breaker_curve", "skilled_tester", "place", "work_scope", "work_place"},
    "au": {"other_supply", "breaker_curve"},
    "de": {"other_supply", "breaker_curve"},
}


@asking.each_pack
def test_one_doubt_about_any_answer_that_a_pass_needs_takes_the_pass(pack):
    """Each answer of the sound case but one: either the headline falls, or no rule that decides reads it in this case."""

    def decided(report: dict) -> dict[str, str]:
        """What the verdict rests on: neither advice nor what comes after the work."""
        rows = report["findings"]
        return {row["rule"]: row["outcome"] for row in rows if row["weight"] != "advice" and row["part"] != "after"}

    fits = asking.ask(asking.sound(pack), pack)
    idle = set()
    for question in [name for name, answer in asking.sound(pack).items() if answer != "not-stated"]:
        report = asking.ask(asking.sound(pack) | {question: strategies.DONT_KNOW}, pack)
        if report["headline"] == "fits":
            assert decided(report) == decided(fits)
            # Advice decides nothing, but it does not overlook the doubt either.
            any_answer = any(r["kind"] == "any-answer" for f in report["findings"] for r in f["reasons"])
            if asking.outcomes(report) == asking.outcomes(fits) and not any_answer:
                idle.add(question)
        else:
            assert report["headline"] == "find-out", question
            assert any(entry["question"] == question for entry in report["find_out"]), question
    # A licensed worker copes with a second supply; lamps in a dwelling are another matter. Behind an RCD of 30 mA, and
    # for a heater without a rush at switch-on, the breaker's curve settles nothing.
    # In Britain a registered electrician certifies the work in whatever nation it is. In Australia an RCD is a matter of
    # every altered circuit of a dwelling, and in a German one less voltage may be lost: there the premises count.
    # A heater has neither an electronic drive nor a plug for a car.
    assert idle == IDLE.get(pack, {"other_supply", "premises", "breaker_curve"}) | {"electronic_drive", "car_charger"}


@asking.each_pack
def test_what_every_answer_decides_alike_is_decided_and_says_so(pack):
    """With one line to open, a contact of any number of poles opens every line; with two lines one pole does not."""
    answers = asking.sound(pack) | {"device_poles": "dont-know"}
    finding = asking.found(asking.ask(answers | {"phases": "single"}, pack), "every-line-opened")
    assert finding["outcome"] == "passed"
    assert [(reason["kind"], reason["id"]) for reason in finding["reasons"]] == [("any-answer", "device_poles")]
    assert asking.outcomes(asking.ask(answers | {"phases": "split"}, pack))["every-line-opened"] == "cannot-tell"


def test_a_range_of_numbers_decides_only_where_its_worst_end_does():
    """Thermal insulation all around halves what a cable carries at worst (IEC 60364-5-52, 523.9): 6 mm² still carries 16 A.

    Table B.52.2, method B2, PVC: 6 mm² carries 38 A and 2.5 mm² 23 A; half of it is 19 A and 11.5 A.
    """
    for size, outcome in (("6 mm2", "passed"), ("2.5 mm2", "cannot-tell")):
        report = asking.ask(asking.FITS | {"cable_size": size, "insulation_length_mm": "dont-know"})
        assert asking.outcomes(report)["breaker-within-cable"] == outcome


@pytest.mark.parametrize("question", ["load_power_w", "device_torque_nm"])
def test_a_rule_that_wants_a_fact_to_be_known_is_not_content_with_any_answer(question):
    rule = {"load_power_w": "load-current-known", "device_torque_nm": "screws-to-torque"}[question]
    report = asking.ask(asking.FITS | {question: "dont-know"})
    assert asking.outcomes(report)[rule] == "cannot-tell"


def test_a_don_t_know_number_is_not_zero_and_not_the_usual_one():
    report = asking.ask(asking.FITS | {"supply_voltage_v": strategies.DONT_KNOW})
    assert "design_current_a" not in report["quantities"]
    assert report["headline"] == "find-out"

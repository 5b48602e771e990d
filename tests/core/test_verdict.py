"""From findings to a verdict: every mixture of outcomes, held against the words of the contract."""

from __future__ import annotations

from itertools import combinations, product

import pytest

from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, PASSED, Finding
from checker.core.pack import Rule
from checker.core.verdict import HEADLINES, OPEN, in_short, reach, settled_headline

OUTCOMES = (PASSED, FAILED, CANNOT_TELL, NOT_APPLICABLE)
PARTS = ("danger", "who", "sizing")
WORKERS = ("licensed", "supervised", "unlicensed", "dont-know", None)


def finding(part: str, outcome: str, weight: str = "standard", name: str = "") -> Finding:
    rule = Rule(name or f"{part} {outcome}", "", "", part, weight, None, None, (), {}, "", None, True)
    return Finding(rule, outcome, (), {}, None)


# Two rules a part, in every mixture: 16 x 16 x 16.
MIXTURES = [
    [
        finding(part, outcome, name=f"{part}-{at}")
        for part, pair in zip(PARTS, pairs, strict=True)
        for at, outcome in enumerate(pair)
    ]
    for pairs in product(product(OUTCOMES, repeat=2), repeat=3)
]


def held(findings: list[Finding], part: str) -> set[str]:
    return {f.outcome for f in findings if f.rule.part == part}


@pytest.mark.parametrize("worker", WORKERS)
def test_the_headline_is_the_worst_that_holds(worker):
    for findings in MIXTURES:
        headline = reach(findings, worker).headline
        failed = [part for part in PARTS if FAILED in held(findings, part)]
        if failed:
            assert headline == {"danger": "stop", "who": "call", "sizing": "change"}[failed[0]]
        else:
            # Each part has something that passed, and nothing open.
            sure = all(PASSED in held(findings, part) and CANNOT_TELL not in held(findings, part) for part in PARTS)
            assert headline == ("fits" if sure else "find-out")


@pytest.mark.parametrize("worker", WORKERS)
def test_who_is_judged_by_danger_and_law_alone(worker):
    for findings in MIXTURES:
        who = reach(findings, worker).who.outcome
        first = held(findings, "danger") | held(findings, "who")
        sure = all(PASSED in held(findings, part) for part in ("danger", "who"))
        if FAILED in held(findings, "danger"):
            assert who == "stop"
        elif FAILED in held(findings, "who") or not sure:
            assert who == "licensed-only"
        elif worker == "supervised":
            assert who == "supervised"
        else:
            assert who == ("licensed-only" if CANNOT_TELL in first else "permitted")


def test_sizing_is_judged_apart_from_who():
    for findings in MIXTURES:
        sizing = reach(findings, "unlicensed").sizing
        outcomes = held(findings, "sizing")
        if FAILED in outcomes:
            assert sizing.outcome == "change"
        elif CANNOT_TELL in outcomes or PASSED not in outcomes:
            assert sizing.outcome == "find-out"
        else:
            assert sizing.outcome == "fits"
        assert all(name.startswith("sizing") for name in sizing.because)


def test_because_names_the_rules_that_decide():
    for findings in MIXTURES:
        verdict = reach(findings, "licensed")
        outcomes = {f.rule.id: f.outcome for f in findings}
        decisive = {"change": FAILED, "find-out": CANNOT_TELL, "fits": PASSED}[verdict.sizing.outcome]
        assert {outcomes[name] for name in verdict.sizing.because} <= {decisive}
        if verdict.who.outcome == "permitted":
            assert {outcomes[name] for name in verdict.who.because} == {PASSED}
        if verdict.who.outcome == "stop":
            assert {outcomes[name] for name in verdict.who.because} == {FAILED}


def test_no_rule_at_all_is_never_fits():
    assert reach([], "licensed").headline == "find-out"
    for missing in PARTS:
        findings = [finding(part, PASSED) for part in PARTS if part != missing]
        assert reach(findings, "licensed").headline == "find-out"
        idle = [*findings, finding(missing, NOT_APPLICABLE)]
        assert reach(idle, "licensed").headline == "find-out"


@pytest.mark.parametrize("outcome", OUTCOMES)
@pytest.mark.parametrize("part", PARTS)
def test_advice_decides_nothing(part, outcome):
    for findings in MIXTURES[::37]:
        assert reach([*findings, finding(part, outcome, "advice")], "licensed") == reach(findings, "licensed")


def test_advice_alone_is_not_a_pass():
    assert reach([finding(part, PASSED, "advice") for part in PARTS], "licensed").headline == "find-out"


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_what_comes_after_the_work_does_not_decide_before_it(outcome):
    findings = [finding(part, PASSED) for part in PARTS]
    assert reach([*findings, finding("after", outcome)], "licensed").headline == "fits"


def test_what_is_settled_is_the_worst_of_the_failures():
    for findings in MIXTURES:
        settled, headline = settled_headline(findings), reach(findings, "licensed").headline
        if settled is None:
            assert headline in ("find-out", "fits")
        else:
            assert settled == headline


def test_one_more_finding_never_betters_a_verdict_that_had_a_say():
    """A further failure or doubt can only take the headline down."""
    for findings in MIXTURES[::11]:
        before = HEADLINES.index(reach(findings, "licensed").headline)
        for part in PARTS:
            for outcome in (FAILED, CANNOT_TELL):
                assert HEADLINES.index(reach([*findings, finding(part, outcome)], "licensed").headline) <= before


def test_an_apprentice_is_told_what_is_open_else_what_let_them():
    """The reasons of `supervised`: what the licensed person has to find out, or, where nothing is, the rules that passed."""
    sound = [finding("danger", PASSED), finding("who", PASSED), finding("sizing", PASSED)]
    assert reach(sound, "supervised").who == ("supervised", ("who passed",))
    doubt = [*sound, finding("danger", CANNOT_TELL), finding("who", CANNOT_TELL)]
    assert reach(doubt, "supervised").who == ("supervised", ("danger cannot-tell", "who cannot-tell"))


# What may occur among the rules of a part: each of the outcomes or not, and a rule that is not decided yet.
OCCUR = [set(some) for size in range(5) for some in combinations((PASSED, FAILED, CANNOT_TELL, OPEN), size)]


@pytest.mark.parametrize("danger", OCCUR, ids=lambda some: " and ".join(sorted(some)) or "nothing")
def test_in_short_is_the_verdict_or_says_that_it_hangs_on_what_is_open(danger):
    """Every outcome is put in for what is open: one verdict whichever it is, or none to tell."""
    for who, sizing in product(OCCUR, repeat=2):
        reached = set()
        for decided in product(*(OUTCOMES if OPEN in part else (PASSED,) for part in (danger, who, sizing))):
            findings = [
                finding(part, instead if outcome == OPEN else outcome)
                for part, outcomes, instead in zip(PARTS, (danger, who, sizing), decided, strict=True)
                for outcome in outcomes
            ]
            verdict = reach(findings, "licensed")
            reached.add((verdict.headline, verdict.sizing.outcome))
        assert in_short(danger, who, sizing) == (reached.pop() if len(reached) == 1 else None), (danger, who, sizing)

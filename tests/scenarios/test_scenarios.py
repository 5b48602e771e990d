"""The worked cases: each gives exactly what its author expects, and together they meet every kind of answer.

What a case expects was thought out from the rules of the trade before the checker was asked; its story says why.
"""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.scenarios.comparing import CLAIMS, differences, given

CASES = scenarios.every()
PACKS = ("au", "de", "gb", "iec", "in", "nz", "us", "za")
HEADLINES = ("stop", "call", "change", "find-out", "fits")
# The one word that no verdict may use, in any of its forms.
FORBIDDEN = re.compile(r"\b(un)?safe(ly|r|st)?\b", re.IGNORECASE)

each_case = pytest.mark.parametrize("case", CASES, ids=[case.id for case in CASES])


@functools.cache
def report(request_json: str) -> dict[str, Any]:
    return json.loads(handle(request_json))


def texts(value: Any, at: str = "report") -> Iterator[tuple[str, str]]:
    """Every text in a reply, keys included, with where it stands."""
    if isinstance(value, str):
        yield at, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield at, key
            yield from texts(inner, f"{at}.{key}")
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from texts(inner, f"{at}[{number}]")


def finding(case: scenarios.Scenario, rule: str) -> dict[str, Any]:
    return next(row for row in report(case.request_json)["findings"] if row["rule"] == rule)


# --- each case ---


@pytest.mark.parametrize("claim", CLAIMS)
@each_case
def test_gives_exactly_what_it_expects(case: scenarios.Scenario, claim: str) -> None:
    expected, found = differences(case.expect, report(case.request_json)).get(claim, (None, None))
    assert expected == found, f"{case.id}: {claim} should be {expected}, the checker gives {found}"


@pytest.mark.sampled(one_in=4)
@each_case
def test_the_words_that_belong_to_every_report_are_there(case: scenarios.Scenario) -> None:
    reply = report(case.request_json)
    for section in ("cautions", "defers_to", "not_checked", "steps", "tests", "connections"):
        assert reply[section], f"{case.id}: {section} is empty"
        assert all(item["text"].strip() for item in reply[section])


@pytest.mark.sampled(one_in=4)
@each_case
def test_no_report_uses_the_forbidden_word(case: scenarios.Scenario) -> None:
    asked = case.request | {"ask": "next"}
    for reply in (report(case.request_json), report(json.dumps(asked))):
        found = [(at, text) for at, text in texts(reply) if FORBIDDEN.search(text)]
        assert not found


@pytest.mark.sampled(one_in=4)
@each_case
def test_no_sentence_has_a_hole(case: scenarios.Scenario) -> None:
    reply = report(case.request_json)
    for at, text in texts({key: reply[key] for key in reply if key != "answers"}):
        assert "{" not in text and "}" not in text, f"{case.id}: {at}: {text}"
    for row in reply["findings"]:
        if row["outcome"] in ("passed", "failed"):
            # A decided rule knows what it decided on, and so does the advice that goes with it.
            said = f"{row['message']} {row['fix'] or ''}"
            assert "(not known)" not in said, f"{case.id}: {row['rule']}: {said}"


@pytest.mark.sampled(one_in=4)
@each_case
def test_every_failure_says_how_to_mend_it(case: scenarios.Scenario) -> None:
    for row in report(case.request_json)["findings"]:
        assert bool(row["fix"]) == (row["outcome"] == "failed"), f"{case.id}: {row['rule']}: fix is {row['fix']!r}"


@pytest.mark.sampled(one_in=4)
@each_case
def test_every_doubt_is_named_in_what_to_find_out(case: scenarios.Scenario) -> None:
    reply = report(case.request_json)
    settled = {rule for item in reply["find_out"] for rule in item["settles"]}
    doubtful = {r["rule"] for r in reply["findings"] if r["outcome"] == "cannot-tell" and r["weight"] != "advice"}
    assert settled == doubtful


@pytest.mark.sampled(one_in=4)
@each_case
def test_answers_every_question_that_matters(case: scenarios.Scenario) -> None:
    """A case is told to its end: what is open in it is open because somebody does not know, not by oversight."""
    unasked = [
        reason["id"]
        for row in report(case.request_json)["findings"]
        for reason in row["reasons"]
        if reason["kind"] == "not-asked" and row["weight"] != "advice"
    ]
    assert not unasked
    assert report(json.dumps(case.request | {"ask": "next"}))["question"] is None


@pytest.mark.sampled(one_in=4)
@each_case
def test_story_can_be_read_and_learnt_from(case: scenarios.Scenario) -> None:
    sentences = len(re.findall(r"[.!?](?:\s|$)", case.story))
    assert 2 <= sentences <= 6, f"{case.id}: {sentences} sentences"
    assert case.title and not FORBIDDEN.search(case.story)


# --- all cases together ---


@pytest.mark.parametrize("pack", PACKS)
@pytest.mark.parametrize("headline", HEADLINES)
def test_every_headline_occurs_in_every_pack(pack: str, headline: str) -> None:
    assert any(case.expect["headline"] == headline for case in CASES if case.request["pack"] == pack)


@pytest.mark.parametrize("pack", PACKS)
def test_every_verdict_on_who_and_sizing_occurs(pack: str) -> None:
    cases = [case for case in CASES if case.request["pack"] == pack]
    assert {case.expect["who"] for case in cases} == {"stop", "licensed-only", "supervised", "permitted"}
    assert {case.expect["sizing"] for case in cases} == {"change", "find-out", "fits"}


def test_every_rule_bites_somewhere() -> None:
    """Each rule of each pack takes the pass away in at least one case: it fails, or it cannot tell."""
    rules = {
        rule["id"]
        for pack in PACKS
        for rule in json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))["rules"]
        if rule["weight"] != "advice"
    }
    bitten = {rule for case in CASES for rule in (*case.expect["failed"], *case.expect["cannot_tell"])}
    assert rules - bitten == set()
    assert bitten - rules == set(), "a case expects a rule that no pack has"


@pytest.mark.parametrize("pack", PACKS)
def test_every_kind_of_load_and_device_is_met(pack: str) -> None:
    described = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))
    for question in described["questions"]:
        if question["id"] in ("load_kind", "device_kind", "worker", "location"):
            used = {case.request["answers"].get(question["id"]) for case in CASES}
            assert {choice["value"] for choice in question["choices"]} - used == set()


def test_advice_is_shown_and_changes_no_verdict() -> None:
    """SANS 10142-1 does not list fixed lights among the circuits that need earth leakage protection (za pack, 6.7.5)."""
    case = next(case for case in CASES if case.id == "hallway-lights-south-africa")
    row = finding(case, "rcd-for-dwelling-lights")
    assert (row["weight"], row["outcome"]) == ("advice", "failed")
    assert report(case.request_json)["headline"] == "fits"


# --- the comparison itself can fail ---

CASE = next(case for case in CASES if case.id == "kennel-floor-heating")
DOUBTFUL = next(case for case in CASES if case.id == "pool-pump-unknown-neutral")


def caught(case: scenarios.Scenario, **wrong: Any) -> set[str]:
    return set(differences(case.expect | wrong, report(case.request_json)))


def test_right_expectation_passes() -> None:
    assert caught(CASE) == caught(DOUBTFUL) == set()


@pytest.mark.parametrize("headline", [headline for headline in HEADLINES if headline != CASE.expect["headline"]])
def test_wrong_headline_is_caught(headline: str) -> None:
    assert caught(CASE, headline=headline) == {"headline"}


@pytest.mark.parametrize("who", ["stop", "licensed-only", "supervised"])
def test_wrong_worker_is_caught(who: str) -> None:
    assert caught(CASE, who=who) == {"who"}


@pytest.mark.parametrize("sizing", ["find-out", "fits"])
def test_wrong_sizing_is_caught(sizing: str) -> None:
    assert caught(CASE, sizing=sizing) == {"sizing"}


@pytest.mark.parametrize(
    "failed",
    [
        [],
        ["breaker-within-cable", "load-within-cable"],
        ["load-within-cable"],
        ["breaker-within-cable", "breaker-within-cable"],
        ["breaker-within-cables"],
    ],
    ids=["left out", "extra", "another", "twice", "misspelt"],
)
def test_wrong_list_of_failures_is_caught(failed: list[str]) -> None:
    assert caught(CASE, failed=failed) == {"failed"}


def test_failure_called_a_doubt_is_caught() -> None:
    assert caught(CASE, failed=[], cannot_tell=["breaker-within-cable"]) == {"failed", "cannot_tell"}


@pytest.mark.parametrize("place", range(len(DOUBTFUL.expect["cannot_tell"])))
def test_doubt_left_out_is_caught(place: int) -> None:
    doubts = [rule for number, rule in enumerate(DOUBTFUL.expect["cannot_tell"]) if number != place]
    assert caught(DOUBTFUL, cannot_tell=doubts) == {"cannot_tell"}


@pytest.mark.parametrize("claim", CLAIMS)
def test_expectation_without_a_claim_is_refused(claim: str) -> None:
    expect = {key: value for key, value in CASE.expect.items() if key != claim}
    with pytest.raises(AssertionError, match="a worked case expects"):
        differences(expect, report(CASE.request_json))


def test_claim_nobody_compares_is_refused() -> None:
    with pytest.raises(AssertionError, match="a worked case expects"):
        differences(CASE.expect | {"cannot-tell": []}, report(CASE.request_json))


def test_error_is_no_verdict() -> None:
    reply = report(json.dumps(CASE.request | {"answers": {"breaker_rating_a": "sixteen"}}))
    with pytest.raises(AssertionError, match="no verdict"):
        differences(CASE.expect, reply)


@pytest.mark.parametrize("weight", ["law", "standard", "practice"])
def test_extra_failure_of_any_weight_is_caught(weight: str) -> None:
    reply = report(CASE.request_json)
    extra = {"rule": "invented", "weight": weight, "outcome": "failed"}
    assert set(differences(CASE.expect, reply | {"findings": [*reply["findings"], extra]})) == {"failed"}


def test_advice_is_left_out_of_the_comparison() -> None:
    reply = report(CASE.request_json)
    extra = {"rule": "invented", "weight": "advice", "outcome": "failed"}
    assert given(reply | {"findings": [*reply["findings"], extra]}) == given(reply)

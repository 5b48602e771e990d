"""Whatever comes in: no exception, an error that says where, what, why and how to fix it, and never a verdict."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.core.api import handle
from tests.core import asking
from tests.sampling import examples

VERDICTS = {"headline", "headline_text", "who", "sizing", "findings", "settled", "question", "quantities"}
quick = examples(100)


def refused(request: Any) -> dict[str, str]:
    """The error of a request, after checking everything that holds for each."""
    reply = json.loads(handle(request))
    assert set(reply) == {"format", "engine", "error"}, "an error of the request, no fault of ours, no verdict"
    error = reply["error"]
    assert set(error) == {"where", "what", "why", "fix"}
    for part, said in error.items():
        assert said.strip(), f"{part} is empty"
        assert len(said) < 600, f"{part} echoes the request at length"
        assert not any(word in said for word in ("Decimal(", "Traceback", "object at 0x", "NoneType")), said
    return error


def good(**changed: Any) -> str:
    return asking.text(changed.pop("answers", asking.FITS), **changed)


def raw(answers: str) -> str:
    """A request whose answers are this JSON text."""
    return good(answers={}).replace('"answers": {}', f'"answers": {answers}', 1)


def without(key: str) -> str:
    request = json.loads(good())
    del request[key]
    return json.dumps(request)


REQUESTS = {
    "not text": (None, "request", "not text"),
    "bytes": (b"{}", "request", "not text"),
    "a dict": ({}, "request", "not text"),
    "nothing": ("", "request", "not JSON"),
    "TOML": ('pack = "iec"', "request", "not JSON"),
    "cut short": (good()[:-40], "request", "not JSON"),
    "a comma too many": ('{"format": 1,}', "request", "not JSON"),
    "two documents": (good() + good(), "request", "not JSON"),
    "a byte order mark": ("\ufeff" + good(), "request", "not JSON"),
    "a bare control character": ('{"format": 1, "ask": "check\x07"}', "request", "not JSON"),
    "a list": ("[]", "request", "not a JSON object"),
    "a text": ('"check"', "request", "not a JSON object"),
    "null": ("null", "request", "not a JSON object"),
    "a number": ("1", "request", "not a JSON object"),
    "true": ("true", "request", "not a JSON object"),
    "no format": (without("format"), "format", "not 1"),
    "format 2": (good(format=2), "format", "not 1"),
    "format as text": (good(format="1"), "format", "not 1"),
    "format true": (good(format=True), "format", "not 1"),
    "format null": (good(format=None), "format", "not 1"),
    "no ask": (without("ask"), "ask", "not something to ask"),
    "unknown ask": (good(ask="approve"), "ask", "'approve'"),
    "ask in capitals": (good(ask="CHECK"), "ask", "not something to ask"),
    "ask as number": (good(ask=5), "ask", "5 is not"),
    "ask as list": (good(ask=["check"]), "ask", "a list is not"),
    "ask with a zero character": (good(ask="check\x00"), "ask", "not something to ask"),
    "no pack": (without("pack"), "pack", "no rule set"),
    "unknown pack": (good(pack="atlantis"), "pack", "'atlantis'"),
    "pack as path": (good(pack="../../etc/passwd"), "pack", "no rule set"),
    "pack as number": (good(pack=5), "pack", "no rule set 5"),
    "pack as table": (good(pack={"id": "iec"}), "pack", "a table"),
    "pack with edition in it": (good(pack="iec@2017"), "pack", "no rule set"),
    "unknown edition": (good(edition="1066"), "edition", "'1066'"),
    "edition as number": (good(edition=2017), "edition", "2017"),
    "edition as list": (good(edition=[]), "edition", "a list"),
    "no date": (without("as_of"), "as_of", "no date"),
    "31 February": (good(as_of="2026-02-31"), "as_of", "not a date"),
    "29 February of a common year": (good(as_of="2026-02-29"), "as_of", "not a date"),
    "a day with time": (good(as_of="2026-11-25T00:00:00"), "as_of", "not a date"),
    "a day without dashes": (good(as_of="20261125"), "as_of", "not a date"),
    "a week date": (good(as_of="2026-W48-3"), "as_of", "not a date"),
    "a day as written in Europe": (good(as_of="25.11.2026"), "as_of", "not a date"),
    "a day with a line break": (good(as_of="2026-11-25\n"), "as_of", "not a date"),
    "a day in other digits": (good(as_of="２０２６-11-25"), "as_of", "not a date"),
    "a day as number": (good(as_of=20261125), "as_of", "not a date"),
    "before any edition": (good(as_of="0001-01-01"), "as_of", "no edition"),
    "answers as list": (good(answers=["tester"]), "answers", "a list"),
    "answers as text": (good(answers="all fine"), "answers", "a text"),
    "answers null": (good(answers=None), "answers", "empty"),
    "confirmed as text": (good(confirmed="all"), "confirmed", "not a list"),
    "confirmed as numbers": (good(confirmed=[1]), "confirmed", "not a list"),
    "confirmed null": (good(confirmed=None), "confirmed", "not a list"),
    "a part too many": (good(anwsers={}), "anwsers", "no such part"),
    "a very long part": (good(**{"x" * 100_000: 1}), "xxx", "no such part"),
    "a part without name": (good(**{"": 1}), "request", "no such part of a request as ''"),
    "an unknown part that is half a character": (good(**{"\ud800": 1}), "\\ud800", "no such part"),
    "a part twice": ('{"format": 1, "format": 1}', "format", "twice"),
    "a part without name twice": ('{"": 1, "": 1}', "request", "'' is given twice"),
    "an answer twice": (raw('{"tester": "none", "tester": "two-pole"}'), "tester", "twice"),
    "nested deeply": ("[" * 100_000 + "]" * 100_000, "request", "nested too deeply"),
    "objects nested deeply": ('{"a":' * 50_000, "request", "nested too deeply"),
    "answers nested deeply": (raw("[" * 50_000 + "]" * 50_000), "request", "nested too deeply"),
    "two million characters": (good(ask="x" * 2_000_000), "request", "a million characters"),
    "two million blanks": (good() + " " * 2_000_000, "request", "a million characters"),
    "an exponent past all bounds": (raw('{"breaker_rating_a": 1e99999999999999999999}'), "request", "can hold"),
    "an exponent that only some Pythons hold": (raw('{"breaker_rating_a": 1E+999999999}'), "request", "can hold"),
    "the same below zero": (raw('{"device_modules": 0e-0999999999}'), "request", "can hold"),
}


@pytest.mark.parametrize("name", REQUESTS)
def test_a_bad_request_is_told(name):
    request, where, words = REQUESTS[name]
    error = refused(request)
    assert error["where"].replace("\ud800", "\\ud800").startswith(where)
    assert words in error["what"]


ANSWERS = {
    # number
    "a text for a number": ('{"breaker_rating_a": "sixteen"}', "'sixteen' is not a number"),
    "a number with its unit": ('{"breaker_rating_a": "16 A"}', "is not a number"),
    "a decimal comma": ('{"load_current_a": "12,5"}', "is not a number"),
    "an empty text": ('{"breaker_rating_a": ""}', "is not a number"),
    "an exponent as text": ('{"breaker_rating_a": "1e1"}', "is not a number"),
    "NaN as text": ('{"breaker_rating_a": "NaN"}', "is not a number"),
    "Infinity as text": ('{"breaker_rating_a": "Infinity"}', "is not a number"),
    "underscores": ('{"load_power_w": "3_000"}', "is not a number"),
    "other digits": ('{"breaker_rating_a": "١٦"}', "is not a number"),
    "a line break after it": ('{"breaker_rating_a": "16\\n"}', "is not a number"),
    "digits without end": ('{"breaker_rating_a": "%s"}' % ("1" * 100_000), "is not a number"),
    "true for a number": ('{"breaker_rating_a": true}', "true or false"),
    "false for a number": ('{"device_modules": false}', "true or false"),
    "null for a number": ('{"breaker_rating_a": null}', "empty"),
    "a list for a number": ('{"breaker_rating_a": [16]}', "a list"),
    "a table for a number": ('{"breaker_rating_a": {"value": 16}}', "a table"),
    "below the range": ('{"breaker_rating_a": 0.499999999999}', "out of range"),
    "above the range": ('{"breaker_rating_a": 125.000000000001}', "out of range"),
    "negative": ('{"load_power_w": -3000}', "out of range"),
    "zero watts": ('{"load_power_w": 0}', "out of range"),
    "1e999": ('{"breaker_rating_a": 1e999}', "out of range"),
    "minus 1e999": ('{"breaker_rating_a": -1e999}', "out of range"),
    "a million digits nearly": ('{"breaker_rating_a": %s}' % ("9" * 900_000), "out of range"),
    "1e-999": ('{"device_modules": 1e-999}', "more than twelve decimal places"),
    "thirteen places": ('{"breaker_rating_a": 16.0000000000001}', "more than twelve decimal places"),
    "NaN": ('{"breaker_rating_a": NaN}', "NaN is not a number"),
    "Infinity": ('{"breaker_rating_a": Infinity}', "Infinity is not a number"),
    "minus Infinity": ('{"breaker_rating_a": -Infinity}', "Infinity is not a number"),
    # yes or no
    "yes as text": ('{"lock_off": "yes"}', "a text"),
    "true as text": ('{"lock_off": "true"}', "a text"),
    "1 for yes": ('{"lock_off": 1}', "a number"),
    "0 for no": ('{"lock_off": 0}', "a number"),
    "null for yes": ('{"lock_off": null}', "empty"),
    # choice
    "an unknown choice": ('{"tester": "finger"}', "'finger' is not one"),
    "a choice in capitals": ('{"tester": "Two-Pole"}', "is not one"),
    "a choice with a blank": ('{"tester": "two-pole "}', "is not one"),
    "a size without unit": ('{"cable_size": "2.5"}', "is not one"),
    "a number for a choice": ('{"cable_size": 2.5}', "a number"),
    "true for a choice": ('{"tester": true}', "true or false"),
    "a list for a choice": ('{"tester": ["two-pole"]}', "a list"),
    "half a character": ('{"tester": "\\ud800"}', "is not one"),
    "a very long choice": ('{"tester": "%s"}' % ("x" * 500_000), "is not one"),
    # words of ours in the wrong place
    "not-stated for a choice": ('{"tester": "not-stated"}', '"not-stated" is not an answer'),
    "not-stated for a yes or no": ('{"lock_off": "not-stated"}', '"not-stated" is not an answer'),
    "not-stated for a number that must be known": ('{"breaker_rating_a": "not-stated"}', '"not-stated" is not an answer'),
    "don't know, misspelt": ('{"tester": "dontknow"}', "is not one"),
    "not-asked": ('{"breaker_rating_a": "not-asked"}', "is not a number"),
    # the question
    "an unknown question": ('{"breaker_rating": 16}', "no such question"),
    "a quantity as question": ('{"cable_capacity_a": 100}', "no such question"),
    "a parameter as question": ('{"minimum_copper_mm2": 0.5}', "no such question"),
    "an empty question": ('{"": 1}', "no such question"),
    "a question in capitals": ('{"TESTER": "two-pole"}', "no such question"),
    "a question with a zero character": ('{"tester\\u0000": "two-pole"}', "no such question"),
    "a question without end": ('{"%s": 1}' % ("breaker_" * 100_000), "no such question"),
}  # fmt: skip


@pytest.mark.parametrize("name", ANSWERS)
def test_a_bad_answer_is_told_by_its_question(name):
    answers, words = ANSWERS[name]
    error = refused(raw(answers))
    assert words in error["what"]
    question = json.loads(answers[: answers.index(":")] + ": 0}").popitem()[0]
    constant = any(word in answers for word in (": NaN", ": Infinity", ": -Infinity"))
    assert error["where"] == ("request" if constant else f"answers.{question[:60]}")


def test_a_misspelt_question_is_suggested():
    assert "Did you mean breaker_rating_a?" in refused(raw('{"breaker_rating": 16}'))["fix"]
    assert "Did you mean" not in refused(raw('{"zzz": 16}'))["fix"]


def test_every_choice_and_the_range_are_named():
    assert all(
        f'"{choice}"' in refused(raw('{"tester": 1}'))["fix"]
        for choice in ("two-pole", "multimeter", "non-contact", "none")
    )
    assert "0.5 to 125 A" in refused(raw('{"breaker_rating_a": 126}'))["fix"]


def test_one_bad_answer_among_good_ones_is_enough():
    assert refused(good(answers=asking.FITS | {"breaker_rating_a": "16 A"}))["where"] == "answers.breaker_rating_a"
    assert refused(good(ask="next", answers={"breaker_rating_a": "16 A"}))["where"] == "answers.breaker_rating_a"


@pytest.mark.parametrize(
    "written",
    ["16", "16.0", "1.6e1", "160e-1", '"16"', '"16.0"', '"+16"', '"016"', "16.000000000000"],
)
def test_what_is_a_number_is_read_as_one(written):
    answers = {name: value for name, value in asking.FITS.items() if name != "breaker_rating_a"}
    request = good(answers=answers).replace('"answers": {', f'"answers": {{"breaker_rating_a": {written}, ')
    report = json.loads(handle(request))
    assert report["headline"] == "fits"
    assert report["answers"]["breaker_rating_a"] == "16"


def test_a_zero_with_a_huge_exponent_is_zero():
    report = json.loads(handle(raw('{"device_modules": 0e999999, "spare_modules": -0.0}')))
    assert report["answers"] == {"device_modules": "0", "spare_modules": "0"}


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["dont-know", "not-stated"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)
KEYS = st.sampled_from(["format", "ask", "pack", "edition", "as_of", "answers", "confirmed"]) | st.text(max_size=5)


@quick
@given(
    st.dictionaries(KEYS, JSON, max_size=4),
    st.dictionaries(st.sampled_from(sorted(asking.FITS)), JSON, max_size=4),
    st.booleans(),
)
def test_no_json_whatever_raises(parts, answers, sound):
    """Random parts of a request and random answers: an error or a report, never both, never an exception."""
    request = json.loads(good(answers=answers)) | parts if sound else parts
    reply = json.loads(handle(json.dumps(request)))
    assert "fault" not in reply
    assert ("error" in reply) != bool(VERDICTS & reply.keys() or "packs" in reply)
    if "error" in reply:
        refused(json.dumps(request))


@quick
@given(st.text(max_size=60) | st.binary(max_size=20) | st.none() | st.integers())
def test_no_text_whatever_raises(request):
    refused(request)

"""A report without its working says the same as the whole one, only less of it: no verdict comes of leaving out."""

from __future__ import annotations

import json

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.core import asking

CASES = scenarios.every()
LEFT_OUT = {"quantities", "changes", "flips", "steps", "tests", "connections", "answers", "assumed"}


@pytest.mark.parametrize("case", CASES, ids=[case.id for case in CASES])
def test_it_says_what_the_whole_report_says(case):
    request = json.loads(case.request_json) | {"counsel": False}
    whole, short = (json.loads(handle(json.dumps(request | {"working": wanted}))) for wanted in (True, False))
    assert whole.keys() - short.keys() == LEFT_OUT
    part = [{key: finding[key] for key in short["findings"][0]} for finding in whole["findings"]]
    assert short == {key: whole[key] for key in short} | {"findings": part}


@pytest.mark.parametrize("section", ["cautions", "defers_to", "not_checked"])
def test_the_cautions_stay_with_the_verdict(section):
    assert asking.ask(asking.FITS, working=False)[section]


@pytest.mark.parametrize("wanted", [0, "no", None, {}])
def test_a_wish_for_the_working_is_yes_or_no(wanted):
    reply = json.loads(handle(asking.text(asking.FITS, working=wanted)))
    assert reply["error"]["where"] == "working"
    assert "headline" not in reply

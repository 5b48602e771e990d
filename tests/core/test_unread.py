"""A fact of the common vocabulary that a rule set does not ask is named in the report, and changes nothing in it."""

from __future__ import annotations

import json

import pytest

from checker.core.api import handle
from tests.core import asking


def test_an_answer_that_is_not_read_is_named_with_its_reason_and_decides_nothing():
    plain, more = asking.ask(asking.FITS), asking.ask(asking.FITS | {"place": "an island"})
    (entry,) = more.pop("unread")
    assert plain.pop("unread") == []
    assert entry["question"] == "place"
    assert "part of a country" in entry["why"]
    assert more == plain


def test_what_a_region_removes_is_not_a_slip_of_the_pen_there():
    report = asking.ask(asking.sound("us") | {"breaker_curve": "C", "grouped_circuits": 3}, "us")
    assert [entry["question"] for entry in report["unread"]] == ["breaker_curve", "grouped_circuits"]
    assert "breaker_curve" not in report["answers"]


@pytest.mark.parametrize("pack", asking.PACKS)
def test_a_name_that_no_rule_set_knows_is_still_an_error(pack):
    error = json.loads(handle(asking.text({"braker_rating_a": 16}, pack)))["error"]
    assert error["where"] == "answers.braker_rating_a"

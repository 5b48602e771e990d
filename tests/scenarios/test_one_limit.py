"""A report names one largest breaker, the smallest of all the limits, however many rules ask for a smaller one."""

from __future__ import annotations

import json
import re

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.core import asking

# Ratings far too large, so that every rule about the largest breaker has something to say.
RATINGS = (32, 63)
CASES = [(case, rating) for case in scenarios.every() if case.request["ask"] == "check" for rating in RATINGS]


def limits(report: dict) -> set[str]:
    """The largest breakers that the advice of a report names."""
    fixes = [finding["fix"] or "" for finding in report["findings"]]
    return set(re.findall(r"breaker of at most ([\d.]+ A)", " ".join(fixes)))


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize(("case", "rating"), CASES, ids=[f"{case.id} {rating}" for case, rating in CASES])
def test_a_report_names_one_largest_breaker(case, rating):
    answers = case.request["answers"] | {"breaker_rating_a": rating}
    assert len(limits(json.loads(handle(json.dumps(case.request | {"answers": answers}))))) <= 1


def test_plugs_behind_a_contactor_of_40_a_go_by_the_limit_of_the_plugs():
    """SANS 10142-1, 6.15.3, as told in a trade forum (za-trade-forum): 20 A ahead of 16 A sockets, whatever the cable."""
    case = next(case for case in scenarios.every() if case.id == "za-plugs-behind-thirty-amperes")
    assert limits(json.loads(handle(case.request_json))) == {"20 A"}
    smaller = asking.sound("za") | {"load_kind": "socket-outlets", "load_power_w": "not-stated", "breaker_rating_a": 32}
    assert limits(asking.ask(smaller, "za")) == {"16 A"}, "the clock may have no more than 16 A ahead"

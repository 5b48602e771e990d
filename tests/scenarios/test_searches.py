"""How far a number is from changing the verdict is searched for to the end: a search that is given up says nothing."""

from __future__ import annotations

import pytest

from checker.core.api import handle
from checker.core.whatif import changes, flips
from checker.core.whatif import nearest as edges
from checker.dev.cases import scenarios

CASES = scenarios.every()


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("case", CASES, ids=[case.id for case in CASES])
def test_no_search_is_given_up(case: scenarios.Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    given_up = []

    def watched(pack, name, now, upward, judge, base, guess):
        looks = 0

        def look(value):
            nonlocal looks
            looks += 1
            return judge(value)

        edge = edges.nearest(pack, name, now, upward, look, base, guess)
        if edge is None and looks >= edges.MOST_LOOKS:
            given_up.append((name, "up" if upward else "down"))
        return edge

    for module in (changes, flips):
        monkeypatch.setattr(module, "nearest", watched)
    handle(case.request_json)
    assert not given_up

"""The two British editions: which one a day gets, what they differ in, and what somebody with the old one is told."""

from __future__ import annotations

import json

import pytest

from checker import packs
from tests.core import asking

CONTENTS = {name: json.loads(packs.read(name))["content"] for name in packs.names() if name.startswith("gb@")}
# Two suppliers' pages: Amendment 4 published on 15 April 2026, the edition before it withdrawn on 15 October 2026.
DAYS = {
    "2022-03-28": "2018-A2",
    "2026-04-14": "2018-A2",
    "2026-04-15": "2018-A4",
    "2026-10-15": "2018-A4",
    asking.AS_OF: "2018-A4",
}


@pytest.mark.parametrize("day", DAYS)
def test_the_day_gets_its_edition_and_the_newer_of_two(day):
    assert asking.ask({}, "gb", as_of=day)["pack"]["edition"] == DAYS[day]


@pytest.mark.parametrize("day", ["2026-05-01", "2026-10-14"])
def test_between_the_two_days_the_older_one_may_be_named(day):
    pack = asking.ask({}, "gb", as_of=day, edition="2018-A2")["pack"]
    assert pack["edition"] == "2018-A2"
    assert "2018-A4 may be used as well" in pack["notice"]


def test_after_it_was_withdrawn_the_older_one_says_so():
    pack = asking.ask({}, "gb", as_of="2026-10-15", edition="2018-A2")["pack"]
    assert "2018-A4" in pack["notice"] and "2026-10-14" in pack["notice"]
    assert asking.ask({}, "gb", as_of="2026-10-15")["pack"]["notice"] is None


def test_no_figure_differs_that_nobody_saw_differ():
    """Nothing seen says that a table, a limit or a rule changed; the texts say that this is not known."""
    then, now = CONTENTS["gb@2018-A2"], CONTENTS["gb@2018-A4"]
    for kind in ("questions", "tables", "parameters", "rules"):
        assert then[kind] == now[kind], kind
    for content in (then, now):
        (said,) = (text["text"] for text in content["texts"]["defers_to"] if text["id"] == "edition")
        assert "No page we saw says whether" in said and "the tables of Appendix 4" in said
        assert "confirm them in your copy" in said.lower()

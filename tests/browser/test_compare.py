"""The same job under other rule sets, on the verdict page."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from tests.browser.interview import DAY, WATER_HEATER

pytestmark = pytest.mark.browser


def test_the_table_says_what_the_core_says_and_asks_nobody(interview, watch):
    interview.open_report(WATER_HEATER, "iec").wait_ready()
    asked = len(watch.asked)
    page = interview.page
    interview.unfold("The same job under other rules")
    page.get_by_role("checkbox", name="South Africa").check()
    page.get_by_role("button", name="Compare").click()
    request = json.loads(interview.request("iec")) | {"ask": "compare", "packs": ["iec", "za"]}
    del request["pack"], request["edition"]
    reply = json.loads(handle(json.dumps(request)))
    words = {"stop": "Stop", "call": "Call", "change": "Change", "find-out": "Find out", "fits": "Fits on paper"}
    cells = page.get_by_role("region", name="Verdicts").locator("tbody tr").first.locator("td")
    expect(cells).to_have_text([words[one["headline"]] for one in reply["packs"]])
    same = sum(row["differs"] == "same" for row in reply["findings"])
    expect(page.get_by_text(f"{same} rules give the same result everywhere")).to_be_visible()
    assert reply["as_of"] == DAY
    assert len(watch.asked) == asked


def test_nothing_chosen_is_said(interview):
    interview.open_report(WATER_HEATER, "iec").wait_ready()
    interview.unfold("The same job under other rules").get_by_role("button", name="Compare").click()
    expect(interview.page.get_by_text("Choose at least one other rule set.")).to_be_visible()

"""All answers on one page: the verdict follows each change, and the address holds what was answered."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from tests.browser.interview import WATER_HEATER

pytestmark = pytest.mark.browser


def test_a_change_is_judged_at_once_and_kept_in_the_address(interview):
    interview.open_report(WATER_HEATER)
    page = interview.page
    page.get_by_role("link", name="All answers on one page").click()
    status = page.locator(".sw-worksheet").get_by_role("status")
    words = {"change": "Change", "find-out": "Find out", "fits": "Fits on paper"}
    for size in ("1.5 mm2", "4 mm2"):
        page.locator("#sw-w-cable_size").select_option(size)
        interview.given["cable_size"] = size
        core = json.loads(handle(interview.request("za")))
        expect(status).to_contain_text(core["sizing"]["text"])
        expect(status.locator(".sw-word")).to_have_text(words[core["headline"]])
    page.locator("#sw-w-run_length_m").fill("much")
    page.keyboard.press("Tab")
    expect(page.locator("#sw-w-run_length_m-error")).to_contain_text("is not a number")
    page.locator("#sw-w-run_length_m").fill("12,5")
    page.keyboard.press("Tab")
    expect(page).to_have_url(re.compile(r"a\.run_length_m=12\.5"))
    interview.given["run_length_m"] = "12.5"
    page.reload()
    expect(page.locator("#sw-w-run_length_m")).to_have_value("12.5")
    page.get_by_role("link", name="The full report").click()
    assert interview.saved("Save the report") == handle(interview.request("za"))


def test_it_is_reached_from_the_start_with_every_question_of_the_rule_set(interview):
    interview.open()
    interview.page.locator('input[name=pack][value="za"]').check()
    interview.page.get_by_role("button", name="All questions on one page").click()
    rows = interview.page.locator(".sw-worksheet-row > label")
    questions = json.loads(handle('{"format": 1, "ask": "describe", "pack": "za"}'))["questions"]
    expect(rows).to_have_count(len(questions))
    assert sorted(rows.all_text_contents()) == sorted(question["text"] for question in questions)

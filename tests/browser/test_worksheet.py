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


def shown(page) -> set[str]:
    ids = page.locator(".sw-worksheet-row > label:visible").evaluate_all("all => all.map(label => label.htmlFor)")
    return {name.removeprefix("sw-w-") for name in ids}


def open_of(request: str) -> set[str]:
    """The questions that may still decide the case, as the core supposes it."""
    supposed = json.loads(handle(json.dumps(json.loads(request) | {"ask": "next", "suppose": True})))["supposed"]
    return {*supposed["waits_for"], *(line["question"] for line in supposed["lines"])}


def test_it_shows_what_may_decide_this_case_and_more_as_that_changes(interview):
    interview.open_report(WATER_HEATER)
    page = interview.page
    page.get_by_role("link", name="All answers on one page").click()
    expect(page.get_by_role("button", name=re.compile(r"^Show the other \d+"))).to_be_visible()
    assert shown(page) == open_of(interview.request("za")) | interview.given.keys()
    before = shown(page)
    page.locator("#sw-w-device_kind").select_option("contactor")
    interview.given["device_kind"] = "contactor"
    new = open_of(interview.request("za")) - before
    assert new
    for name in new:
        expect(page.locator(f"#sw-w-{name}")).to_be_visible()


def test_each_row_has_its_help_one_tap_away(interview):
    interview.open_report(WATER_HEATER)
    interview.page.get_by_role("link", name="All answers on one page").click()
    row = interview.page.locator(".sw-worksheet-row", has=interview.page.locator("#sw-w-breaker_rating_a"))
    row.get_by_text("Help").click()
    described = json.loads(handle('{"format": 1, "ask": "describe", "pack": "za"}'))
    (question,) = [each for each in described["questions"] if each["id"] == "breaker_rating_a"]
    expect(row).to_contain_text(question["why"])


def test_it_is_reached_from_the_start_and_shows_every_question_on_demand(interview):
    interview.open()
    interview.page.locator('input[name=pack][value="za"]').check()
    interview.page.get_by_role("button", name="All questions on one page").click()
    interview.page.get_by_role("button", name=re.compile(r"^Show the other \d+")).click()
    rows = interview.page.locator(".sw-worksheet-row > label:visible")
    questions = json.loads(handle('{"format": 1, "ask": "describe", "pack": "za"}'))["questions"]
    expect(rows).to_have_count(len(questions))
    assert sorted(rows.all_text_contents()) == sorted(question["text"] for question in questions)

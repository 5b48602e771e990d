"""The verdict page: what to change, what would flip it, the bars, the working, and the text for the electrician."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from tests.browser.interview import WATER_HEATER

pytestmark = pytest.mark.browser

# The same invented circuit with a cable one size too thin: it fails, and there is something to change.
THIN = {**WATER_HEATER, "cable_size": "1.5 mm2", "fault_current_ka": "dont-know"}


@pytest.fixture
def thin(interview):
    interview.open_report(THIN)
    interview.core = json.loads(handle(interview.request("za")))
    assert interview.core["headline"] == "change"
    return interview


def test_every_comparison_has_a_bar_whose_lengths_stand_as_its_figures_do(thin):
    bars = thin.page.locator(".sw-bar").evaluate_all(
        "all => all.map(svg => [...svg.querySelectorAll('.sw-bar-figure, .sw-bar-limit')]"
        ".map((shape, place) => Number(shape.getAttribute(place ? 'x' : 'width'))))"
    )
    compared = [f for f in thin.core["findings"] if f["left"] and f["right"]]
    assert len(bars) == len(compared) > 3
    for (figure, limit), finding in zip(bars, compared, strict=True):
        left, right = (float(finding[side]["exact"]) for side in ("left", "right"))
        assert max(figure, limit) == 96
        assert figure / 96 == pytest.approx(left / max(left, right), abs=0.002)
        assert limit / 96 == pytest.approx(right / max(left, right), abs=0.002)


def test_a_set_of_changes_names_the_answers_and_can_be_tried(thin):
    sets = [change for change in thin.core["changes"] if change["answers"]]
    assert sets
    place = thin.page.locator("section", has=thin.page.get_by_role("heading", name="What must change"))
    expect(place.get_by_text("from 1.5 mm² to 2.5 mm²").first).to_be_visible()
    place.get_by_role("link", name="Check with this change").first.click()
    thin.given |= sets[0]["answers"]
    expect(thin.title).to_have_text(json.loads(handle(thin.request("za")))["headline_text"])


def test_what_would_flip_it_is_told_in_the_cores_words(interview):
    interview.open_report(WATER_HEATER)
    core = json.loads(handle(interview.request("za")))
    place = interview.page.locator("section", has=interview.page.get_by_role("heading", name="What would flip it"))
    assert core["flips"]
    assert place.locator("li").all_text_contents() == [flip["text"] for flip in core["flips"]]


def test_the_working_of_a_comparison_puts_in_the_figures_and_says_what_went_in(thin):
    finding = next(f for f in thin.core["findings"] if f["rule"] == "usual-smallest-size")
    thin.unfold("Every rule, one by one")
    place = thin.page.locator("#finding-usual-smallest-size")
    place.locator("summary", has_text="The working").click()
    working = place.locator(".sw-working")
    expect(working.locator("li").nth(1)).to_contain_text(f"{finding['left']['value']}\u00a0mm² at least")
    expect(working.locator("li").nth(1)).to_contain_text(f"{finding['right']['value']}\u00a0mm²: Failed")
    expect(working.locator("dl")).to_contain_text("1.5 mm²your answer")
    rule = next(
        r
        for r in json.loads(handle('{"format": 1, "ask": "describe", "pack": "za"}'))["rules"]
        if r["id"] == finding["rule"]
    )
    expect(working.locator("code")).to_have_text(rule["requires"])


def test_the_text_for_the_electrician_is_copied_and_holds_facts_gaps_and_numbers(thin, context):
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    thin.unfold("Copy for my electrician")
    thin.page.get_by_role("button", name="Copy the text").click()
    expect(thin.page.get_by_text("Copied.")).to_be_visible()
    text = thin.page.evaluate("navigator.clipboard.readText()")
    assert text == thin.page.locator("#sw-copy").input_value()
    assert text.startswith(f"CHANGE: {thin.core['headline_text']}\n")
    for part in ("What you know", "What you could not find out", "What to find out", "The numbers", "Not checked"):
        assert f"\n{part}\n- " in text
    assert "1.5 mm²" in text
    facts, gaps = text.split("\nWhat you could not find out\n")
    assert "I don’t know" not in facts
    assert "I don’t know" in gaps.split("\n\n")[0]


def test_where_nothing_can_be_copied_the_text_itself_is_marked(thin):
    thin.page.evaluate("Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    thin.unfold("Copy for my electrician")
    thin.page.get_by_role("button", name="Copy the text").click()
    area = thin.page.locator("#sw-copy")
    expect(area).to_be_focused()
    expect(thin.page.get_by_text("Copy the marked text below by hand")).to_be_visible()
    assert area.evaluate("area => area.selectionEnd - area.selectionStart === area.value.length")

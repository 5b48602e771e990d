"""The drawings on the page: a tap leads to the field, and nothing is cut off or too small for a finger."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

CUT_OFF = """() => [...document.querySelectorAll("svg.sw-picture")].flatMap((drawing) => {
  const paper = drawing.getBoundingClientRect();
  return [...drawing.querySelectorAll("text")].filter((text) => {
    const box = text.getBoundingClientRect();
    return box.left < paper.left - 1 || box.right > paper.right + 1 || box.top < paper.top - 1 || box.bottom > paper.bottom + 1;
  }).map((text) => text.textContent);
})"""
TOO_SMALL = """() => [...document.querySelectorAll("svg.sw-picture .sw-spot")].filter((spot) =>
  ![...spot.querySelectorAll("rect[pointer-events=all]")].some((area) => {
    const box = area.getBoundingClientRect();
    return box.width >= 44 && box.height >= 44;
  })).map((spot) => spot.dataset.question)"""


@pytest.mark.parametrize("pack", ["gb", "us"])
def test_on_the_smallest_telephone_no_word_is_cut_off_and_every_spot_is_large_enough(page, site, pack):
    page.set_viewport_size({"width": 320, "height": 740})
    page.goto(f"{site.url}reference/{pack}/questions/")
    assert page.locator("svg.sw-picture").count() >= 12
    assert page.evaluate(CUT_OFF) == []
    assert page.evaluate(TOO_SMALL) == []


def with_picture(interview, question):
    """The page of a question with its picture unfolded."""
    page = interview.page
    interview.open()
    page.goto(f"{interview.address}#pack=gb&a.isolation=whole-board&at={question}")
    interview.arrives(question)
    page.locator("summary", has_text="A picture").click()
    return page


def test_a_tap_leads_to_the_choice_that_is_drawn_and_answers_nothing(interview):
    page = with_picture(interview, "method")
    page.locator('svg [data-choice="102"]').click()
    chosen = page.locator('input[value="102"]')
    expect(chosen).to_be_focused()
    expect(chosen).to_be_in_viewport()
    expect(chosen).not_to_be_checked()


def test_a_spot_without_a_field_on_the_screen_is_not_marked(interview):
    page = with_picture(interview, "breaker_rating_a")
    expect(page.locator('svg [data-question="breaker_rating_a"] .sw-spot-mark')).to_be_visible()
    expect(page.locator('svg [data-question="breaker_curve"] .sw-spot-mark')).to_be_hidden()
    page.locator('svg [data-question="breaker_rating_a"]').click()
    expect(page.locator("#sw-number")).to_be_focused()

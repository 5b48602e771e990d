"""The ways in: the home page with its examples, scenarios that open filled in, and a page that is not there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.test_access import SIDEWAYS, nothing_found

pytestmark = pytest.mark.browser


def test_each_example_opens_the_checker_with_the_verdict_it_names(page, site):
    page.goto(site.url)
    examples = page.locator(".sw-examples a")
    told = [words.splitlines()[0] for words in examples.all_inner_texts()]
    assert told == ["Fits on paper", "Change", "Call", "Stop"]
    for place, word in enumerate(told):
        page.goto(site.url)
        examples.nth(place).click()
        page.locator(".sw-report").wait_for()
        expect(page.locator(".sw-report .sw-headline .sw-word").first).to_have_text(word)


def test_a_scenario_opens_in_the_checker_filled_in(page, site):
    page.goto(f"{site.url}reference/scenarios/guest-house-geyser/")
    page.get_by_role("link", name="Open in the checker").click()
    page.locator(".sw-report").wait_for()
    assert "a.breaker_rating_a=20" in page.url
    # What the person there confirmed comes along, or the same answers would not give the same verdict.
    assert "&ok=" in page.url
    expect(page.locator(".sw-report .sw-headline .sw-word").first).to_have_text("Fits on paper")


@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1280, "light")])
def test_home_has_one_button_and_shows_a_verdict_on_every_screen(page, site, width, scheme):
    page.set_viewport_size({"width": width, "height": 740})
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    page.goto(site.url)
    button = page.locator(".sw-home .md-button")
    expect(button).to_have_count(1)
    expect(button).to_be_in_viewport()
    expect(page.locator(".sw-card")).to_contain_text("by this rule set")
    mark = page.locator(".md-header .md-logo").bounding_box()
    assert min(mark["width"], mark["height"]) >= 44
    assert page.evaluate(SIDEWAYS) <= 0
    nothing_found(page)


def test_a_page_that_is_not_there_leads_home(site):
    """It is shown at any depth, so its links are absolute: home is where the theme's own mark leads."""
    made = (Path(site.folder) / "404.html").read_text("utf-8")
    mark = re.search(r'<a href="([^"]*)"[^>]*class="md-header__button md-logo"', made)[1]
    assert re.search(r'<a class="md-button md-button--primary" href="([^"]*)">Go to the home page</a>', made)[1] == mark
    assert mark.startswith(("/", "http"))


def test_the_head_of_a_page_is_never_printed_on_it(site):
    pages = list(Path(site.folder).glob("*/index.html"))
    assert len(pages) > 5
    assert [page for page in pages if "<p>title: " in page.read_text("utf-8")] == []


TALL = """() => [...document.querySelectorAll(".md-content :is(h1, h2, h3)")].filter((heading) => heading.getClientRects().length)
  .map((heading) => {
    let above = heading;
    while (above && !above.previousElementSibling && !above.matches(".md-content")) above = above.parentElement;
    const before = above?.matches(".md-content") ? document.querySelector(".md-header") : above.previousElementSibling;
    return [heading.textContent, Math.round(heading.getBoundingClientRect().top - before.getBoundingClientRect().bottom)];
  }).filter(([, space]) => space > 64)"""


@pytest.mark.parametrize("place", ["", "schedule/", "job-sheet/", "reference/", "reference/gb/questions/"])
def test_the_space_above_a_heading_leaves_room_for_words_on_a_telephone(page, site, place):
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(site.url + place)
    assert page.evaluate(TALL) == []

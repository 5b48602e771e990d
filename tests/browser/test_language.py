"""A language is offered only when it is whole: today that is English, so the page offers no choice."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.interview import WATER_HEATER

pytestmark = pytest.mark.browser


def test_a_german_address_kept_from_before_opens_the_same_answers_in_english(interview):
    page = interview.open_report(WATER_HEATER).page
    said, address = interview.title.text_content(), page.url
    page.goto("about:blank")
    page.goto(f"{address}&lang=de")
    expect(interview.title).to_have_text(said)


def test_no_language_is_offered_and_the_page_says_which_it_speaks(interview):
    page = interview.open().page
    interview.wait_ready()
    assert page.locator("select[id*=lang], [hreflang], .sw-language").count() == 0
    expect(page.locator("html")).to_have_attribute("lang", "en")
    assert page.locator("#sw [lang]:not([lang^=en])").count() == 0
    assert not re.search(r"\b(?:Weiter|Zurück|Sprache)\b", page.locator("#sw").text_content())

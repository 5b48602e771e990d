"""The page in another language: chosen on the page, kept in the address; the rules keep their own."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.interview import WATER_HEATER

pytestmark = pytest.mark.browser


def test_the_choice_turns_the_page_and_stays_through_the_interview(interview):
    page = interview.open().page
    page.get_by_label("Language of this page").select_option("de")
    expect(interview.title).to_have_text("Wessen Regeln gelten dort, wo der Verteiler steht?")
    # Before Python is there a stop is told on a screen of its own; here it is the notice above the next question.
    expect(page.locator("#sw-status")).to_contain_text("bereit")
    page.locator('input[name=pack][value="za"]').check()
    page.get_by_role("button", name="Weiter").click()
    interview.arrives("isolation")
    # The question is the rule set's, the button the page's; each says which language it is in.
    expect(interview.title).to_have_attribute("lang", re.compile("^en"))
    expect(page.locator("#sw")).to_have_attribute("lang", "de")
    page.locator("form input[value=none]").check()
    page.get_by_role("button", name="Weiter").click()
    expect(page.get_by_role("complementary", name="Schon klar")).to_contain_text("Schon klar: halt.")
    page.reload()
    expect(page.get_by_role("link", name="Zurück")).to_be_visible()
    assert "lang=de" in page.url


def test_a_report_in_german_leaves_no_heading_in_english_and_names_no_key(interview):
    interview.open_report(WATER_HEATER)
    page = interview.page
    english = set(page.locator(".sw-section h2").all_text_contents())
    page.get_by_label("Language of this page").select_option("de")
    expect(page.get_by_role("heading", name="Was das Ergebnis kippen würde")).to_be_visible()
    german = set(page.locator(".sw-section h2").all_text_contents())
    assert len(german) == len(english)
    assert not german & english
    assert "undefined" not in page.locator("#sw-view").text_content()


def test_a_stop_before_python_is_there_is_said_in_german_too(interview, site):
    site.python_may_pass.clear()
    page = interview.open().page
    page.get_by_label("Language of this page").select_option("de")
    expect(page.get_by_role("button", name="Weiter")).to_be_visible()
    page.locator('input[name=pack][value="za"]').check()
    page.get_by_role("button", name="Weiter").click()
    interview.arrives("isolation")
    page.locator("form input[value=none]").check()
    page.get_by_role("button", name="Weiter").click()
    screen = page.locator(".sw-early")
    expect(screen).to_contain_text("Was zu tun ist:")
    expect(page.locator("#sw-later")).to_have_text("Der ganze Bericht kommt, sobald die Prüfung bereit ist.")
    # What the rules say stays in their language, and says so.
    expect(screen.get_by_role("heading", level=2)).to_have_attribute("lang", re.compile("^en"))
    site.python_may_pass.set()
    expect(screen.get_by_role("link", name="Den ganzen Bericht ansehen")).to_be_visible()
    expect(screen.get_by_role("button", name="Weitermachen")).to_be_visible()

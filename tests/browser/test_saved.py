"""Saved answers can be opened again: as a file of either program, pasted, or as a link."""

from __future__ import annotations

import json
import re
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Page, expect

from tests.browser.interview import WATER_HEATER, Interview

pytestmark = pytest.mark.browser


def held(page: Page) -> dict[str, list[str]]:
    """What the address holds."""
    return {key: value for key, value in parse_qs(urlsplit(page.url).fragment).items() if key not in ("at", "run")}


def opening(interview: Interview) -> Page:
    page = interview.open().page
    page.locator("#sw-saved > summary").click()
    return page


def test_what_the_report_saves_opens_again_with_the_same_answers(interview, tmp_path):
    page = interview.open_report(WATER_HEATER).page
    before = held(page)
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save the answers").click()
    saving.value.save_as(tmp_path / "answers.json")
    page.goto("about:blank")
    opening(interview)
    page.get_by_label("A file that you saved").set_input_files(tmp_path / "answers.json")
    page.wait_for_url(re.compile("pack=za"))
    assert held(page) == before
    expect(page.locator("#sw-start")).to_have_count(0)


def test_a_file_of_the_command_line_opens_too(interview):
    page = opening(interview)
    page.get_by_label("Or paste").fill(
        '# mine\npack = "za"\nas_of = 2026-11-25\n\n[answers]\nlock_off = true\nload_power_w = 3000.5 # W\ncable_size = "2.5 mm2"\n'
    )
    page.get_by_role("button", name="Open these answers").click()
    page.wait_for_url(re.compile("pack=za"))
    assert held(page) == {
        "pack": ["za"],
        "a.lock_off": ["true"],
        "a.load_power_w": ["3000.5"],
        "a.cable_size": ["2.5 mm2"],
    }


def test_a_pasted_link_opens(interview):
    page = opening(interview)
    page.get_by_label("Or paste").fill("See https://example.org/check/#pack=gb&a.lock_off=false")
    page.get_by_role("button", name="Open these answers").click()
    page.wait_for_url(re.compile("pack=gb"))
    assert held(page) == {"pack": ["gb"], "a.lock_off": ["false"]}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Choose a file, or paste"),
        ("hello", "Line 1 cannot be read: hello."),
        ('pack = "gb"\nlock_off true', "Line 2 cannot be read"),
        ('{"pack": "gb"}', "names no answers"),
        ('{"pack": "xx", "answers": {}}', "There is no rule set xx here"),
        ('{"pack": "gb", "answers": {"place": ["england"]}}', "The answer to place"),
        ('{"pack": "gb", "answers": {', "Copy the whole file"),
    ],
)
def test_what_cannot_be_read_says_where_and_what_to_do_and_keeps_the_text(interview, text, said):
    page = opening(interview)
    page.get_by_label("Or paste").fill(text)
    page.get_by_role("button", name="Open these answers").click()
    expect(page.locator("#sw-saved-error")).to_contain_text(said)
    expect(page.get_by_label("Or paste")).to_be_focused()
    expect(page.get_by_label("Or paste")).to_have_value(text)


def test_a_link_to_the_check_is_copied_answers_and_all(interview, context):
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = interview.open_report(WATER_HEATER).page
    page.get_by_role("button", name="Copy a link to this check").click()
    expect(page.get_by_text("Whoever opens the link sees your answers.")).to_be_visible()
    assert json.loads(page.evaluate("navigator.clipboard.readText().then(JSON.stringify)")) == page.url

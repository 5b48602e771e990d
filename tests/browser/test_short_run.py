"""The box that says what the verdict would be if everything still open were as usual."""

from __future__ import annotations

import json
from datetime import datetime
from urllib.parse import urlencode

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from tests.browser.interview import DAY
from tests.browser.test_access import SIDEWAYS, nothing_found

pytestmark = pytest.mark.browser

# A water heater of our own invention: what the short run asks of it in `iec`, and no more.
DECISIVE = {
    "isolation": "whole-board", "worker": "licensed", "premises": "dwelling", "lock_off": "true", "tester": "two-pole",
    "tester_proved": "true", "other_supply": "none", "board_condition": "sound", "earth_present": "true",
    "life_safety_load": "false", "conductor_metal": "copper", "load_kind": "water-heater", "load_current_a": "not-stated",
    "load_power_w": "3000", "device_kind": "time-switch", "device_resistive_a": "20", "breaker_rating_a": "16",
    "cable_size": "2.5 mm2", "measured_loop_ohm": "0.5",
}  # fmt: skip


@pytest.fixture
def short(interview):
    """The box on the report of `DECISIVE`, filled; and what the core supposes."""
    fields = {f"a.{name}": value for name, value in DECISIVE.items()}
    interview.page.clock.set_fixed_time(datetime.fromisoformat(f"{DAY}T12:00:00"))
    interview.page.goto(f"{interview.address}#{urlencode({'pack': 'iec', **fields, 'at': 'report'})}")
    box = interview.page.locator(".sw-short")
    expect(box.locator(".sw-short-said")).to_be_visible()
    answers = {name: {"true": True, "false": False}.get(value, value) for name, value in DECISIVE.items()}
    request = {"format": 1, "ask": "check", "pack": "iec", "as_of": DAY, "answers": answers, "suppose": True}
    return box, json.loads(handle(json.dumps(request)))["supposed"]


def test_a_supposed_fit_is_headed_find_out_in_its_colour(short):
    box, supposed = short
    said = box.locator(".sw-short-said")
    assert supposed["headline"] == "fits"
    expect(said).to_have_text(f"Find out It fits if these {len(supposed['lines'])} things are as usual here.")
    colours = said.evaluate(
        "p => [getComputedStyle(p.querySelector('strong')).color, getComputedStyle(document.querySelector('.sw-headline')).color]"
    )
    assert colours[0] == colours[1]  # that of the headline, which is to find out
    assert box.locator("[class*=fits]").count() == 0


def test_each_line_opens_its_question_and_the_answer_takes_it_off_the_list(interview, short):
    box, supposed = short
    page, line = interview.page, supposed["lines"][0]
    box.locator("summary").first.click()
    lines = box.locator(".sw-short-answer")
    assert lines.count() == len(supposed["lines"])
    small = lines.evaluate_all("all => all.filter(a => a.getBoundingClientRect().height < 44).length")
    assert small == 0
    lines.first.click()
    interview.arrives(line["question"])
    interview.answer(line["value"])
    expect(page.locator(".sw-short-said")).to_contain_text(f"these {len(supposed['lines']) - 1} things")


@pytest.mark.parametrize("palette", ["light", "dark"])
def test_axe_finds_nothing_in_the_open_box(short, palette):
    page = short[0].page
    page.emulate_media(color_scheme=palette, reduced_motion="reduce")
    page.set_viewport_size({"width": 320, "height": 2000})
    page.evaluate("document.querySelectorAll('.sw-short details').forEach(d => { d.open = true; })")
    assert page.evaluate(SIDEWAYS) <= 0
    nothing_found(page)

"""The schedule under a report: a plan typed in, judged on the page, drawn, saved; errors that can be mended."""

from __future__ import annotations

import json
import re
from pathlib import Path

import icalendar
import pytest
from playwright.sync_api import Page, expect

from checker.core.api import handle
from tests.browser.interview import WATER_HEATER, Interview

pytestmark = pytest.mark.browser

AXE = Path(__file__).resolve().parents[2] / "node_modules" / "axe-core" / "axe.min.js"
SIDEWAYS = "document.documentElement.scrollWidth - window.innerWidth"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def typed(interview: Interview, on: str, off: str) -> Page:
    page = interview.open_report(WATER_HEATER).page
    interview.unfold("When it should run")
    page.get_by_label("Time zone").fill("Africa/Johannesburg")
    page.get_by_label("On", exact=True).fill(on)
    page.get_by_label("Off", exact=True).fill(off)
    page.get_by_role("button", name="Work out the schedule").click()
    return page


def test_a_plan_is_judged_as_the_core_judges_it_and_the_calendar_can_be_saved(interview, tmp_path):
    page = typed(interview, "02:00", "05:30")
    expect(page.locator(".sw-plan-week")).to_have_attribute("aria-label", "When the load is on. " + "; ".join(
        f"{day} 02:00 to 05:30" for day in ("Wed", "Thu", "Fri", "Sat", "Sun", "Mon", "Tue")) + ".")  # fmt: skip
    for button, name in (
        ("Save the report", "report.json"),
        ("Save answers and plan", "plan.json"),
        ("Save as a calendar", "plan.ics"),
    ):
        with page.expect_download() as saving:
            page.get_by_role("button", name=button).last.click()
        saving.value.save_as(tmp_path / name)
    request = json.loads((tmp_path / "plan.json").read_text("utf-8"))
    # The bytes of the browser's core and of this one are equal, and what is saved asks for the same plan again.
    assert handle(json.dumps({"format": 1, "ask": "plan", **request})) == (tmp_path / "report.json").read_text("utf-8")
    assert len(icalendar.Calendar.from_ical((tmp_path / "plan.ics").read_bytes()).walk("VEVENT")) == 1


def test_a_time_by_the_sun_asks_for_the_place_there_and_then(interview):
    page = interview.open_report(WATER_HEATER).page
    interview.unfold("When it should run")
    expect(page.get_by_label("How far north of the equator")).to_be_hidden()
    page.get_by_label("On: by").select_option("sunset")
    page.get_by_label("On: minutes after it").fill("-20")
    page.get_by_label("Off", exact=True).fill("22:30")
    page.get_by_role("button", name="Work out the schedule").click()
    north = page.get_by_label("How far north of the equator")
    expect(north).to_be_focused()
    expect(north).to_have_attribute("aria-invalid", "true")
    expect(north).to_have_accessible_description(re.compile("^Enter degrees as a map shows them"))
    north.fill("-33.9")
    page.get_by_label("How far east of Greenwich").fill("18.4")
    page.get_by_role("button", name="Work out the schedule").click()
    expect(page.locator(".sw-plan-result")).to_contain_text("Sunrise and sunset")
    expect(page.locator(".sw-plan-night").first).to_be_attached()
    assert "p.1.on=sunset-00%3A20" in page.url


def test_an_empty_time_is_asked_for_at_its_field_before_the_core_is(interview):
    page = typed(interview, "", "05:30")
    on = page.get_by_label("On", exact=True)
    expect(on).to_be_focused()
    expect(on).to_have_accessible_description("Enter a time.")
    on.fill("02:00")
    page.get_by_role("button", name="Work out the schedule").click()
    expect(page.locator(".sw-plan-week")).to_be_visible()
    expect(on).not_to_have_attribute("aria-invalid", "true")


def test_what_the_core_refuses_stands_at_the_field_that_it_names(interview):
    page = interview.open_report(WATER_HEATER).page
    interview.unfold("When it should run")
    page.get_by_label("On", exact=True).fill("02:00")
    page.get_by_label("Off", exact=True).fill("05:30")
    page.get_by_text("What a kilowatt-hour costs").click()
    page.get_by_label("Price of a kWh").fill("cheap")
    page.get_by_text("What a kilowatt-hour costs").click()
    page.get_by_role("button", name="Work out the schedule").click()
    price = page.get_by_label("Price of a kWh")
    expect(price).to_be_focused()  # its fold is open again
    expect(price).to_have_accessible_description(re.compile("cheap.* is not a price"))
    page.get_by_label("Time zone").fill("Nowhere/Land")
    price.fill("0,30")
    page.get_by_role("button", name="Work out the schedule").click()
    expect(page.get_by_label("Time zone")).to_be_focused()


def test_midnight_ends_a_day_where_it_is_switched_off(interview):
    page = typed(interview, "00:00", "00:00")
    expect(page.locator(".sw-plan-week")).to_be_visible()


def test_what_the_energy_still_needs_can_be_answered_from_there(interview):
    answers = {name: value for name, value in WATER_HEATER.items() if name != "load_power_w"}
    page = interview.open_report(answers).page
    interview.unfold("When it should run")
    page.get_by_label("On", exact=True).fill("02:00")
    page.get_by_label("Off", exact=True).fill("05:30")
    page.get_by_role("button", name="Work out the schedule").click()
    page.locator(".sw-plan-part", has_text="Energy and cost are not known").get_by_role("link").first.click()
    interview.arrives("load_current_a")  # the first of the two that would tell


def test_what_was_typed_is_in_the_address_and_comes_back_with_it(interview, context):
    page = typed(interview, "02:00", "05:30")
    page.get_by_text("What a kilowatt-hour costs").click()
    page.get_by_label("Currency").fill("ZAR")
    elsewhere = context.new_page()
    elsewhere.goto(page.url)
    expect(elsewhere.get_by_label("Time zone")).to_have_value("Africa/Johannesburg")
    expect(elsewhere.get_by_label("On", exact=True)).to_have_value("02:00")
    expect(elsewhere.get_by_label("Off", exact=True)).to_have_value("05:30")
    expect(elsewhere.locator("#sw-plan-currency")).to_have_value("ZAR")


def test_a_look_at_another_screen_takes_nothing_typed_away(interview):
    page = typed(interview, "02:00", "05:30")
    page.get_by_role("link", name="All answers on one page").click()
    page.get_by_role("link", name="The full report").click()
    expect(page.get_by_label("On", exact=True)).to_have_value("02:00")
    assert "p.1.on=02" in page.url


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1280, "light")])
def test_it_fits_every_screen_and_an_outside_checker_finds_nothing(interview, width, scheme):
    interview.page.set_viewport_size({"width": width, "height": 740})
    interview.page.emulate_media(color_scheme=scheme)
    page = typed(interview, "02:00", "05:30")
    expect(page.locator(".sw-plan-week")).to_be_visible()
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    assert page.evaluate(SIDEWAYS) <= 0
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("tags => axe.run('.sw', {runOnly: tags})", TAGS)
    assert [(v["id"], v["nodes"][0]["html"][:120]) for v in found["violations"]] == []
    letters = page.locator(".sw-plan-week text").first.bounding_box()["height"]
    assert 10 <= letters <= 26, "the words of the picture are not of a size to read"

"""The job sheet: on the report, on a small screen, and on paper of both formats."""

from __future__ import annotations

import json
import re
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Page, expect

from checker.cli.sheet_html import render
from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.browser.interview import DAY, WATER_HEATER, Interview
from tests.browser.test_access import AXE, SIDEWAYS, TAGS

pytestmark = pytest.mark.browser

# Millimetres, without the margins that the sheet itself sets.
FORMATS = ("A4", "Letter")


def fitting() -> tuple[str, dict]:
    """A worked case that fits, whose wires are known."""
    case = next(case for case in scenarios.every() if case.id == "guest-house-geyser")
    return case.request["pack"], case.request


def opened(interview: Interview) -> dict:
    """The report of that case, opened as a bookmark would, and the sheet that the core gives."""
    pack, request = fitting()
    fields = {f"a.{name}": str(v).lower() if isinstance(v, bool) else v for name, v in request["answers"].items()}
    confirmed = [("ok", cell) for cell in request["confirmed"]]
    interview.page.clock.set_fixed_time(f"{DAY}T12:00:00")
    interview.page.goto(
        f"{interview.address}#{urlencode([('pack', pack), *fields.items(), *confirmed, ('at', 'report')])}"
    )
    interview.page.locator(".sw-report").wait_for()
    interview.page.get_by_role("button", name="Show the job sheet").click()
    interview.page.locator(".sw-sheet").wait_for()
    return json.loads(handle(json.dumps({**request, "ask": "sheet", "as_of": DAY})))


def pages(page: Page, html: str, paper: str) -> int:
    """How many sheets of paper it takes; `body` must hold what is to be printed."""
    page.set_content(html)
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper, prefer_css_page_size=False)))


def test_the_page_shows_the_sheet_that_the_core_gives(interview):
    sheet = opened(interview)
    page = interview.page
    assert page.evaluate(SIDEWAYS) <= 0
    expect(page.locator(".sw-sheet-title")).to_have_text(sheet["title"])
    expect(page.locator(".sw-sheet-title")).to_be_focused()
    assert page.locator(".sw-sheet h3").all_text_contents() == [section["title"] for section in sheet["short"]]
    drawings = page.locator(".sw-sheet svg")
    assert drawings.count() == 2
    assert (
        drawings.evaluate_all("all => all.map(svg => svg.querySelectorAll('g.wire').length)")
        == [len(sheet["connections"])] * 2
    )
    table = next(b for s in sheet["sections"] if s["id"] == "connections" for b in s["blocks"] if b["kind"] == "table")
    shown = page.locator(".sw-sheet-stack tbody tr").evaluate_all(
        "rows => rows.map(row => [...row.cells].map(cell => cell.textContent))"
    )
    assert shown == table["rows"]
    page.get_by_role("button", name="Show the long form").click()
    assert page.locator(".sw-sheet h3").all_text_contents() == [section["title"] for section in sheet["sections"]]
    saved = json.loads(interview.saved("Save the job sheet"))
    assert (saved["sections"], saved["short"]) == (sheet["sections"], sheet["short"])


def test_printing_the_sheet_leaves_the_report_off_the_paper_and_the_other_way_round(interview):
    opened(interview)
    page = interview.page
    page.evaluate("window.print = () => {}")
    page.emulate_media(media="print")
    expect(page.locator(".sw-sheet")).to_be_hidden()
    expect(page.locator(".sw-headline")).to_be_visible()
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Print the job sheet").click()
    page.emulate_media(media="print")
    expect(page.locator(".sw-sheet")).to_be_visible()
    expect(page.locator(".sw-headline")).to_be_hidden()
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True))) == 2
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(page.locator(".sw-headline")).to_be_visible()


def test_who_must_call_gets_a_page_without_steps(interview):
    interview.open_report({**WATER_HEATER, "worker": "unlicensed"})
    page = interview.page
    page.get_by_role("button", name="Show the job sheet").click()
    expect(page.locator(".sw-sheet-brief")).to_be_visible()
    assert page.locator(".sw-sheet svg").count() == 0
    assert "Photograph the board" not in page.locator(".sw-sheet").text_content()


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("palette", ["light", "dark"])
def test_axe_finds_nothing_on_the_sheet(interview, palette):
    interview.page.emulate_media(color_scheme=palette, reduced_motion="reduce")
    opened(interview)
    page = interview.page
    page.evaluate("document.querySelectorAll('.sw-sheet details').forEach(d => { d.open = true; })")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("tags => axe.run('.sw-sheet-section', { runOnly: tags })", TAGS)
    assert [(v["id"], [n["html"][:160] for n in v["nodes"]]) for v in found["violations"]] == []


# How many sheets of A4 the short form takes: two sides for an everyday job, one page for a call and for a stop.
SHORT = {
    "guest-house-geyser": 2,
    "us-water-heater-30-a": 2,
    "bakery-proving-heater": 2,
    "gb-householder-alone": 1,
    "board-with-scorch-marks": 1,
}


@pytest.mark.parametrize("name", SHORT)
def test_the_short_form_takes_two_sides_of_paper_at_most_and_none_is_mostly_blank(page, name):
    case = next(case for case in scenarios.every() if case.id == name)
    sheet = json.loads(handle(json.dumps({**case.request, "ask": "sheet"})))
    assert pages(page, render(sheet, short=True), "A4") == SHORT[name]
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 695, "height": 1000})
    ends = page.locator("main > section").evaluate_all("all => all.map(it => it.getBoundingClientRect().bottom)")
    if SHORT[name] == 2:  # the back begins where its page does
        front = page.locator("section.page").evaluate("it => it.getBoundingClientRect().top")
        assert min(front, ends[-1] - front) > 500


@pytest.mark.parametrize("name", ["board-with-scorch-marks", "gb-householder-alone"])
def test_whoever_must_leave_the_board_alone_is_not_told_to_press_a_button(name):
    case = next(case for case in scenarios.every() if case.id == name)
    sheet = json.loads(handle(json.dumps({**case.request, "ask": "sheet"})))
    assert re.search(r"press (its|the) test button", json.dumps([sheet["short"], sheet["sections"]]), re.I) is None


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("paper", FORMATS)
def test_the_brief_for_the_electrician_is_one_page(page, paper):
    """The fullest brief there is: every fact known, a water heater with its question more."""
    case = next(case for case in scenarios.every() if case.id == "guest-house-geyser")
    answers = {**case.request["answers"], "worker": "unlicensed"}
    sheet = json.loads(handle(json.dumps({**case.request, "ask": "sheet", "answers": answers})))
    sheet["sections"] = [section for section in sheet["sections"] if section["id"] == "brief"]
    assert pages(page, render(sheet), paper) == 1


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize("paper", FORMATS)
@pytest.mark.parametrize("part", ["before", "connections", "drawing"])
def test_each_part_for_the_board_fits_on_a_page(page, paper, part):
    _, request = fitting()
    sheet = json.loads(handle(json.dumps({**request, "ask": "sheet"})))
    sheet["sections"] = [section | {"page": False} for section in sheet["sections"] if section["id"] == part]
    assert pages(page, render(sheet), paper) == 1


def test_on_a_small_screen_nothing_has_to_be_pushed_sideways_and_lettering_can_be_read(page):
    _, request = fitting()
    page.set_content(render(json.loads(handle(json.dumps({**request, "ask": "sheet"})))))
    assert page.evaluate(SIDEWAYS) <= 0
    heights = page.locator("svg text").evaluate_all("all => all.map(text => text.getBoundingClientRect().height)")
    assert min(heights) >= 9

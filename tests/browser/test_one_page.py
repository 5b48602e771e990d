"""The report in short: how many screens of a phone and how many sheets of paper it takes, and that nothing is lost by it."""

from __future__ import annotations

import json
import re
from urllib.parse import urlencode

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.browser.interview import DAY, Interview

pytestmark = pytest.mark.browser

SCREEN = 740  # pixels; the visitor of these tests is 360 wide
# A worked case of each kind, how many screens and how many sheets of A4 it may take.
GOALS = {"guest-house-geyser": (6, 2), "board-with-scorch-marks": (2, 1), "gb-householder-alone": (2, 1)}


def opened(interview: Interview, name: str) -> dict:
    """The report of a worked case, opened as a bookmark would, and what the core says."""
    case = next(case for case in scenarios.every() if case.id == name)
    request = {**case.request, "ask": "check", "as_of": DAY}
    fields = {f"a.{key}": str(v).lower() if isinstance(v, bool) else v for key, v in request["answers"].items()}
    confirmed = [("ok", cell) for cell in request["confirmed"]]
    page = interview.page
    page.clock.set_fixed_time(f"{DAY}T12:00:00")
    page.goto(
        f"{interview.address}#{urlencode([('pack', request['pack']), *fields.items(), *confirmed, ('at', 'report')])}"
    )
    page.locator(".sw-report").wait_for()
    return json.loads(handle(json.dumps(request)))


@pytest.mark.parametrize("name", GOALS)
def test_a_report_takes_few_screens_and_fewer_sheets(interview, name):
    report = opened(interview, name)
    page = interview.page
    screens, sheets = GOALS[name]
    # The way back stands under the header; what is above it is not the report's to say.
    top = page.locator(".sw-way").evaluate("it => it.getBoundingClientRect().top + scrollY")
    foot = page.evaluate("document.documentElement.scrollHeight")
    assert foot - top + 64 <= screens * SCREEN
    # Everything up to the first step stands on the first screen, whatever the verdict.
    ends = page.locator(".sw-next > p").first.evaluate("it => it.getBoundingClientRect().bottom + scrollY")
    assert ends - top + 64 <= SCREEN
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4"))) <= sheets
    # Nothing is lost: what the core says stands on the page, folded or not.
    said = page.locator(".sw-report").text_content()
    told = [*report["cautions"], *report["not_checked"], *report["defers_to"], *report["flips"], *report["steps"]]
    assert [item["text"] for item in told if item["text"] not in said] == []
    assert [f["message"] for f in report["findings"] if f["outcome"] != "not-applicable" and f["message"] not in said] == []  # fmt: skip


def test_stop_and_call_say_why_in_the_words_of_the_failure_and_what_to_do(interview):
    for name in ("board-with-scorch-marks", "gb-householder-alone"):
        report = opened(interview, name)
        cause = next(f for f in report["findings"] if f["rule"] == report["who"]["because"][0])
        assert cause["outcome"] == "failed"
        expect(interview.page.locator(".sw-headline .sw-why")).to_have_text(cause["message"])
        expect(interview.page.locator(".sw-next > p").first).to_have_text(cause["fix"])
        assert cause["title"] not in interview.page.locator(".sw-headline, .sw-parts, .sw-next").all_text_contents()


def test_what_must_change_comes_tightest_first_with_a_bar_and_its_figures_in_words(interview):
    report = opened(interview, "shed-one-millimetre")
    failed = [f for f in report["findings"] if f["outcome"] == "failed" and f["weight"] != "advice"]
    shown = interview.page.locator("section", has=interview.page.get_by_role("heading", name="What must change"))
    bars = shown.locator(".sw-gauge")
    compared = [f for f in failed if f["left"] and f["right"]]
    assert bars.count() == len(compared) > 2
    margins = [float(f["margin_percent"]) for f in sorted(compared, key=lambda f: float(f["margin_percent"]))]
    told = [re.search(r"misses by ([\d.]+)", text) for text in bars.all_text_contents()]
    assert [-float(found[1]) for found in told if found] == margins
    assert bars.locator("svg[aria-hidden=true]").count() == len(compared)


def test_a_title_leads_into_the_fold_where_its_rule_stands(interview):
    opened(interview, "guest-house-geyser")
    page = interview.page
    link = page.locator(".sw-near .sw-link").first
    title = link.text_content()
    link.focus()
    page.keyboard.press("Enter")
    heading = page.locator(".sw-finding h4", has_text=title).first
    expect(heading).to_be_visible()
    expect(heading).to_be_focused()

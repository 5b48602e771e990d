"""What a person may type, and what the page says when it cannot be used."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.interview import WATER_HEATER

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def reading(browser, site):
    """One page for every figure that is read: reading leaves nothing behind."""
    page = browser.new_page()
    page.goto(site.url)
    yield page
    page.close()


READ = """async ([address, typed, limits]) => {
  const { readNumber } = await import(address + 'spareway/numbers.mjs');
  return readNumber(typed, limits);
}"""
UP_TO_1000 = {"minimum": "0", "maximum": "1000", "unit": "A"}


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("16", "16"), (" 16 ", "16"), ("16.0", "16.0"), ("13,5", "13.5"), ("13.5", "13.5"), (",5", "0.5"), ("0,375", "0.375"),
        ("007", "7"), ("0", "0"), ("5.", "5"), ("+4", "4"), ("1 000", "1000"), ("1\u202f000", "1000"), ("1’000", "1000"),
    ],
)  # fmt: skip
def test_a_figure_is_read_as_it_was_meant(reading, site, typed, value):
    assert reading.evaluate(READ, [site.url, typed, UP_TO_1000]) == {"value": value}


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("3 kW", "W", "3000"), ("3kW", "W", "3000"), ("1,5 kW", "W", "1500"), ("0.0005 kW", "W", "0.5"),
        ("3000 W", "W", "3000"), ("3000", "W", "3000"), ("12 cm", "mm", "120"), ("1 200 W", "W", "1200"),
        ("16 A", "A", "16"), ("30 mA", "A", "0.03"), ("6 kA", "kA", "6"), ("6000 A", "kA", "6"),
        ("2.5 mm²", "mm2", "2.5"), ("40 °C", "C", "40"),
    ],
)  # fmt: skip
def test_a_figure_is_read_in_the_unit_of_the_plate(reading, site, typed, unit, value):
    """Decimal prefixes are those of the SI brochure."""
    limits = {"minimum": "0", "maximum": "100000", "unit": unit}
    assert reading.evaluate(READ, [site.url, typed, limits]) == {"value": value}


@pytest.mark.parametrize("typed", ["\u22125", "–5", "-5"])
def test_a_minus_is_a_minus_however_it_is_written(reading, site, typed):
    assert reading.evaluate(READ, [site.url, typed, {"minimum": "-30", "maximum": "70", "unit": "C"}]) == {
        "value": "-5"
    }


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type a number"), ("sixteen", "is not a number"), ("16 V", "Give it in A."), ("16 kg", "Give it in A."),
        ("1e3", "is not a number"),
        ("1.2.3", "is not a number"), ("0x10", "is not a number"), ("NaN", "is not a number"), ("Infinity", "is not a number"),
        ("1001", "From 0 to 1000 A."), ("-1", "From 0 to 1000 A."), ("1 00", "is not a number"),
        # A person of one country means one and a half, a person of another means one thousand five hundred.
        ("1,500", "two numbers"), ("1.500", "two numbers"),
    ],
)  # fmt: skip
def test_what_is_no_figure_or_could_be_two_is_asked_again(reading, site, typed, says):
    assert says in reading.evaluate(READ, [site.url, typed, UP_TO_1000])["error"]


def to_the_first_number(interview):
    interview.open().choose_pack("za")
    while interview.page.locator("form[data-kind=number]").count() == 0:
        interview.answer(WATER_HEATER.get(interview.shown(), "dont-know"))
    return interview.page.locator("#sw-number")


def test_a_number_field_says_its_unit_and_range_and_takes_a_decimal_comma(interview):
    field = to_the_first_number(interview)
    assert field.get_attribute("inputmode") == "decimal"
    expect(interview.page.locator(".sw-unit")).to_be_visible()
    expect(interview.page.locator(".sw-range")).to_contain_text("From")
    question = interview.shown()
    field.fill("13,5")
    field.press("Enter")
    interview.page.wait_for_url(f"**a.{question}=13.5*")


def test_a_wrong_figure_is_named_beside_the_field_which_keeps_the_focus(interview):
    field = to_the_first_number(interview)
    question = interview.shown()
    field.fill("much")
    interview.page.get_by_role("button", name="Continue").click()
    expect(interview.page.locator("#sw-error")).to_contain_text("“much” is not a number")
    expect(field).to_be_focused()
    expect(field).to_have_attribute("aria-invalid", "true")
    assert interview.page.title().startswith("Error: ")
    assert interview.shown() == question


def test_going_on_without_an_answer_is_not_an_answer(interview):
    interview.open()
    interview.page.get_by_role("button", name="Continue").click()
    expect(interview.page.locator("#sw-error")).to_have_text("Choose a rule set.")
    interview.choose_pack("za")
    question = interview.shown()
    interview.page.get_by_role("button", name="Continue").click()
    expect(interview.page.locator("#sw-error")).to_have_text("Choose one of the answers.")
    assert interview.shown() == question

"""A report as text and as Markdown."""

from __future__ import annotations

import re

import pytest

from checker.terminal import markdown, text
from checker.terminal.display import Display
from checker.terminal.report import build
from checker.terminal.units import with_unit


def as_text(report: dict, width: int = 80, colour: bool = False, encoding: str = "utf-8", job: bool = False) -> str:
    return text.render(build(report, job), Display(width, colour, encoding))


def as_markdown(report: dict) -> str:
    return markdown.render(build(report), Display())


def titles(shown: str) -> list[str]:
    return [line for line in shown.splitlines() if line and not line.startswith((" ", "┌", "│", "└"))]


def test_the_verdict_comes_first_with_its_reason(report):
    lines = as_text(report).splitlines()
    assert lines[1].startswith("│ CHANGE   Something has to change")
    assert lines[3] == "  - Message of protects."


def test_the_verdict_comes_last_once_more(report):
    assert as_text(report).splitlines()[-1].startswith("CHANGE   Something has to change")


def test_the_sections_come_in_the_order_in_which_they_are_needed(report):
    assert titles(as_text(report, job=True))[:-1] == [
        "What to change",
        "Advice (does not change the verdict)",
        "What to find out",
        "The numbers",
        "Passed (4)",
        "Take care",
        "The job, step by step",
        "Connections",
        "Tests",
        "Who has the last word",
        "Not checked",
        "Sources",
        "Figures used",
        "Assumed, because you did not say",
        "Your answers",
        "Versions",
    ]


def test_markdown_has_the_same_sections(report):
    document = build(report)
    headings = re.findall(r"^## (.*)$", as_markdown(report), re.M)
    assert headings == [s.title.replace("(", "(") for s in document.sections if s.title]


@pytest.mark.parametrize(
    ("stage", "title"),
    [
        ("before-touching", "Put this right first"),
        ("who-may", "Why a licensed person is needed"),
        ("rcd", "What to change"),
    ],
)
def test_a_failure_stands_under_what_it_means(report, stage, title):
    report["findings"] = [f | {"stage": stage} for f in report["findings"] if f["rule"] == "protects"]
    assert title in titles(as_text(report))


def test_a_failure_shows_title_message_sources_and_what_to_do(report):
    assert (
        "  NO  Title of protects\n      Message of protects. [1]\n      What to do: Fit a thicker cable.\n"
        in as_text(report)
    )


def test_numbers_stand_in_columns_with_their_margin(report):
    shown = as_text(report)
    start = shown.index("The numbers")
    assert shown[start:].splitlines()[1:5] == [
        "      what                  have       limit    margin",
        "  NO  Title of protects     32 A  >     27 A  -18.52 %",
        "  ok  Title of carries   13.04 A  <     27 A    51.7 %",
        "  ok  Title of smallest  2.5 mm²  >  1.5 mm²   66.67 %",
    ]


def test_the_sign_between_value_and_limit_comes_from_the_exact_figures(report):
    finding = next(f for f in report["findings"] if f["rule"] == "protects")
    finding["left"] = {"name": "x", "value": "34", "exact": "34.0001", "unit": "A"}
    finding["right"] = {"name": "y", "value": "34", "exact": "34", "unit": "A"}
    assert re.search(r"34 A  >\s+34 A", as_text(report))


def test_a_weak_source_is_starred_and_explained(report):
    shown = as_text(report)
    assert "ok  Message of licence. [2*]" in shown
    assert "2. Common practice*." in shown
    assert "* Confirm this" in shown


def test_a_source_keeps_its_star_whatever_else_was_taken_from_it(report):
    finding = next(f for f in report["findings"] if f["rule"] == "licence")
    cell = {"id": "t/1", "value": "5", "unit": "A", "source": "common-practice", "clause": "trade practice"}
    cell["checked"] = "2026-11-25"
    finding["cells"] = [cell | {"status": "two-sources"}]
    assert "ok  Message of licence. [2*]" in as_text(report)


@pytest.mark.parametrize(
    ("status", "words"), [("memory", "from memory. Confirm"), ("conflict", "disagree on. Confirm")]
)
def test_a_failure_on_a_shaky_figure_says_so(report, status, words):
    finding = next(f for f in report["findings"] if f["rule"] == "protects")
    assert words not in as_text(report)
    finding["cells"][0]["status"] = status
    assert words in as_text(report)


def test_below_the_headline_stand_three_reasons_at_most(report):
    failure = next(f for f in report["findings"] if f["rule"] == "protects")
    report["findings"] += [failure | {"rule": f"r{n}", "message": f"Reason {n}."} for n in range(4)]
    report["sizing"]["because"] += [f"r{n}" for n in range(4)]
    assert as_text(report).splitlines()[3:8] == [
        "  - Message of protects.",
        "  - Reason 0.",
        "  - Reason 1.",
        "  - And 2 more, below.",
        "",
    ]


def test_a_figure_is_traced_to_its_cell_and_source(report):
    assert "  - cable-current/C/2.5 = 27 A [1]\n" in as_text(report)
    assert "  1. A book of tables, table 7: two sources agree.\n" in as_text(report)


def test_a_long_list_of_questions_is_given_in_short_but_whole(report):
    report["find_out"] = [report["find_out"][0] | {"text": f"Question {n}?", "how": f"Way {n}."} for n in range(30)]
    shown = " ".join(as_text(report).split())
    assert "And 20 more: Question 10? Question 11?" in shown
    assert "Question 29?" in shown
    assert "Way 9." in shown
    assert "Way 10." not in shown


def test_a_figure_to_confirm_tells_the_option(report):
    assert "      --confirm cable-current/C/4\n" in as_text(report)
    assert "`--confirm cable-current/C/4`" in as_markdown(report)


def test_an_assumed_answer_is_not_listed_as_given(report):
    shown = as_text(report)
    assert "supply voltage: 230 V" in shown
    assert "supply_voltage_v" not in shown


def test_the_versions_let_anyone_replay_the_verdict(report):
    shown = " ".join(as_text(report).split())
    for part in ("Spareway 9.9.9", "pack xx", "edition 5", "version 2026.11", "abababab", "as of 2026-11-25"):
        assert part in shown


@pytest.mark.parametrize("width", [40, 60, 80, 88])
def test_no_line_is_wider_than_the_terminal(report, width):
    assert [line for line in as_text(report, width).splitlines() if len(line) > width] == []


def test_an_ascii_terminal_gets_ascii(report):
    shown = as_text(report, encoding="ascii")
    assert shown.isascii()
    assert "2.5 mm2" in shown
    assert "?" not in shown.replace("  ?  ", "").replace("Which RCD?", "")


def test_colour_adds_nothing_but_colour(report):
    coloured = as_text(report, colour=True)
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == as_text(report)


def test_what_an_answer_holds_reaches_neither_screen_nor_markup(report):
    report["answers"]["evil"] = "\x1b[2J <script>`*|[x](y)"
    assert "\x1b" not in as_text(report)
    line = next(line for line in as_markdown(report).splitlines() if "evil" in line)
    assert "&lt;script&gt;\\`\\*\\|\\[x\\](y)" in line


@pytest.mark.parametrize("start", ["# x", "- x", "+ x", "1. x", "12) x"])
def test_a_sentence_does_not_become_a_heading_or_a_list(start):
    assert markdown.escape(start).replace("\\", "") == start
    assert "\\" in markdown.escape(start)


@pytest.mark.parametrize("key", ["findings", "cautions", "who", "not_checked", "headline_text"])
def test_half_a_report_is_no_report(report, key):
    del report[key]
    with pytest.raises(KeyError):
        build(report)


def test_an_outcome_nobody_knows_is_no_report(report):
    report["findings"][0]["outcome"] = "splendid"
    with pytest.raises(KeyError):
        build(report)


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        ("27", "A", "27 A"),
        ("2.5", "mm2", "2.5 mm²"),
        ("0.8", "1", "0.8"),
        ("1", "modules", "1 module"),
        ("2", "modules", "2 modules"),
    ],
)
def test_a_value_is_shown_with_the_sign_of_its_unit(value, unit, shown):
    assert with_unit(value, unit) == shown


def test_an_edition_that_does_not_hold_is_told_right_below_the_verdict(report):
    report["pack"]["notice"] = "The edition 5 is not in force on that day."
    shown = as_text(report)
    assert shown.index("Edition: The edition 5 is not in force") < shown.index("What to change")

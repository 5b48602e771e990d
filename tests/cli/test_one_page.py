"""The short report of `spareway check`: a screen of a terminal, with a way to the whole."""

from __future__ import annotations

import json
import re

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from checker.terminal import markdown, text
from checker.terminal.display import Display
from checker.terminal.onepage import build
from tests import sampling

SCREEN = 50  # lines: what a terminal window shows at once, with room to spare for a case with many faults


def shown(report: dict) -> str:
    return text.render(build(report), Display(80))


def flat(report: dict) -> str:
    return " ".join(shown(report).split())


def cases(headline: str) -> list[dict]:
    replies = (
        json.loads(handle(json.dumps({**case.request, "ask": "check"})))
        for case in sampling.share(scenarios.every(), 4)
    )
    return [reply for reply in replies if reply.get("headline") == headline]


@pytest.mark.parametrize("headline", ["stop", "call"])
def test_stop_and_call_say_why_in_the_words_of_the_failure_then_who_and_what_next(headline):
    for report in cases(headline):
        (cause, *_) = [f for f in report["findings"] if f["rule"] in report["who"]["because"]]
        said = flat(report)
        order = (cause["message"], report["who"]["text"], report["sizing"]["text"], f"What to do next: {cause['fix']}")
        places = [said.index(part) for part in order]
        assert places == sorted(places)


def test_a_failure_stands_with_figures_remedy_and_the_tightest_first(report):
    other = next(f for f in report["findings"] if f["rule"] == "protects")
    report["findings"].append(other | {"rule": "worse", "title": "Title of worse", "margin_percent": "-60"})
    said = flat(report)
    assert said.index("Title of worse") < said.index("Title of protects")
    assert "NO Title of protects 32 A > 27 A, margin -18.52 % What to do: Fit a thicker cable." in said


def test_what_it_leaves_out_is_counted_and_named(report):
    assert "The rest: 4 rules passed, 1 piece of advice, 1 caution" in flat(report)
    assert "spareway check --long" in flat(report)


def test_a_long_list_of_what_to_find_out_is_cut_and_counted(report):
    report["find_out"] = [report["find_out"][0] | {"text": f"Question {n}?"} for n in range(30)]
    said = flat(report)
    assert "Question 4?" in said
    assert "Question 5?" not in said
    assert "And 25 more: --long." in said


def test_an_edition_that_does_not_hold_and_a_preview_are_told(report):
    report["pack"] |= {"notice": "The edition 5 is not in force.", "preview": "A thin rule set."}
    assert "Edition: The edition 5 is not in force." in flat(report)
    assert "Preview: A thin rule set." in flat(report)


def test_every_worked_case_fits_a_screen_of_a_terminal():
    long = {
        (report["pack"]["id"], headline, len(shown(report).splitlines()))
        for headline in ("stop", "call", "fits")
        for report in cases(headline)
    }
    assert len(long) > 10
    assert {case for case in long if case[-1] > SCREEN} == set()


def test_it_can_be_pasted_as_markdown(report):
    said = markdown.render(build(report), Display())
    assert re.findall(r"^## (.*)$", said, re.M) == ["What to change", "What to find out", "Tightest numbers"]


@pytest.mark.parametrize("key", ["findings", "cautions", "who", "not_checked", "headline_text", "find_out"])
def test_half_a_report_is_no_report(report, key):
    del report[key]
    with pytest.raises(KeyError):
        build(report)


def test_the_command_prints_the_short_form_and_with_long_the_whole(spareway, write):
    file = write('pack = "iec"\n[answers]\nboard_condition = "damaged"\n')
    short, whole = spareway("check", file), spareway("check", file, "--long")
    assert short.returncode == whole.returncode == 1
    assert "Take care" not in short.stdout
    assert "Take care" in whole.stdout
    assert len(short.stdout.splitlines()) * 2 < len(whole.stdout.splitlines())

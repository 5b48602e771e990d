"""A thin rule set says so wherever it shows: in the lists, in the reply, in the report for the terminal and on the pages."""

from __future__ import annotations

import json

import pytest

from checker.cli.look import Look
from checker.cli.markdown import render
from checker.cli.sections import build
from checker.core.api import handle
from checker.dev import checkpage
from tests.core import asking

PREVIEWS = {pack: content["pack"]["preview"] for pack, content in asking.contents().items()}
THIN = sorted(pack for pack, why in PREVIEWS.items() if why)
WHOLE = sorted(pack for pack, why in PREVIEWS.items() if not why)

each_thin = pytest.mark.parametrize("pack", THIN)


def test_there_is_a_thin_rule_set_and_a_whole_one():
    assert THIN
    assert {"iec", "za", "de"} <= set(WHOLE)


@each_thin
def test_the_report_and_the_next_question_carry_the_reason(pack):
    for ask in ("check", "next"):
        assert asking.ask(asking.sound(pack), pack, ask=ask)["pack"]["preview"] == PREVIEWS[pack]


@each_thin
def test_the_list_of_rule_sets_carries_the_reason(pack):
    listed = {p["id"]: p for p in json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]}
    assert listed[pack]["preview"] == PREVIEWS[pack]
    assert listed["iec"]["preview"] is None


@each_thin
def test_the_terminal_says_it_before_who_may_do_the_work(pack):
    shown = render(build(asking.ask(asking.sound(pack), pack)), Look())
    assert shown.index("Preview:") < shown.index("Who may do it")
    assert "Preview:" not in render(build(asking.ask(asking.FITS, "iec")), Look())


@each_thin
def test_the_choice_on_the_check_page_says_it(pack):
    html = checkpage.build(handle, asking.AS_OF)
    label = html[html.index(f'value="{pack}"') :].partition("</label>")[0]
    assert "(preview)" in label
    assert PREVIEWS[pack].split(".")[0] in label
    whole = html[html.index('value="iec"') :].partition("</label>")[0]
    assert "preview" not in whole

"""A thin rule set says so wherever it shows: in the lists, in the reply, in the report for the terminal and on the pages."""

from __future__ import annotations

import json
import re
import shutil

import pytest

from checker.core.api import handle
from checker.dev.rulebook import preview
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.rulefiles import RULES
from checker.dev.site import check_page as checkpage
from checker.terminal.display import Display
from checker.terminal.markdown import render
from checker.terminal.report import build
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
    shown = render(build(asking.ask(asking.sound(pack), pack)), Display())
    assert shown.index("Preview:") < shown.index("Who may do it")
    assert "Preview:" not in render(build(asking.ask(asking.FITS, "iec")), Display())


@each_thin
def test_the_choice_on_the_check_page_says_it(pack):
    html = checkpage.build(handle, asking.AS_OF)
    label = html[html.index(f'value="{pack}"') :].partition("</label>")[0]
    assert "(preview)" in label
    assert PREVIEWS[pack].split(".")[0] in label
    whole = html[html.index('value="iec"') :].partition("</label>")[0]
    assert "preview" not in whole


# --- the share below which a rule set is a preview whatever its maintainer says ---


def known(well: int, whole: int) -> dict:
    """A rule set of so many figures, so many of them known well."""
    statuses = ["opened", "two-sources", "derived"] * whole
    figures = [{"status": statuses[i] if i < well else "memory"} for i in range(whole)]
    return {"rules": [], "parameters": figures, "tables": []}


def test_at_the_agreed_share_a_rule_set_needs_no_label_and_just_below_it_does():
    assert preview.LEAST_KNOWN_PERCENT == 25
    assert preview.why_preview(known(25, 100)) is None
    assert "Only 249 of 1000" in preview.why_preview(known(249, 1000))


def test_a_rule_set_that_forgot_to_say_so_is_labelled_by_the_build(tmp_path):
    shutil.copytree(RULES, tmp_path, dirs_exist_ok=True)
    for path in [*(tmp_path / "base").rglob("*.csv"), *(tmp_path / "base").rglob("*.toml")]:
        text = path.read_text("utf-8")
        path.write_text(
            re.sub(r'((?:^status = "|,))(opened|two-sources|derived)(?=[",])', r"\1memory", text, flags=re.M), "utf-8"
        )
    assert "preview" not in (tmp_path / "base/pack.toml").read_text("utf-8")
    assert "counts as just begun" in compile_pack(tmp_path / "base", tmp_path)["pack"]["preview"]

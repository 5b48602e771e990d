"""`spareway sheet`: the same sheet as HTML to print, as Markdown and as JSON."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from checker.cli.sheet_html import render
from checker.core.api import handle
from checker.dev.cases import scenarios

ROOT = Path(__file__).parents[2]
VOID = {"meta", "br", "img", "rect", "path", "circle"}


def reply(answers: dict, pack: str = "iec") -> dict:
    request = {"format": 1, "ask": "sheet", "pack": pack, "as_of": "2026-11-25", "answers": answers}
    return json.loads(handle(json.dumps(request)))


class Page(HTMLParser):
    """Elements as they open and close; what is left open at the end is a fault."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict]] = []
        self.text: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] not in ("style",):
            self.text.append(data.strip())


def words(text: str) -> str:
    return " ".join(text.split())


def told(sheet: dict) -> list[str]:
    found = [sheet["title"], sheet["lead"], sheet["headline_text"]]
    for section in sheet["sections"]:
        found.append(section["title"])
        for block in section["blocks"]:
            found += [block["label"]] if block["label"] else []
            found += [block["text"]] if isinstance(block.get("text"), str) else block.get("text", [])
            found += block.get("items", []) + [cell for row in block.get("rows", []) for cell in row if cell]
    return [words(text) for text in found]


def test_html_is_what_you_get_and_the_long_form_holds_every_word_of_the_sheet(spareway, write, fits, answers):
    done = spareway("sheet", "--long", write(fits()))
    assert (done.returncode, done.stderr) == (0, "")
    page = Page(done.stdout)
    assert page.open == []
    shown = words(" ".join(page.text))
    assert [text for text in told(reply(answers)) if text not in shown] == []
    assert done.stdout.count("<svg ") == 2


def test_without_long_it_is_the_short_form(spareway, write, fits, answers):
    sheet = reply(answers)
    shown = words(" ".join(Page(spareway("sheet", write(fits())).stdout).text))
    assert [text for text in told(sheet | {"sections": sheet["short"]}) if text not in shown] == []
    assert [section["title"] for section in sheet["sections"] if section["title"] not in shown]


def test_the_file_needs_nothing_from_anywhere(spareway, write, fits):
    html = spareway("sheet", write(fits())).stdout
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', html)[1]
    assert "default-src &#x27;none&#x27;" in policy
    for tag, attributes in Page(html).tags:
        assert tag not in ("script", "link", "iframe", "img", "object")
        assert not [name for name in attributes if name.startswith("on") or name in ("src", "href", "style", "action")]
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/2000/svg)", html)


def test_what_a_sheet_says_never_becomes_markup():
    text = "<b>x</b>&amp;\"'"
    code = {"kind": "code", "label": None, "text": text}
    block = {"kind": "table", "label": text, "head": [text], "rows": [[text]]}
    sheet = {"title": text, "lead": text, "headline_text": text, "notice": text,
             "sections": [{"id": "a", "title": text, "page": True, "blocks": [block, code]}]}  # fmt: skip
    html = render(sheet)
    assert "<b>" not in html
    assert html.count("&lt;b&gt;x&lt;/b&gt;&amp;amp;&quot;&#x27;") >= 8


def test_json_is_the_cores_reply_to_the_letter(spareway, write, fits, answers):
    request = {"format": 1, "ask": "sheet", "pack": "iec", "edition": None, "as_of": "2026-11-25", "answers": answers,
               "confirmed": []}  # fmt: skip
    assert spareway("sheet", "--json", write(fits())).stdout == handle(json.dumps(request)) + "\n"


def test_markdown_has_every_section_and_the_drawings_in_words(spareway, write, fits, answers):
    shown = spareway("sheet", "--markdown", "--long", write(fits())).stdout
    sheet = reply(answers)
    assert re.findall(r"^## (.*)$", shown, re.M) == [section["title"] for section in sheet["sections"]]
    assert "<svg" not in shown
    assert "| --- | --- | --- | --- | --- | --- |" in shown
    for line in sheet["drawings"]["circuit"]["text"]:
        assert line in shown


@pytest.mark.parametrize(
    ("name", "code", "title"),
    [
        ("guest-house-geyser", 0, "Job sheet"),
        ("conservatory-homeowner", 1, "For the licensed electrician"),
        ("board-with-scorch-marks", 1, "Stop: do not work on this"),
        ("pool-pump-unknown-neutral", 2, "Job sheet: not ready"),
    ],
)
def test_the_exit_code_is_that_of_the_verdict_and_the_title_says_what_it_is(spareway, name, code, title):
    done = spareway("sheet", str(ROOT / "scenarios" / f"{name}.toml"))
    assert done.returncode == code
    assert f"<h1>{title}</h1>" in done.stdout


def test_a_file_that_cannot_be_read_gives_no_sheet(spareway, write, fits):
    done = spareway("sheet", write(fits(breaker_rating_a="sixteen")))
    assert (done.returncode, done.stdout) == (64, "")
    assert "breaker_rating_a" in done.stderr


def test_options_are_those_of_check(spareway, write, fits):
    done = spareway("sheet", "--json", "--pack", "za", "--as-of", "2026-11-26", "--confirm", "x", write(fits()))
    sheet = json.loads(done.stdout)
    assert (sheet["pack"]["id"], sheet["as_of"], sheet["replay"]["confirmed"]) == ("za", "2026-11-26", ["x"])


def test_every_worked_case_makes_a_page_that_is_whole():
    for case in scenarios.every():
        sheet = json.loads(handle(json.dumps(case.request | {"ask": "sheet"})))
        assert Page(render(sheet)).open == Page(render(sheet, short=True)).open == [], case.id

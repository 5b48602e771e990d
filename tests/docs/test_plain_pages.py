"""The plain pages: each ending says what the checker says, each link leads to a page, none is kept too long.

A page serves everybody whose answers lead to it. So each is tried with the way it was found by and with others, walked by
chance along the links themselves.
"""

from __future__ import annotations

import copy
import json
import random
from html.parser import HTMLParser
from pathlib import Path
from posixpath import normpath

import pytest

from checker.core.api import handle
from checker.dev.site import early_verdict, plain_page, plain_states
from checker.dev.site import plain_pages as plain
from checker.dev.site.check_page import ask, rule_sets

AS_OF = "2026-11-26"
PACKS = rule_sets(ask(handle, ask="describe", as_of=AS_OF)["packs"], AS_OF)
WALKS = 40
WAYS_EACH = 3  # to one ending
ENDINGS = ("stop", "call", "find-out")


class Read(HTMLParser):
    """The links of a page, its main heading, and all that it says."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.heading = ""
        self.said: list[str] = []
        self.inside = ""
        self.feed(html)
        self.text = " ".join(" ".join(self.said).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside = tag
        assert tag != "script", "a plain page runs nothing"
        if tag == "a":
            self.links.append(dict(attrs)["href"] or "")

    def handle_data(self, data: str) -> None:
        self.said.append(data)
        if self.inside == "h1":
            self.heading += data

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""


class Made:
    """The pages of one rule set, as data and as read from their HTML, with the ways to each of them."""

    def __init__(self, name: str) -> None:
        pack = PACKS[name]
        self.table = early_verdict.build(pack["id"], pack["edition"], AS_OF)
        self.walk = plain_states.walk(self.table)
        self.html = dict(plain.pages_of(handle, name, pack, self.table, AS_OF))
        self.folder = name
        chance = random.Random(name)
        self.ways = [(page, page.case) for page in self.walk.by_name.values()]
        for _ in range(WALKS):
            page, case = self.walk.by_name[self.walk.first], {}
            while page.links:
                # Mostly not "I don't know": the interesting ends lie deep.
                likely = [value for value in page.links if value != "dont-know"] * 3 + ["dont-know"]
                value = chance.choice([one for one in likely if one in page.links])
                case = {**case, page.question: value}
                page = self.walk.by_name[page.links[value]]
                if chance.random() < 0.05 if page.links else self.tried(page) < WAYS_EACH:
                    self.ways.append((page, case))

    def tried(self, page: plain_states.Page) -> int:
        return sum(1 for held, _case in self.ways if held is page)

    def read(self, page: plain_states.Page) -> Read:
        name = "index" if page.name == self.walk.first else page.name
        return Read(self.html[f"{self.folder}/{name}.html"])


@pytest.fixture(scope="module", params=PACKS)
def made(request) -> Made:
    return Made(request.param)


@pytest.mark.sampled(one_in=4, by="made")
def test_every_ending_says_what_the_checker_says_of_the_answers_that_lead_to_it(made):
    seen = set()
    for page, case in made.ways:
        if page.question:
            continue
        report = plain.report_on(handle, made.table, case, AS_OF)
        part = {"stop": "danger", "call": "who"}.get(page.headline)
        failed = [one for one in report["findings"] if one["part"] == part and one["outcome"] == "failed"]
        deciding = [one for one in failed if one["weight"] != "advice"]
        assert page.headline == report["headline"], case
        assert [one["rule"] for one in page.failed] == [one["rule"] for one in deciding], case
        read = made.read(page)
        assert read.heading == report["headline_text"]
        said = [text for one in deciding for text in (one["title"], one["message"], one["fix"]) if text]
        said += [item["text"] for section in ("cautions", "defers_to") for item in report[section]]
        assert [text for text in said if " ".join(text.split()) not in read.text] == [], case
        seen.add(page.headline)
    assert seen == set(ENDINGS)


@pytest.mark.sampled(one_in=4, by="made")
def test_every_question_is_the_one_that_the_checker_would_ask_next(made):
    asked = 0
    for page, case in made.ways:
        if page.question and (page.case is not case or len(case) % 3 == 0):
            about = {"pack": made.table["id"], "edition": made.table["edition"], "as_of": AS_OF}
            reply = ask(handle, ask="next", **about, answers=plain.typed(made.table, case))
            assert reply["question"]["id"] == page.question, case
            assert made.read(page).heading == reply["question"]["text"]
            offered = [*early_verdict.values({**reply["question"], "unanswered": None})]
            assert set(offered) - page.links.keys() == set()
            asked += 1
    assert asked > 10


def test_every_link_leads_to_a_page_and_every_page_is_led_to(made):
    led = {f"{made.folder}/index.html"}
    # What lies outside of these pages is the site's own; the browser test follows it.
    outside = {"check/", "reference/", "", "#on-the-command-line"}
    for name, html in made.html.items():
        for link in Read(html).links:
            target = normpath(f"plain/{Path(name).parent}/{link}") + ("/" if link.endswith("/") else "")
            if target in {"./", "plain/"} or target.removeprefix("./") in outside:
                continue
            target = target.removeprefix("plain/")
            led.add(f"{target}index.html" if target.endswith("/") else target)
    assert led == set(made.html)


def test_a_question_says_truly_how_many_follow_at_most(made):
    for page in made.walk.by_name.values():
        longest = max((made.walk.by_name[to].most for to in page.links.values()), default=-1) + 1
        assert page.most == longest
    assert made.walk.by_name[made.walk.first].most >= 9


def table_of(name: str) -> dict:
    return early_verdict.build(PACKS[name]["id"], PACKS[name]["edition"], AS_OF)


def pages_reached(table: dict, answers: list[str]) -> list[str]:
    found = plain_states.walk(table)
    page, names = found.by_name[found.first], []
    for answer in answers:
        names.append(page.links[answer])
        page = found.by_name[page.links[answer]]
    return names


def test_an_old_link_never_leads_to_another_verdict():
    table = table_of("iec")
    other = copy.deepcopy(table)
    rule = next(rule for rule in other["rules"] if rule["rule"] == "skilled-worker")
    rule["failures"][0]["message"] += " Said otherwise."
    way = ["whole-board", "unlicensed"]
    before, after = pages_reached(table, way), pages_reached(other, way)
    # The ending and all that leads to it have other names; a stop at once that does not depend on it keeps its own.
    assert not set(before) & set(after)
    assert pages_reached(table, ["none"]) == pages_reached(other, ["none"])


def test_a_page_that_would_say_otherwise_than_the_checker_is_not_made():
    table = table_of("iec")
    rule = next(rule for rule in table["rules"] if rule["rule"] == "skilled-worker")
    rule["part"] = "danger"  # as if it stopped everybody
    with pytest.raises(ValueError, match="the checker says 'call'"):
        dict(plain.pages_of(handle, "iec", PACKS["iec"], table, AS_OF))


def test_what_is_written_replaces_what_stood_there_and_begins_with_the_choice(tmp_path, monkeypatch):
    early_verdict.write({"iec": PACKS["iec"]}, AS_OF, tmp_path / "early-verdict")
    monkeypatch.setattr(plain, "TABLES", tmp_path / "early-verdict")
    monkeypatch.setattr(plain, "rule_sets", lambda _packs, _as_of: {"iec": PACKS["iec"]})
    (tmp_path / "plain" / "old").mkdir(parents=True)
    (tmp_path / "plain" / "old" / "page.html").write_text("old", encoding="utf-8")
    plain.write(handle, tmp_path, AS_OF)
    assert sorted(path.name for path in (tmp_path / "plain").iterdir()) == ["iec", "index.html"]
    assert "iec/" in Read((tmp_path / "plain" / "index.html").read_text(encoding="utf-8")).links


def test_texts_of_the_rules_are_text():
    table = table_of("iec")
    hostile = '<img src=x onerror="alert(1)">&amp;'
    table["questions"][0]["text"] = hostile
    drawn = plain_page.RuleSetPages(PACKS["iec"], table, json.loads(handle(json.dumps({
        "format": 1, "ask": "check", "pack": "iec", "edition": None, "as_of": AS_OF, "answers": {}, "counsel": False,
    }))))  # fmt: skip
    found = plain_states.walk(table)
    html = drawn.question(found.by_name[found.first], True)
    assert Read(html).heading == hostile
    assert "<img" not in html

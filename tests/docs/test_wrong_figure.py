"""Whoever finds a wrong figure has a text at hand that names the place, on every page that holds figures or rules."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest

from checker.core.api import handle
from tests.docs.written import written


def ask(**request) -> dict:
    return json.loads(handle(json.dumps({"format": 1, "ask": "describe", **request})))


PACKS = [ask(pack=p["id"], edition=p["edition"]) for p in ask()["packs"]]


def blocks(page: str) -> list[str]:
    return [unescape(text) for text in re.findall(r"<pre><code>(.*?)</code></pre>", written()[page], re.DOTALL)]


def test_every_page_of_a_table_has_one_that_names_pack_edition_version_table_and_axes():
    seen = 0
    for name in (name for name in written() if "/tables/" in name):
        (text,) = blocks(name)
        assert f"Table: {name.rpartition('/')[2].removesuffix('.md')} (" in text
        assert re.search(r"^Rule set: \w+, edition \S+, version [\d.]+$", text, re.M), name
        assert re.search(r"^Cell: (\w+ = (, )?)+$", text, re.M), name
        seen += 1
    assert seen > 100


@pytest.mark.parametrize("page", ["rules", "schedule"])
def test_every_rule_has_one_with_its_clause_and_what_it_requires(page):
    for held in PACKS:
        of = held if page == "rules" else held["plan"]
        newest = max((p["pack"] for p in PACKS if p["pack"]["id"] == held["pack"]["id"]), key=lambda p: p["valid_from"])
        if newest["edition"] != held["pack"]["edition"]:
            continue
        text = "\n".join(blocks(f"{held['pack']['id']}/{page}.md"))
        assert f"edition {held['pack']['edition']}, version {held['pack']['version']}" in text
        for rule in of["rules"]:
            assert f"Rule: {rule['id']} (" in text
            assert f"Clause: {rule['source']}, {rule['clause']}" in text
            assert f"requires {rule['requires']}" in text


def test_each_asks_for_what_only_the_reader_can_say_and_sends_nothing_by_itself():
    for name in (n for n in written() if re.search(r"(/tables/|/rules\.md|/figures\.md)", n)):
        assert "<form" not in written()[name]
        assert "mailto:" not in written()[name]
        for text in blocks(name):
            assert text.splitlines()[-3:-1] == ["It should say:", "My copy (title, edition, page):"], name

"""The first screen, as HTML made at build time."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest

from checker.core.api import handle
from checker.dev.site import check_page as checkpage

DAY = "2026-11-25"


def pack(name: str, valid_from: str = "2020-01-01", valid_until: str | None = None) -> dict:
    return {"id": name, "title": name.upper(), "edition": "1", "version": "2026.11", "valid_from": valid_from,
            "valid_until": valid_until, "preview": None}  # fmt: skip


def reply(text: str = "Is it so?") -> dict:
    return {"question": {"id": "so", "text": text}, "settled": {}, "remaining": {"at_most": 3}, "as_of": DAY}


def data_of(html: str) -> dict:
    return json.loads(re.search(r'id="sw-first">(.*?)</script>', html, re.DOTALL)[1])


def test_the_real_rule_sets_can_all_be_chosen_and_carry_their_own_first_question():
    html = checkpage.build(handle, DAY)
    listed = json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]
    offered = re.findall(r'name="pack" value="([^"]+)"', html)
    assert {name.partition("@")[0] for name in offered} == {pack["id"] for pack in listed}
    assert len(offered) == len(listed)
    for name, held in data_of(html).items():
        pack_id, _, edition = name.partition("@")
        asked = {"format": 1, "ask": "next", "pack": pack_id, "edition": edition or None, "as_of": DAY, "answers": {}}
        assert held["question"] == json.loads(handle(json.dumps(asked)))["question"]


def test_the_day_of_the_build_is_not_in_the_page():
    assert DAY not in checkpage.build(handle, DAY)


def test_of_two_editions_the_one_in_force_is_offered():
    packs = [pack("a", "2020-01-01", "2026-12-31"), pack("a", "2027-01-01"), pack("b")]
    assert checkpage.packs_in_force(packs, DAY) == [packs[0], packs[2]]
    assert checkpage.packs_in_force(packs, "2027-01-01") == [packs[1], packs[2]]


def test_the_other_edition_can_be_chosen_by_name_and_stands_apart():
    packs = checkpage.rule_sets(
        [pack("a", "2020-01-01", "2025-12-31"), pack("a", "2026-01-01") | {"edition": "2"}], DAY
    )
    assert list(packs) == ["a", "a@1"]
    html = checkpage.first_screen(packs, {name: reply() for name in packs})
    assert html.index('value="a"') < html.index("Another edition") < html.index('value="a@1"')


def test_no_rule_set_in_force_is_a_fault():
    with pytest.raises(ValueError, match="no rule set is in force"):
        checkpage.packs_in_force([pack("a", "2030-01-01")], DAY)


def test_a_rule_set_that_asks_nothing_is_a_fault():
    with pytest.raises(ValueError, match="no first question"):
        checkpage.first_screen({"a": pack("a")}, {"a": {"question": None}})


def test_an_error_of_the_core_is_a_fault():
    with pytest.raises(ValueError, match="no such thing"):
        checkpage.ask(lambda _: '{"error": {"what": "no such thing"}}', ask="describe")


@pytest.mark.parametrize("text", ["</script><b>", "<!-- <script>", "a & b", "«ohm» {{ braces }} {# more #}"])
def test_no_text_of_a_rule_can_break_out_of_the_page(text):
    html = checkpage.first_screen({"a": pack("a")}, {"a": reply(text)})
    assert data_of(html)["a"]["question"]["text"] == text
    inside = re.search(r'id="sw-first">(.*?)</script>', html, re.DOTALL)[1]
    assert not set("<>&") & set(inside)


def test_a_title_is_text_not_markup():
    html = checkpage.first_screen({"a": {**pack("a"), "title": '<i>"x"</i>'}}, {"a": reply()})
    label = re.search(r'<span class="sw-label">([^<]*)</span>', html)[1]
    assert unescape(label) == '<i>"x"</i>'
    assert not set('<>"') & set(label)


def test_a_text_that_the_template_would_read_as_its_own_is_a_fault():
    with pytest.raises(ValueError, match="page template"):
        checkpage.first_screen({"a": pack("a")}, {"a": reply("{% endraw %}")})

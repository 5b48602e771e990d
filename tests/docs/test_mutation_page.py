"""The page of mistakes in the data says what the record of the last whole run holds."""

from __future__ import annotations

import pytest

from checker.dev.site.mutation_page import CLASSES, NOTICED_BY, recorded, render

PACKS = recorded()["packs"]
ENTRY = {
    "class": "practice", "weight": "practice", "kind": "rule", "item": "no-draught", "status": "practice", "why": "", "count": 2,
    "which": ["applies: and -> or", "weight practice -> advice"],
}  # fmt: skip
RECORD = {
    "date": "2026-11-30",
    "commit": "0123456789",
    "packs": [{"pack": "xx", "edition": "1", "made": 10, "killed": {"case": 8}, "unnoticed": [ENTRY]}],
}


@pytest.mark.parametrize("pack", PACKS, ids=lambda pack: f"{pack['pack']}@{pack['edition']}")
def test_what_was_noticed_and_what_was_not_is_all_that_was_made(pack):
    assert sum(pack["killed"].values()) + sum(entry["count"] for entry in pack["unnoticed"]) == pack["made"]


def test_the_page_has_words_for_everybody_who_noticed_and_every_reason_why_nobody_did():
    assert {who for pack in PACKS for who in pack["killed"]} <= set(NOTICED_BY)
    assert {entry["class"] for pack in PACKS for entry in pack["unnoticed"]} <= set(CLASSES)


def test_the_summary_counts():
    assert "**10 mistakes were made. 8 were noticed (80 %). 2 were not." in render(RECORD)


def test_what_nobody_notices_is_named():
    assert "| rule `no-draught` |" in render(RECORD)


def test_a_mistake_in_the_law_is_counted_in_the_summary():
    entry = ENTRY | {"class": "law", "weight": "law"}
    held = RECORD | {"packs": [RECORD["packs"][0] | {"unnoticed": [entry]}]}
    assert "2 matter to a rule of law or of a standard" in render(held)

"""The page of the hazard log: every hazard once, with links that lead somewhere, and in every rule set's page of rules."""

from __future__ import annotations

import re

import pytest

from checker.dev.rulebook.hazards import every, local
from checker.dev.rulebook.resolve import region_folders
from checker.dev.site.hazard_page import NAME, STEPS
from tests.docs.written import written

LISTED = [(folder.pack, item) for _, folder, item in every(region_folders())]
HAZARDS = {item.id for _, item in LISTED}


def page() -> str:
    return written()[NAME]


def entry(hazard: str) -> str:
    return page().partition(f"{{ #{hazard} }}")[2].partition("\n##")[0]


def test_every_hazard_has_one_place():
    anchors = re.findall(r"\{ #([a-z0-9-]+) \}", page())
    assert sorted(anchors) == sorted([*HAZARDS, *STEPS])


def test_the_links_lead_to_rules_that_are_there():
    links = set(re.findall(r"\]\(([a-z0-9-]+/(?:rules|schedule)\.md)#([a-z0-9-]+)\)", page()))
    assert links
    for target, anchor in links:
        assert f"{{ #{anchor} }}" in written()[target], (target, anchor)


@pytest.mark.parametrize("pack", ["iec", "gb", "us"])
def test_the_page_of_rules_says_from_what_a_rule_protects(pack):
    rules = written()[f"{pack}/rules.md"]
    for held, item in LISTED:
        if held["id"] == pack and local(item, pack)["caught_by"]:
            assert f"../{NAME}#{item.id})" in rules + written()[f"{pack}/schedule.md"], item.id


def test_where_a_pack_puts_it_otherwise_the_page_says_so():
    item = next(item for _, item in LISTED if item.id == "shared-neutral")
    assert local(item, "us")["caught_by"] != local(item, "iec")["caught_by"]
    assert "Caught in `us` by" in entry("shared-neutral")


def test_where_it_cannot_happen_the_page_says_why():
    assert "Not in `us`: " in entry("fuse-opens-too-late")


def test_it_says_what_the_text_says():
    assert "Told by `cautions/nicked-strand`: A nicked or cut strand" in entry("nicked-wire")

"""What a reader of one region is shown names nothing of another: codes, trade words and units.

Every reply to the worked cases of a region is read, its schedule and its job sheet among them; keys, ids and drawings are
left out. Which words belong to which region is common practice, no source.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from checker.dev.rulebook.rulefiles import RULES
from tests.core import asking

AMERICAN = (
    r"\bNEC\b|NFPA|National Electrical Code|\bOSHA\b|\bAWG\b|\bGFCI\b|\bfeet\b(?! let)|\bft\b|\binch(es)?\b"
    r"|receptacle|aluminum|lb-in"
)
LOCAL_BOARD = r"\b(?:distribution boards?|(?:the|this|a|closed|whole) boards?)\b"
FOREIGN = {
    "gb": rf"{AMERICAN}|switchboard|geyser|earth leakage|{LOCAL_BOARD}|licensed electrician",
    "za": rf"{AMERICAN}|switchboard|consumer unit|safety switch|{LOCAL_BOARD}|\bRCDs?\b|water heater|licensed (?:electrician|person)",
    "au": rf"{AMERICAN}|consumer unit|geyser|earth leakage|{LOCAL_BOARD}",
    "nz": rf"{AMERICAN}|consumer unit|geyser|earth leakage|{LOCAL_BOARD}|licensed electrician",
    "us": r"consumer unit|switchboard|geyser|earth leakage|safety switch|distribution board|socket-outlet|aluminium",
}
# Where a local word is named to explain it, or to say what it is called elsewhere.
MEANT = {
    "gb": ("Zdb at a distribution board",),
    "za": ("Elsewhere it is called an RCD", "DB (distribution board)"),
    "au": ("from a distribution board, whose neutral",),
    "nz": ("from a distribution board, whose neutral",),
}
# A source keeps the name it was printed under
# (test_a_south_african_source says what it is called there), and a label in the sheet's `State of the board` is base's.
SKIPPED = (
    "id",
    "rule",
    "rules",
    "because",
    "svg",
    "sources",
    "cells",
    "left",
    "right",
    "sha256",
    "engine",
)


def read(value: Any) -> Iterator[str]:
    """Every sentence in a reply."""
    if isinstance(value, str):
        if " " in value and not value.lstrip().startswith("{"):
            yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            if key not in SKIPPED:
                yield from read(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from read(inner)


def asked(case: scenarios.Scenario, *asks: str) -> Iterator[Any]:
    for ask in asks:
        yield json.loads(handle(json.dumps({**case.request, "ask": ask})))


def sentences(pack: str) -> set[str]:
    found: set[str] = set()
    for case in scenarios.every():
        if case.request["pack"] == pack:
            for reply in asked(case, "check", "sheet"):
                assert "error" not in reply, case.id
                found |= set(read(reply))
    described = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))
    for question in described["questions"]:
        found |= set(read({key: question.get(key, "") for key in ("text", "help", "why", "find_out", "choices")}))
    return found


@pytest.mark.parametrize("pack", sorted(FOREIGN))
def test_nothing_shown_is_another_regions(pack):
    said = {text for text in sentences(pack) if text != "State of the board"}
    assert len(said) > 500, "the cases of the region are read"
    wrong = []
    for text in sorted(said):
        bare = text
        for meant in MEANT.get(pack, ()):
            bare = bare.replace(meant, "")
        if found := re.search(FOREIGN[pack], bare):
            wrong.append((found[0], text))
    assert wrong == []


def test_a_south_african_source_names_no_american_code():
    described = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": "za"})))
    titles = {source["id"]: source["title"] for source in described["sources"]}
    assert [name for name, title in titles.items() if re.search(AMERICAN, title)] == []
    assert "another country" in titles["nfpa-70"], "where the figure comes from is still said"


def test_inches_to_strip_are_the_millimetres_of_the_pack():
    """1 in is 25.4 mm by definition (international yard and pound agreement, 1959; from memory)."""
    phrase = tomllib.loads((RULES / "us" / "phrases.toml").read_text("utf-8"))["phrases"]["sheet.strip"]
    over, under = map(int, re.search(r"(\d+)/(\d+) in", phrase).groups())
    described = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": "us"})))
    printed = next(one["value"] for one in described["parameters"] if one["id"] == "strip_length_mm")
    assert abs(over / under * 25.4 - float(printed)) < 0.5


@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize(
    ("answers", "wet"), [({"location": "bathroom"}, True), ({"location": "pool"}, True), ({}, False)]
)
def test_a_wet_room_is_told_that_its_zones_are_not_checked(pack, answers, wet):
    report = asking.ask(asking.sound(pack) | answers, pack)
    assert any("zone" in item["text"] for item in report["not_checked"]) == wet

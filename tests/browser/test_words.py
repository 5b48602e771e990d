"""The page has words of its own for what the core names by id. None may be missing."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from checker.core.api import handle
from checker.core.findings import ORDER
from checker.core.quantities import QUANTITIES
from checker.core.verdict import HEADLINES

WEB = Path(__file__).resolve().parents[2] / "checker" / "web" / "spareway"
WORDS = (WEB / "words.mjs").read_text(encoding="utf-8")
PACKS = [pack["id"] for pack in json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]]


def keys(table: str) -> set[str]:
    """The keys of `const <table> = {...}`."""
    body = re.search(rf"const {table} = \{{(.*?)\}};", WORDS, re.DOTALL)[1]
    return {bare or quoted for quoted, bare in re.findall(r'(?:"([^"]*)"|([\w]+)):\s', body)}


def test_every_quantity_has_a_name():
    assert set(QUANTITIES) - keys("QUANTITIES") == set()


def test_every_relation_and_headline_has_a_word():
    assert set(ORDER) - keys("RELATIONS") == set()
    assert set(HEADLINES) - keys("HEADLINES") == set()


@pytest.mark.parametrize("pack", PACKS)
def test_every_unit_status_and_weight_of_a_rule_set_has_a_word(pack):
    held = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))
    units = {thing["unit"] or "" for kind in ("questions", "parameters", "tables") for thing in held[kind]}
    units |= {quantity.unit for quantity in QUANTITIES.values()}
    figures = [*held["rules"], *held["parameters"], *(cell for table in held["tables"] for cell in table["cells"])]
    assert units - keys("UNITS") == set()
    assert {figure["status"] for figure in figures} - keys("STATUSES") == set()
    assert {rule["weight"] for rule in held["rules"]} - keys("WEIGHTS") == set()


def test_no_verdict_is_called_by_the_forbidden_word():
    texts = [path.read_text(encoding="utf-8") for path in WEB.iterdir()]
    assert texts
    assert not [text for text in texts if re.search(r"\bsafe", text, re.IGNORECASE)]


def test_scripts_stay_readable_and_set_text_as_text_only():
    for path in WEB.glob("*.mjs"):
        text = path.read_text(encoding="utf-8")
        assert text.count("\n") < 250, path.name
        assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function", text), (
            path.name
        )

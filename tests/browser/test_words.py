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
from checker.dev.site import templates

WEB = Path(__file__).resolve().parents[2] / "checker" / "web" / "spareway"
MESSAGES = WEB / "messages" / "en.mjs"
SCRIPTS = "\n".join(path.read_text(encoding="utf-8") for path in WEB.glob("*.mjs"))
PACKS = [pack["id"] for pack in json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]]
# What is made at build time takes its words from the same file.
SITE = Path(templates.__file__).parent
MADE = "\n".join(path.read_text(encoding="utf-8") for path in (*SITE.rglob("*.html"), *SITE.glob("*.py")))
# Groups of messages whose last part is an id of the core, or one of a few forms; the script builds those keys.
BUILT = (
    "boot",
    "day",
    "headline",
    "moment",
    "outcome",
    "planned.stays",
    "quantity",
    "relation",
    "status",
    "unit",
    "weight",
    "who",
)


def messages() -> dict[str, str]:
    """The messages: one a line, each line JSON."""
    lines = [line for line in MESSAGES.read_text(encoding="utf-8").splitlines() if line.startswith('  "')]
    pairs = [json.loads("{" + line.rstrip(",") + "}").popitem() for line in lines]
    assert len(pairs) == len(dict(pairs)), "a key comes twice"
    return dict(pairs)


ENGLISH = messages()


def keys(group: str) -> set[str]:
    return {key.removeprefix(f"{group}.") for key in ENGLISH if key.startswith(f"{group}.")}


def test_every_quantity_has_a_name():
    assert set(QUANTITIES) - keys("quantity") == set()


def test_every_relation_and_headline_has_a_word():
    assert set(ORDER) - keys("relation") == set()
    assert set(HEADLINES) - keys("headline") == set()


def test_a_number_with_a_plural_behind_it_has_a_singular_too():
    """`{n} questions` is wrong where n is 1: such a message needs `.one` and `.many`, and `.one` says no plural."""
    counted = {key for key in ENGLISH if re.search(r"\{n\} (?:more )?[a-z]+s\b", ENGLISH[key])}
    assert counted
    assert {key for key in counted if not key.endswith(".many")} == set()
    single = [ENGLISH[key] for key in ENGLISH if key.endswith(".one") and f"{key[:-4]}.many" in ENGLISH]
    assert len(single) == len([key for key in ENGLISH if key.endswith(".many")])
    assert [text for text in single if re.search(r"\b(?:1|one) (?:more )?[a-z]+s\b", text, re.IGNORECASE)] == []


def test_no_message_is_missing_and_none_is_left_over():
    plural = {f"{key}.{form}" for key in re.findall(r'\btn\("([^"]+)"', SCRIPTS) for form in ("one", "many")}
    used = set(re.findall(r'\btx?\("([^"]+)"', SCRIPTS)) | plural | set(re.findall(r'words\["([^"]+)"\]', MADE, re.I))
    used |= {word for word in re.findall(r'"([a-z]+\.[a-z0-9.-]+)"', SCRIPTS) if word in ENGLISH}
    assert used - ENGLISH.keys() == set()
    assert {key for key in ENGLISH.keys() - used if not key.startswith(tuple(f"{group}." for group in BUILT))} == set()


@pytest.mark.parametrize("pack", PACKS)
def test_every_unit_status_and_weight_of_a_rule_set_has_a_word(pack):
    held = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))
    signs = set(re.findall(r'(?:"([^"]*)"|(\w+)): "', re.search(r"SIGNS = \{(.*?)\};", SCRIPTS, re.DOTALL)[1]))
    signs = {quoted or bare for quoted, bare in signs}
    units = {thing["unit"] or "" for kind in ("questions", "parameters", "tables") for thing in held[kind]}
    units |= {quantity.unit for quantity in QUANTITIES.values()}
    figures = [*held["rules"], *held["parameters"], *(cell for table in held["tables"] for cell in table["cells"])]
    assert units - signs == set()
    assert {figure["status"] for figure in figures} - keys("status") == set()
    assert {rule["weight"] for rule in held["rules"]} - keys("weight") == set()


def test_no_verdict_is_called_by_the_forbidden_word():
    texts = [path.read_text(encoding="utf-8") for path in WEB.rglob("*.*")]
    assert texts
    assert not [text for text in texts if re.search(r"\bsafe", text, re.IGNORECASE)]


def test_scripts_stay_readable_and_set_text_as_text_only():
    for path in WEB.glob("*.mjs"):
        text = path.read_text(encoding="utf-8")
        assert text.count("\n") < 250, path.name
        assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function", text), (
            path.name
        )

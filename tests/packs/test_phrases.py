"""Every sentence the core asks a pack for is there: a missing one would turn a verdict into a fault."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from checker.core.values import ReasonKind
from checker.core.verdict import HEADLINES
from tests.core import asking

CORE = Path(__file__).parents[2] / "checker" / "core"
WHO = ("stop", "licensed-only", "supervised", "permitted")
SIZING = ("change", "find-out", "fits")


def looked_up() -> set[str]:
    """The keys of `phrases[...]` in the core; one made of parts is cut at its first hole."""
    found = set()
    for path in CORE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Subscript) and ast.unparse(node.value).endswith("phrases"):
                found |= set(re.findall(r"""['"]([a-z]+\.[a-z-]*)""", ast.unparse(node.slice)))
    return found


REASONS = {kind.value for kind in ReasonKind} - {"tried"}  # an answer that is only tried is never told


@pytest.mark.parametrize("pack", asking.PACKS)
def test_every_phrase_is_there(pack):
    phrases = asking.contents()[pack]["phrases"]
    needed = (
        {f"{kind}.{name}" for kind in ("headline", "planned") for name in HEADLINES}
        | {f"who.{name}" for name in WHO}
        | {f"{kind}.{name}" for kind in ("sizing", "schedule") for name in SIZING}
    )
    needed |= {f"reason.{kind}" for kind in REASONS} | {f"how.{kind}" for kind in ("no-cell", "confirm", "conflict")}
    needed |= {f"finding.any-answer-{outcome}" for outcome in ("passed", "failed")}
    needed |= {key for key in looked_up() if not key.endswith((".", "-"))}
    assert needed - set(phrases) == set()


def test_the_search_finds_what_the_core_looks_up():
    assert {"value.unknown", "value.yes", "finding.not-applicable", "reason."} <= looked_up()


@pytest.mark.parametrize("pack", asking.PACKS)
def test_the_holes_of_a_phrase_can_be_filled(pack):
    """Some kinds of phrase have holes of their own; anything else is a word of the pack."""
    content = asking.contents()[pack]
    of_kind = {
        "reason": {"it", "place", "status"},
        "edition": {"edition", "as_of", "valid_from", "valid_until", "others", "review_by"},
        "value": {"it", "low", "high"},
        "finding": {"it"},
        "change": {"it"},
        "flip": {"it", "now", "holds", "breaks", "before", "then"},
        "how": {"it"},
    }
    for key, text in content["phrases"].items():
        own = of_kind.get(key.partition(".")[0], set())
        if key.startswith("sheet."):  # what the sheet counts: a region may leave it out, but not invent more
            own = set(re.findall(r"\{(\w+)\}", asking.contents()["iec"]["phrases"][key]))
        assert set(re.findall(r"\{(\w+)\}", text)) <= own | set(content["words"]), key


@pytest.mark.parametrize("pack", asking.PACKS)
def test_no_report_shows_a_hole(pack):
    """Whatever the answers are, no brace is left in a text of the report."""
    for changes in (
        {},
        dict.fromkeys(asking.sound(pack), "dont-know"),
        {"worker": "unlicensed"},
        {"breaker_rating_a": 40, "rcd": "none"},
    ):
        report = asking.ask(asking.sound(pack) | changes, pack, counsel=True)
        texts = [report["headline_text"], report["who"]["text"], report["sizing"]["text"]]
        texts += [
            entry["text"]
            for key in (
                "find_out",
                "changes",
                "flips",
                "steps",
                "tests",
                "connections",
                "cautions",
                "defers_to",
                "not_checked",
            )
            for entry in report[key]
        ]
        texts += [reason["text"] for finding in report["findings"] for reason in finding["reasons"]]
        texts += [finding["title"] for finding in report["findings"]]
        assert not [text for text in texts if "{" in text or "}" in text or not text.strip()]
        assert report["cautions"]
        assert report["defers_to"]
        assert report["not_checked"]

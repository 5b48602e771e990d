"""The published examples, gathered from the files of scenarios/published."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

from checker.dev.cases.published import untold
from tests.trade import judging

FOLDER = Path(__file__).parents[2] / "scenarios" / "published"


def gathered() -> dict[str, Any]:
    """All files in one: lists are joined, every other section stands in one file only."""
    held: dict[str, Any] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for name, part in tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal).items():
            if isinstance(part, list):
                held.setdefault(name, []).extend(part)
            else:
                assert name not in held, f"{name} stands in two files"
                held[name] = part
    return held


HELD = gathered()
EXAMPLES: list[dict[str, Any]] = HELD["example"]
WRONG: list[dict[str, Any]] = HELD["wrong"]
LENGTHS: list[dict[str, Any]] = HELD["lengths"]


def check(pack: str, answers: dict[str, Any], **how: Any) -> dict[str, Any]:
    """The report for an example, with what it leaves to its reader."""
    return judging.check(pack, untold(pack) | answers, **how)


def judged(example: dict[str, Any], **changed: Any) -> dict[str, Any]:
    """The report for an example. Nothing is confirmed: what others print has to follow from figures that stand."""
    return check(example.get("pack", "iec"), example["answers"] | changed, confirmed=False)

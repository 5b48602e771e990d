"""Second transcriptions of the tables: how many cells have one, and how many of them agree.

The copies stand in `rules/<pack>/second/`; a test holds every cell. Here the same comparison is made once more, so that the
pages can say how far a rule set was typed twice.
"""

from __future__ import annotations

import csv
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from checker.dev.rulebook.rulefiles import RULES

Key = tuple[str | Decimal, ...]


class Agreement(NamedTuple):
    """Cells of one table: all, those of which there is a second copy, and how these compare."""

    table: str
    cells: int
    copied: int
    agree: int
    settled: int


def agrees(shipped: Decimal | str, row: dict[str, Any]) -> bool:
    """Whether a printed figure is the shipped one, as far as the printed rounding lets us see."""
    if row["printed"] == "truncated":
        return int(shipped) == row["value"]
    if row["printed"] == "rounded-up":
        return Decimal(0) <= row["value"] - shipped <= Decimal("0.01")
    if row["printed"] != "exact":
        raise ValueError(f"unknown word {row['printed']!r} in the column `printed`")
    return row["value"] == shipped


def copies(pack: str, table: str) -> dict[Key, list[dict[str, Any]]]:
    """The printed figures of a second transcription by the keys of the cell; empty when there is none."""
    path = RULES / pack / "second" / f"{table}.csv"
    found: dict[Key, list[dict[str, Any]]] = {}
    if path.exists():
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                names = list(row)
                key = tuple(number(row[name]) for name in names[: names.index("value")])
                found.setdefault(key, []).append({**row, "value": number(row["value"])})
    return found


def number(text: str) -> str | Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return text


def agreements(held: dict[str, Any], base: dict[str, Any]) -> list[Agreement]:
    """One line a table of `held`, the reply to `describe` of a pack; `base` is that of the baseline.

    A cell that repeats the figure of base, in a table of the region's own, counts with the copies of base.
    """
    below = {table["id"]: _cells(table) for table in base["tables"]}
    found = []
    for table in held["tables"]:
        shipped, of_base = _cells(table), copies("base", table["id"])
        own = {} if table["origin"] == "base" else copies(held["pack"]["id"], table["id"])
        agree = settled = copied = 0
        for key, cell in shipped.items():
            same = below.get(table["id"], {}).get(key, {}).get("value") == cell["value"]
            rows = own.get(key) or (of_base.get(key, []) if same else [])
            if rows:
                copied += 1
                agreeing = all(agrees(number(cell["value"]), row) for row in rows)
                agree += agreeing
                settled += not agreeing and "Settled" in cell["note"]
        found.append(Agreement(table["id"], len(shipped), copied, agree, settled))
    return found


def _cells(table: dict[str, Any]) -> dict[Key, dict[str, Any]]:
    return {tuple(number(key) for key in cell["keys"]): cell for cell in table["cells"]}

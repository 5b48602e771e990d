"""Rule tables and their second copies, read straight from the CSV files: nothing here depends on the compiler."""

from __future__ import annotations

import csv
from decimal import Decimal, InvalidOperation
from pathlib import Path

import pytest

from tests.core import asking

ROOT = Path(__file__).parents[2]
RULES = ROOT / "rules"


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _key(row: dict[str, str]) -> tuple[str | Decimal, ...]:
    """The values of the axes (every column before `value`), numbers as numbers."""
    names = list(row)
    return tuple(_number(row[name]) for name in names[: names.index("value")])


def _number(text: str) -> str | Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return text


@pytest.fixture
def cells():
    """cells(pack, table): the shipped cells by key, each with `value` (a Decimal, or a word)."""

    def read(pack: str, table: str) -> dict[tuple, dict]:
        rows = _rows(RULES / pack / "tables" / f"{table}.csv")
        found = {_key(row): {**row, "value": _number(row["value"])} for row in rows}
        assert len(found) == len(rows), f"{pack}/{table}: two rows have the same key"
        return found

    return read


@pytest.fixture
def held(cells):
    """held(pack, table): as `cells`, with the lower bounds that the build works out for what is not there."""

    def read(pack: str, table: str) -> dict[tuple, dict]:
        (made,) = (made for made in asking.contents()[{"base": "iec"}.get(pack, pack)]["tables"] if made["id"] == table)
        bounds = {
            tuple(map(_number, cell["keys"])): {**cell, "value": _number(cell["value"])}
            for cell in made["cells"]
            if "most" in cell
        }
        return {**cells(pack, table), **bounds}

    return read


@pytest.fixture
def second():
    """second(pack, table): the printed figures of the second transcription by key; empty when there is none."""

    def read(pack: str, table: str) -> dict[tuple, list[dict]]:
        path = RULES / pack / "second" / f"{table}.csv"
        found: dict[tuple, list[dict]] = {}
        for row in _rows(path) if path.exists() else []:
            found.setdefault(_key(row), []).append({**row, "value": _number(row["value"])})
        return found

    return read


@pytest.fixture
def places() -> dict[str, dict[str, str]]:
    """Printed places by their id in `sources.toml`."""
    return {row["place"]: row for row in _rows(RULES / "base" / "second" / "places.csv")}


@pytest.fixture
def annex_d() -> dict[tuple, tuple[float, float]]:
    """Coefficient and exponent by (insulation, method, loaded conductors)."""
    return {
        (row["cable_insulation"], row["method"], row["loaded_conductors"]): (
            float(row["coefficient"]),
            float(row["exponent"]),
        )
        for row in _rows(RULES / "base" / "second" / "annex-d.csv")
    }

"""Every shipped figure against a transcription made without sight of it (folder `second`, see its README)."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

RULES = Path(__file__).parents[2] / "rules"
TABLES = sorted((path.parts[-3], path.stem) for path in RULES.glob("*/tables/*.csv"))

# Tables whose every cell must have a second copy.
COMPLETE = ("cable-current", "link-current", "ambient-factor", "grouping-factor")
# Tables nobody has transcribed a second time, and why that was let be. Cells of mere practice need no second copy: nothing prints them.
NO_SECOND_COPY = {
    ("base", "breaker-ratings"): "a list of standard ratings, each seen in the places its cell names",
    ("base", "motor-current"): "typical figures: both published charts are in the cells and their notes",
    ("za", "breaker-ratings"): "the list of base, and older ratings found in use",
}


def agrees(shipped: Decimal | str, row: dict) -> bool:
    """Whether a printed figure is the shipped one, as far as the printed rounding lets us see."""
    if row["printed"] == "truncated":
        return int(shipped) == row["value"]
    if row["printed"] == "rounded-up":
        return Decimal(0) <= row["value"] - shipped <= Decimal("0.01")
    assert row["printed"] == "exact", f"unknown word {row['printed']!r} in column `printed`"
    return row["value"] == shipped


def judge(cell: dict, copies: list[dict]) -> str:
    """`agrees`, `settled` (copies differ and the lowest is shipped, with a note), `conflict`, or `wrong`."""
    if all(agrees(cell["value"], row) for row in copies):
        return "agrees"
    if cell["status"] == "conflict":
        return "conflict"
    if "Settled" in cell["note"] and cell["value"] == min(row["value"] for row in copies):
        return "settled"
    return "wrong"


def copies_of(second, pack: str, table: str) -> dict:
    """A region's own second copy, and base's for the cells it does not hold."""
    return {**second("base", table), **second(pack, table)}


@pytest.mark.parametrize(("pack", "table"), TABLES)
def test_shipped_cells_agree_with_the_second_transcription(pack, table, cells, second, capsys):
    shipped, copies = cells(pack, table), copies_of(second, pack, table)
    if (pack, table) in NO_SECOND_COPY:
        assert not second(pack, table), "there is a second copy now: take the table off the list"
        return
    found = {key: judge(cell, copies[key]) for key, cell in shipped.items() if key in copies}
    missing = {key for key, cell in shipped.items() if key not in found and cell["status"] != "practice"}
    count = {word: list(found.values()).count(word) for word in ("agrees", "settled", "conflict")}
    with capsys.disabled():
        print(
            f"\n{pack}/{table}: {len(found)} of {len(shipped)} cells have a second copy; {count['agrees']} agree"
            f" ({count['agrees'] / max(len(found), 1):.1%}), {count['settled']} settled to the lower, {count['conflict']} in conflict"
        )
    assert [(key, shipped[key]["value"], copies[key]) for key, word in found.items() if word == "wrong"] == []
    assert not missing, f"no second copy for {sorted(map(str, missing))}"


@pytest.mark.parametrize(("pack", "table"), TABLES)
def test_every_second_copy_stands_for_a_shipped_cell(pack, table, cells, second):
    """A cell that was transcribed twice must not drop out of the shipped table."""
    assert set(second(pack, table)) <= set(cells(pack, table))


@pytest.mark.parametrize("pack", sorted({pack for pack, _ in TABLES}))
def test_the_tables_that_limit_current_are_covered_whole(pack, cells, second):
    for table in COMPLETE:
        if (pack, table) in TABLES:
            assert set(cells(pack, table)) <= set(copies_of(second, pack, table)), table


def test_a_slipped_digit_would_be_noticed(cells, second):
    """Any cell of any compared table, moved by half an ampere or one hundredth, must be called wrong."""
    for pack, table in TABLES:
        copies = copies_of(second, pack, table)
        for key, cell in cells(pack, table).items():
            if key in copies and isinstance(cell["value"], Decimal):
                step = Decimal("0.5") if table.endswith("-current") else Decimal("0.01")
                for value in (cell["value"] + step, cell["value"] - step):
                    slipped = {**cell, "value": value, "status": "two-sources"}
                    assert judge(slipped, copies[key]) == "wrong", (pack, table, key)

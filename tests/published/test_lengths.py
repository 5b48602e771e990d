"""Published tables of the longest length on which a breaker still opens at once, cell by cell.

Our loop limit, put through the source's own law, has to give the printed metres. Our own length, which counts another
resistance or another trip current, has to stand to the printed one as the file says, and the file says why.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest

from tests.published.held import LENGTHS, check

MULTIPLES = {"B": 5, "C": 10, "D": 20}  # IEC 60898-1: opens at once at these multiples of its rating
LEFT = Decimal("0.8")  # of the voltage is left at the board: both sources say so

CELLS = [
    (table, row["size"], rating, printed)
    for table in LENGTHS
    for row in table["row"]
    for rating, printed in zip(table["rating_a"], row["printed"], strict=True)
    if printed != "-"
]
MISPRINTS = [cell for cell in CELLS if [cell[1], cell[2]] in cell[0].get("misprints", [])]
PLAIN = [cell for cell in CELLS if cell not in MISPRINTS]


def cells(which: list[tuple[Any, ...]]) -> pytest.MarkDecorator:
    names = [f"{table['curve']}{rating}-{size}" for table, size, rating, _ in which]
    return pytest.mark.parametrize(("table", "size", "rating", "printed"), which, ids=names)


def figure(table: dict[str, Any], size: str, rating: int, name: str, **more: Any) -> Decimal:
    answers = {
        "supply_voltage_v": 230,
        "supply_system": "tn-s",
        "breaker_kind": "breaker",
        "breaker_curve": table["curve"],
        "breaker_rating_a": rating,
        "conductor_metal": "copper",
        "cable_insulation": "pvc",
        "cable_size": size,
        "protective_size": size,
    }
    return Decimal(check("iec", answers | more, confirmed=False)["quantities"][name]["exact"])


def by_the_law_of_the_source(table: dict[str, Any], size: str, rating: int) -> Decimal:
    limit = figure(table, size, rating, "loop_limit_ohm") * MULTIPLES[table["curve"]] / table["trip"]
    return LEFT * limit * Decimal(size.removesuffix(" mm2")) / (2 * Decimal(table["rho"]))


@cells(PLAIN)
def test_our_loop_limit_gives_the_published_length(table: dict[str, Any], size: str, rating: int, printed: str) -> None:
    assert by_the_law_of_the_source(table, size, rating).quantize(Decimal(1), ROUND_HALF_UP) == Decimal(printed)


@cells(MISPRINTS)
def test_misprinted_length_is_not_ours(table: dict[str, Any], size: str, rating: int, printed: str) -> None:
    """Longer at 20 A than at 16 A cannot be."""
    assert by_the_law_of_the_source(table, size, rating) < Decimal("0.75") * Decimal(printed)
    row = next(row for row in table["row"] if row["size"] == size)
    smaller = row["printed"][table["rating_a"].index(rating) - 1]
    assert Decimal(printed) > Decimal(smaller)


@cells(PLAIN)
def test_our_own_length_differs_by_the_reason_given(
    table: dict[str, Any], size: str, rating: int, printed: str
) -> None:
    limit = figure(table, size, rating, "loop_limit_ohm")
    outside = {"external_impedance_ohm": str(round((1 - LEFT) * limit, 6))}
    ours = figure(table, size, rating, "longest_fault_run_m", **outside)
    low, high = map(Decimal, table["ratio"])
    half = Decimal("0.5")  # the source prints whole metres
    assert low * (Decimal(printed) - half) <= ours <= high * (Decimal(printed) + half)

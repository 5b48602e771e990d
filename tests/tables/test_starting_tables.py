"""The tables for the moment of switching on, against law and against figures printed outside this project."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest

TABLES = Path(__file__).parents[2] / "rules" / "base" / "tables"

# NEC 2008, Tables 430.248 and 430.251(A), single-phase motors of 1/2 to 10 hp: full-load and locked-rotor current, in A,
# at 115 V and at 230 V. The first is printed in `motor-table-us`, the second on a page of the code on the web (`locked-rotor-us`).
FULL_LOAD = {115: "9.8 13.8 16 20 24 34 56 80 100", 230: "4.9 6.9 8 10 12 17 28 40 50"}
LOCKED = {115: "58.8 82.8 96 120 144 204 336 480 600", 230: "29.4 41.4 48 60 72 102 168 240 300"}


def cells(table: str) -> dict[tuple[str, ...], Decimal]:
    with (TABLES / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    axes = list(rows[0])[: list(rows[0]).index("value")]
    return {tuple(row[axis] for axis in axes): Decimal(row["value"]) for row in rows}


@pytest.mark.parametrize("volts", FULL_LOAD)
def test_a_motor_starts_with_the_multiple_that_the_american_tables_imply(volts: int) -> None:
    running, locked = FULL_LOAD[volts].split(), LOCKED[volts].split()
    ratios = {Decimal(start) / Decimal(run) for run, start in zip(running, locked, strict=True)}
    assert len(running) == 9
    assert ratios == {cells("inrush-multiple")["motor",]} == {cells("inrush-multiple")["pool-pump",]}


def test_a_pool_pump_is_a_motor_and_a_transformer_is_worse() -> None:
    """Several printed pages: motors about 6, filament lamps 10 to 18, transformers up to 30 times."""
    found = cells("inrush-multiple")
    assert found["motor",] < found["filament-lamps",] < found["transformer",]


def test_trip_bands_touch_and_do_not_overlap() -> None:
    """IEC 60898-1: where type B must trip, type C may; where C must, D may."""
    found = cells("breaker-trip")
    assert found["B", "trips"] == found["C", "holds"]
    assert found["C", "trips"] == found["D", "holds"]
    assert all(found[curve, "holds"] < found[curve, "trips"] for curve in "BCD")


@pytest.mark.parametrize(("key", "percent"), sorted(cells("driver-share").items()))
def test_drivers_go_with_the_rating_and_b_counts_0_6_of_c(key: tuple[str, str], percent: Decimal) -> None:
    """The law behind the driver maker's table (source `driver-manual`), which prints it cut down to whole percents."""
    curve, rating = key
    law = Decimal(rating) / 16 * 100 * (Decimal("0.6") if curve == "B" else 1)
    assert percent == law // 1


def test_households_end_where_the_abstract_says() -> None:
    """IEC 61095:2023, scope in two standards shops: AC-7a up to 63 A, AC-7b, AC-7c and AC-7d up to 32 A."""
    found = cells("category-limit")
    assert found.pop(("ac-7a",)) == 63
    assert set(found.values()) == {Decimal(32)}

"""The tables for the moment of switching on, against law and against figures printed outside this project."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from tests.tables.test_said_in_words import values

# NEC 2008, Tables 430.248 and 430.251(A), single-phase motors of 1/2 to 10 hp: full-load and locked-rotor current, in A,
# at 115 V and at 230 V. The first is printed in `motor-table-us`, the second on a page of the code on the web (`locked-rotor-us`).
FULL_LOAD = {115: "9.8 13.8 16 20 24 34 56 80 100", 230: "4.9 6.9 8 10 12 17 28 40 50"}
LOCKED = {115: "58.8 82.8 96 120 144 204 336 480 600", 230: "29.4 41.4 48 60 72 102 168 240 300"}


@pytest.mark.parametrize("volts", FULL_LOAD)
def test_a_motor_starts_with_the_multiple_that_the_american_tables_imply(volts, cells):
    running, locked = FULL_LOAD[volts].split(), LOCKED[volts].split()
    ratios = {Decimal(start) / Decimal(run) for run, start in zip(running, locked, strict=True)}
    assert len(running) == 9
    held = values(cells("base", "inrush-multiple"))
    assert ratios == {held["motor",]} == {held["pool-pump",]}


def test_a_pool_pump_is_a_motor_and_a_transformer_is_worse(cells):
    """Several printed pages: motors about 6, filament lamps 10 to 18, transformers up to 30 times."""
    found = values(cells("base", "inrush-multiple"))
    assert found["motor",] < found["filament-lamps",] < found["transformer",]


def test_the_largest_peak_of_those_printed_is_taken(cells):
    """Filament lamps: 10, 15, 16 and 12 to 18 times in four places. Transformers: 30 times, IEC 60947-4-3 Table 8, AC-56a."""
    held = values(cells("base", "inrush-multiple"))
    assert held == held | {("filament-lamps",): 18, ("transformer",): 30}


def test_trip_bands_touch_and_do_not_overlap(cells):
    """IEC 60898-1: where type B must trip, type C may; where C must, D may."""
    found = values(cells("base", "breaker-trip"))
    assert found["B", "trips"] == found["C", "holds"]
    assert found["C", "trips"] == found["D", "holds"]
    assert all(found[curve, "holds"] < found[curve, "trips"] for curve in "BCD")


def test_drivers_go_with_the_rating_and_b_counts_0_6_of_c(cells):
    """The law behind the driver maker's table (source `driver-manual`), which prints it cut down to whole percents."""
    # No driver maker prints type D: it lets more pass at once than type C and counts as that.
    share = {"B": Decimal("0.6"), "C": Decimal(1), "D": Decimal(1)}
    held = values(cells("base", "driver-share"))
    assert held == {(curve, rating): rating / 16 * 100 * share[curve] // 1 for curve, rating in held}


def test_a_contactor_makes_as_much_of_a_transformer_as_of_a_motor():
    """Making currents in two catalogues of contactors: AC-3 10 times, AC-6a 4.5 times the AC-3 figure."""
    path = Path(__file__).parents[2] / "rules/base/parameters/transformer_contact_share.toml"
    share = tomllib.loads(path.read_text("utf-8"), parse_float=Decimal)["value"]
    assert share * 10 == Decimal("4.5")


def test_households_end_where_the_abstract_says(cells):
    """IEC 61095:2023, scope in two standards shops: AC-7a up to 63 A, AC-7b, AC-7c and AC-7d up to 32 A."""
    found = values(cells("base", "category-limit"))
    assert found.pop(("ac-7a",)) == 63
    assert set(found.values()) == {Decimal(32)}

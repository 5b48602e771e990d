"""No figure claims to be better known than its printed places allow.

Places are those a cell's note names (ids of `sources.toml`); `rules/base/second/places.csv` says which of them are independent.
"""

from __future__ import annotations

import csv
import re
import tomllib
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

RULES = Path(__file__).parents[2] / "rules"
TABLES = sorted((path.parts[-3], path.stem) for path in RULES.glob("*/tables/*.csv"))
STATUSES = ("opened", "two-sources", "derived", "one-source", "cross-checked", "practice", "memory", "conflict")
# Where a formula gives the cell, and which test recomputes it.
DERIVED = {
    "ground-factor": "test_ground_factors_follow_the_heat_balance",
    "hot-resistance": "test_hot_resistance_follows_the_temperature_coefficient",
    "ambient-factor": "test_ambient_factors_follow_the_heat_balance",
    "grouping-factor": "test_one_circuit_alone_is_not_reduced",
    "link-ambient-factor": "test_ambient_factors_follow_the_heat_balance",
    "adiabatic-k": "test_k_follows_from_heat_capacity_and_resistivity",
    "conductor-resistance": "test_resistance_follows_from_the_printed_voltage_drop",
    "code-current-most": "test_the_bound_of_a_typed_figure_is_the_best_cooled_cable_of_iec",
    "earth-continuity-sure": "test_the_sure_earth_resistance_is_half_a_loop_that_drives_ten_times_the_rating",
    "de/cable-current": "test_german_cables_are_the_international_ones_in_cooler_air",
    "de/link-current": "test_german_link_wires_are_single_wires_in_conduit",
}


@cache
def sources(pack: str) -> frozenset[str]:
    """The ids of the sources a pack lists."""
    listed = tomllib.loads((RULES / pack / "sources.toml").read_text(encoding="utf-8"))["source"]
    return frozenset(source["id"] for source in listed)


def named_places(note: str) -> list[str]:
    found = re.search(r"Printed places: ([^.]+)\.", note)
    return [place.strip() for place in found[1].split(",")] if found else []


def fault(table: str, cell: dict, families: set[str], copied: bool) -> str | None:
    """What is wrong with the status of a cell, given the independent places that print it; None when nothing is."""
    status = cell["status"]
    if status not in STATUSES:
        return f"unknown status {status}"
    if status == "opened" and "Read in the standard" not in cell["note"]:
        return "opened, but the note does not say who read the standard"
    if status == "two-sources" and len(families) < 2:
        return f"two-sources, but only {sorted(families)}"
    if status == "one-source" and not families:
        return "one-source, but no printed place is named"
    if status == "cross-checked" and not copied:
        return "cross-checked, but there is no second transcription"
    if status == "derived" and table not in DERIVED:
        return "derived, but no test recomputes it"
    return None


@pytest.mark.parametrize(("pack", "table"), TABLES)
def test_status_is_supported(pack, table, cells, second, places):
    copies = {**second("base", table), **second(pack, table)}
    faults = []
    for key, cell in cells(pack, table).items():
        named = named_places(cell["note"])
        assert set(named) <= set(places), (
            f"{key}: list the place in rules/base/second/places.csv, with what it depends on"
        )
        families = {places[place]["family"] for place in named}
        name = f"{pack}/{table}" if f"{pack}/{table}" in DERIVED else table
        faults.append((key, fault(name, cell, families, key in copies)))
    assert [item for item in faults if item[1]] == []


@pytest.mark.parametrize(("pack", "table"), TABLES)
def test_named_places_are_known_and_really_print_the_cell(pack, table, cells, second, places):
    known = sources("base") | sources(pack)
    copies = {**second("base", table), **second(pack, table)}
    # What somebody only recalled was not taken from any place, so it misses none.
    transcribed = any(row["source"] != "memory" for rows in copies.values() for row in rows)
    for key, cell in cells(pack, table).items():
        assert cell["source"] in known, (key, cell["source"])
        printed = {row["source"] for row in copies.get(key, [])}
        for place in named_places(cell["note"]):
            assert place in known, (key, place)
            copy_id = places[place]["second_id"]
            if copy_id and transcribed:
                assert copy_id in printed, f"{key}: the second copy has no figure from {place}"


def test_the_check_itself_can_fail():
    weak = {"status": "two-sources", "note": "Printed places: nbr-5410, nbr-5410-1990."}
    assert fault("cable-current", weak, {"nbr"}, True) is not None
    assert fault("cable-current", {**weak, "status": "one-source"}, set(), True) is not None
    assert fault("cable-current", {**weak, "status": "opened"}, {"nbr", "csn"}, True) is not None
    assert fault("cable-current", {**weak, "status": "derived"}, {"nbr", "csn"}, True) is not None
    assert fault("cable-current", {**weak, "status": "cross-checked"}, set(), False) is not None
    assert named_places(weak["note"]) == ["nbr-5410", "nbr-5410-1990"]


@pytest.mark.parametrize(
    "path", sorted(RULES.glob("*/tables/*-factor.csv")), ids=lambda path: f"{path.parts[-3]}-{path.stem}"
)
def test_nobody_is_asked_about_a_factor_that_is_one_by_definition(path):
    """At the reference of its table a factor takes nothing off: there is nothing to compare in a copy of the standard."""
    with path.open(encoding="utf-8", newline="") as file:
        asked = [
            row
            for row in csv.DictReader(file)
            if Decimal(row["value"]) == 1 and row["status"] in ("memory", "conflict")
        ]
    assert asked == []


def test_derived_cells_name_a_test_that_exists():
    text = (Path(__file__).parent / "test_table_physics.py").read_text(encoding="utf-8")
    for name in DERIVED.values():
        assert f"def {name}(" in text


@pytest.mark.parametrize(
    "path", sorted(RULES.glob("*/parameters/*.toml")), ids=lambda path: f"{path.parts[-3]}-{path.stem}"
)
def test_parameter_status_is_supported(path):
    """A parameter names its printed places in its note, as a cell does; each has an entry in `sources.toml`."""
    parameter = tomllib.loads(path.read_text(encoding="utf-8"))
    known = {
        source["id"]
        for name in {"base", path.parts[-3]}
        for source in tomllib.loads((RULES / name / "sources.toml").read_text(encoding="utf-8"))["source"]
    }
    named = set(named_places(parameter.get("note", "")))
    assert {parameter["source"], *named} <= known
    assert len(named) >= {"two-sources": 2, "one-source": 1}.get(parameter["status"], 0)

"""Every shipped figure against a transcription made without sight of it (folder `second`, see its README)."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from checker.dev.cases.second_copies import agrees
from tests.tables.conftest import _key, _number, _rows

RULES = Path(__file__).parents[2] / "rules"
TABLES = sorted((path.parts[-3], path.stem) for path in RULES.glob("*/tables/*.csv"))

# Tables whose every cell must have a second copy.
COMPLETE = (
    "cable-current",
    "link-current",
    "ambient-factor",
    "ground-factor",
    "grouping-factor",
    "conductor-resistance",
)
# Tables nobody has transcribed a second time, and why that was let be. Cells of mere practice need no second copy: nothing prints them.
NO_SECOND_COPY = {
    (
        "us",
        "small-motor-breaker",
    ): "two figures, each with the place its cell names; said in words in the cases of the rule",
    ("base", "breaker-ratings"): "a list of standard ratings, each seen in the places its cell names",
    (
        "base",
        "usual-let-through",
    ): "four figures, each with the place its cell names; said in words in the cases of the rule",
    (
        "base",
        "terminal-insulation",
    ): "no figure: which insulation counts; said in words in the cases of breaker-within-cable",
    ("za", "earth-continuity-sure"): "recomputed from Ohm's law in the physics test",
    ("base", "energy-limit"): "recalled but for four cells; no pass rests on the recalled ones",
    ("base", "hot-resistance"): "recomputed from the temperature coefficient in the physics test",
    (
        "base",
        "driver-share",
    ): "one driver maker's table; its law is recomputed in test_table_physics",
    (
        "base",
        "inrush-multiple",
    ): "typical multiples; that of motors is recomputed from another table in test_table_physics",
    ("base", "motor-starts"): "five figures, each in the two places its cells name; guidance, used for advice only",
    ("base", "motor-rest"): "five figures beside motor-starts, in the same two places; guidance, used for advice only",
    ("base", "standing-loss"): "one figure, seen in the two places its cell names; guidance",
    ("base", "motor-current"): "typical figures: both published charts are in the cells and their notes",
    ("base", "breaker-terminal-range"): "one table, printed in the two texts its cells name",
    ("base", "breaker-ambient-factor"): "makers' figures: nothing but the pages its cells name prints them",
    ("base", "contactor-ambient-factor"): "one maker's figures",
    ("base", "board-rise"): "a rule of practice, held against a heat balance in test_said_in_words",
    ("base", "drive-rcd-type"): "practice, as rcd-type: said in words in test_said_in_words",
    ("base", "side-by-side-factor"): "one maker's figures",
    **dict.fromkeys(
        ((path.parts[-3], path.stem) for path in RULES.glob("*/tables/conductor-colour.csv")),
        "colours in words, with the places a cell names, or shown as recalled; no rule rests on them",
    ),
    ("base", "ferrule-colour"): "six colours, in the two places its cells name",
    ("base", "rated-diversity"): "recalled: it gives no pass until somebody confirms it",
    ("za", "breaker-ratings"): "the list of base, and older ratings found in use",
    ("gb", "breaker-ratings"): "the list of base without two, and 45 A",
    ("gb", "method-surround"): "what twelve methods lie in, as the places its cells name say",
    ("gb", "notification"): "law by nation: said in words in test_said_in_words",
    ("gb", "protective-usual"): "seven sizes, each in the places its cells name",
    ("nz", "cable-most"): "BRANZ's list was transcribed once; the rest is compared in test_australia_new_zealand",
    ("de", "cable-current"): "recalled once; every cell is compared with the iec table in test_table_physics",
    ("de", "link-current"): "the cells of method B1 of the same rule set, held together in test_table_physics",
    ("de", "ambient-factor"): "recomputed from the heat balance in the physics test",
    ("de", "conventional-trip"): "the factors of base",
    ("de", "disconnection-time"): "six times of base: compared in test_said_in_words",
    ("de", "drop-limit"): "three limits: said in words in test_said_in_words",
    ("us", "ambient-factor"): "every cell is recomputed from its formula in test_us_tables",
    (
        "us",
        "conductor-resistance",
    ): "Table 9 holds the same resistances, rounded, and physics gives them: both in test_us_tables",
    (
        "us",
        "insulation-limit",
    ): "five temperatures, each with the places its cell names; said in words in test_said_in_words",
    ("us", "small-conductor-breaker"): "five caps, each with the places its cell names",
    ("us", "load-duty"): "which loads count as continuous: said in words in test_said_in_words",
    ("us", "motor-current"): "two columns have two places, the third none; their ratios are held in test_us_tables",
    (
        "us",
        "motor-breaker-factor",
    ): "three factors, each with the places its cell names; said in words in test_said_in_words",
    ("us", "protective-size"): "ten sizes, each with the places its cell names",
    ("us", "drop-limit"): "one figure, with the places its cells name",
    ("us", "conductor-volume"): "five volumes, each with the places its cell names",
    ("us", "motor-starts"): "the table of base, by horsepower: test_us_tables compares them",
}
for _pack in ("au", "nz"):
    NO_SECOND_COPY |= {
        (_pack, "adiabatic-k"): "recomputed from heat capacity and resistivity in the physics test",
        (_pack, "code-current-most"): "recomputed from base's cable-current in test_australia_new_zealand",
        (_pack, "disconnection-time"): "one time: said in words in test_said_in_words",
        (_pack, "drop-limit"): "one limit: said in words in test_said_in_words",
        (_pack, "hot-resistance"): "recomputed from the temperature coefficient in the physics test",
        (_pack, "link-ambient-factor"): "cells of base's ambient-factor, compared in test_said_in_words",
        (_pack, "protective-size"): "seven sizes, alike in the two places its cells name",
    }
# Tables of which every cell is recomputed from a law in test_table_physics: nobody has seen the local print.
RECOMPUTED = {("au", "ambient-factor"), ("au", "ground-factor"), ("nz", "ambient-factor")}
NO_SECOND_COPY |= dict.fromkeys(RECOMPUTED, "recomputed from the heat balance in the physics test")
# Where copies differ, this one is the cautious one.
CAUTIOUS = {"conductor-resistance": max}


def judge(cell: dict, copies: list[dict], cautious=min) -> str:
    """`agrees`, `settled` (copies differ and the cautious one is shipped, with a note), `conflict`, or `wrong`."""
    if all(agrees(cell["value"], row) for row in copies):
        return "agrees"
    if cell["status"] == "conflict":
        return "conflict"
    if "Settled" in cell["note"] and cell["value"] == cautious(row["value"] for row in copies):
        return "settled"
    return "wrong"


def copies_of(second, pack: str, table: str) -> dict:
    """A region's own second copy, and base's for the cells it does not hold."""
    return {} if (pack, table) in RECOMPUTED else {**second("base", table), **second(pack, table)}


@pytest.mark.parametrize(("pack", "table"), TABLES)
def test_shipped_cells_agree_with_the_second_transcription(pack, table, cells, second, capsys):
    shipped, copies = cells(pack, table), copies_of(second, pack, table)
    if (pack, table) in NO_SECOND_COPY:
        assert not second(pack, table), "there is a second copy now: take the table off the list"
        return
    cautious = CAUTIOUS.get(table, min)
    found = {key: judge(cell, copies[key], cautious) for key, cell in shipped.items() if key in copies}
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


# Sheets of editions beside the one in force.
OLDER = sorted(RULES.glob("*/editions/*/tables/*.csv"))


@pytest.mark.parametrize("path", OLDER, ids=lambda path: f"{path.parts[-5]}@{path.parts[-3]}/{path.stem}")
def test_cells_of_an_older_edition_agree_with_the_second_transcription(path, second):
    """The copy is of the region's printed table; an edition may lack a row of it, and holds no row of its own."""
    copies = second(path.parts[-5], path.stem)
    for row in _rows(path):
        cell = {**row, "value": _number(row["value"])}
        assert judge(cell, copies[_key(row)], CAUTIOUS.get(path.stem, min)) != "wrong", _key(row)


PARAMETERS = [(path.parts[-3], row) for path in sorted(RULES.glob("*/second/parameters.csv")) for row in _rows(path)]


@pytest.mark.parametrize(("pack", "copy"), PARAMETERS, ids=lambda part: part if isinstance(part, str) else part["id"])
def test_a_parameter_agrees_with_its_second_transcription(pack, copy):
    shipped = {}
    for folder in ("base", pack):
        path = RULES / folder / "parameters" / f"{copy['id']}.toml"
        shipped |= tomllib.loads(path.read_text("utf-8"), parse_float=Decimal) if path.exists() else {}
    assert Decimal(shipped["value"]) == Decimal(copy["value"]), copy["table"]


@pytest.mark.parametrize("pack", sorted({pack for pack, _ in TABLES}))
def test_the_tables_that_limit_current_are_covered_whole(pack, cells, second):
    for table in COMPLETE:
        if (pack, table) in TABLES and (pack, table) not in NO_SECOND_COPY:
            assert set(cells(pack, table)) <= set(copies_of(second, pack, table)), table


def test_a_slipped_digit_would_be_noticed(cells, second):
    """Any cell of any compared table, moved by half an ampere or one hundredth, must be called wrong."""
    for pack, table in TABLES:
        copies = copies_of(second, pack, table)
        for key, cell in cells(pack, table).items():
            if (pack, table) not in NO_SECOND_COPY and key in copies and isinstance(cell["value"], Decimal):
                step = Decimal("0.5") if table.endswith("-current") else Decimal("0.01")
                for value in (cell["value"] + step, cell["value"] - step):
                    slipped = {**cell, "value": value, "status": "two-sources"}
                    assert judge(slipped, copies[key], CAUTIOUS.get(table, min)) == "wrong", (pack, table, key)


def test_the_rcd_times_others_wrote_down_are_ours(cells):
    """Notes on British, German and New Zealand testing, drawn up apart: 300 ms (three times), 40 ms, 500 ms and 130 ms for S."""
    table = cells("base", "rcd-trip-time")
    written = {
        ("general", "longest", 1): 300,
        ("general", "longest", 5): 40,
        ("selective", "longest", 1): 500,
        ("selective", "shortest", 1): 130,
    }
    assert {key: int(table[(*key[:2], Decimal(key[2]))]["value"]) for key in written} == written


def test_an_rcd_of_the_delayed_type_lets_the_general_one_open_first(cells):
    """What S is for (IEC 61008-1): at five times the current it still holds when the general type has opened."""
    table = cells("base", "rcd-trip-time")
    for multiple in (Decimal(1), Decimal(2), Decimal(5)):
        shortest, longest = (table["selective", limit, multiple]["value"] for limit in ("shortest", "longest"))
        assert shortest < longest
        assert table["general", "longest", multiple]["value"] <= longest
    assert table["selective", "shortest", Decimal(5)]["value"] > table["general", "longest", Decimal(5)]["value"]


def test_ranges_of_breaker_terminals_overlap_and_grow(cells):
    """IEC 61009-1 table 8: the next larger breaker takes thicker wire, a range never ends below its beginning."""
    table = cells("base", "breaker-terminal-range")
    for strands in ("rigid", "flexible"):
        rows = sorted({key[2] for key in table})
        ranges = [tuple(table[strands, limit, row]["value"] for limit in ("smallest", "largest")) for row in rows]
        assert all(low < high for low, high in ranges)
        assert all(a[0] <= b[0] and a[1] <= b[1] and b[0] <= a[1] for a, b in pairwise(ranges))
    for row in {key[2] for key in table}:
        assert table["flexible", "largest", row]["value"] <= table["rigid", "largest", row]["value"]

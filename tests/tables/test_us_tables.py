"""Tables of the United States against physics and against each other: nobody has typed them a second time.

Wire sizes: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39). Factors for warmth: the formula that two printed places give.
Resistance: specific resistance of copper x length / area (IEC 60028), and Table 9 of the same chapter, typed apart.
"""

from __future__ import annotations

import math
import tomllib
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

RULES = Path(__file__).parents[2] / "rules"
QUESTIONS = RULES / "us" / "questions"
COLUMNS = {"nm-b": 90, "nm": 60, "uf-b": 60, "thwn": 75, "thhn": 90}
METALS = ("copper", "aluminium")
# Chapter 9 Table 9, alternating current resistance in PVC conduit, ohm per 1000 ft; typed from other pages than Table 8.
TABLE_9 = {
    "copper": ["3.1", "2.0", "1.2", "0.78", "0.49", "0.31", "0.25", "0.19", "0.15", "0.12"],
    "aluminium": ["-", "3.2", "2.0", "1.3", "0.81", "0.51", "0.40", "0.32", "0.25", "0.20"],
}
OLD_60_C = {"14 AWG": 20, "12 AWG": 25}  # printed before 2011, still quoted


def sizes() -> dict[str, Decimal]:
    """The AWG sizes of the pack with their mm2, thinnest first."""
    held = tomllib.loads((QUESTIONS / "cable_size.toml").read_text("utf-8"), parse_float=Decimal)
    return {choice["value"]: choice["mm2"] for choice in held["choices"]}


def gauge(size: str) -> int:
    return 0 if size == "1/0 AWG" else int(size.removesuffix(" AWG"))


def area(size: str) -> float:
    diameter = 0.127 * 92 ** ((36 - gauge(size)) / 39)
    return math.pi * diameter**2 / 4


@pytest.mark.parametrize("question", ["cable_size", "link_size", "protective_size"])
def test_sizes_are_those_of_astm_b258(question):
    held = tomllib.loads((QUESTIONS / f"{question}.toml").read_text("utf-8"), parse_float=Decimal)
    assert [choice["value"] for choice in held["choices"]] == list(sizes())
    for choice in held["choices"]:
        assert float(choice["mm2"]) == float(f"{area(choice['value']):.3g}")
        assert f"({choice['mm2']} mm²)" in choice["label"]


def test_three_gauges_double_the_area():
    """The rule of thumb of every American electrician."""
    for thin, thick in (("14 AWG", "8 AWG"), ("12 AWG", "6 AWG"), ("10 AWG", "4 AWG")):
        assert 3.9 < float(sizes()[thick] / sizes()[thin]) < 4.1


def test_each_insulation_has_the_column_of_its_temperature(cells):
    table, ends = cells("us", "cable-current"), cells("us", "terminal-current")
    for (metal, insulation, size), cell in table.items():
        column = COLUMNS[insulation]
        assert f"{column} °C" in cell["clause"]
        if column in (60, 75):
            assert cell["value"] == ends[metal, Decimal(column), size]["value"]
    assert {key[2] for key in table} == set(sizes()) == {key[2] for key in ends}


@pytest.mark.parametrize("metal", METALS)
def test_ampacity_rises_with_size_and_temperature_and_copper_beats_aluminum(cells, metal):
    table = cells("us", "cable-current")
    for size in sizes():
        row = [table[metal, kind, size]["value"] for kind in ("nm", "thwn", "thhn") if (metal, kind, size) in table]
        assert row == sorted(set(row))
        if metal == "aluminium" and row:
            assert all(a < table["copper", k, size]["value"] for a, k in zip(row, ("nm", "thwn", "thhn"), strict=True))
    for kind in COLUMNS:
        rows = [table[metal, kind, size]["value"] for size in sizes() if (metal, kind, size) in table]
        assert rows == sorted(set(rows))


def test_columns_stand_in_the_ratio_of_their_warmth(cells):
    """Current goes with the root of the rise above 30 °C: 90 and 75 °C over 60 °C are 1.41 and 1.22, within rounding to 5 A
    and the lower film of thin wires."""
    ends, table = cells("us", "terminal-current"), cells("us", "cable-current")
    for size in sizes():
        low, middle = (float(ends["copper", Decimal(column), size]["value"]) for column in (60, 75))
        high = float(table["copper", "thhn", size]["value"])
        assert abs(middle / low - math.sqrt(45 / 30)) < 0.13, size
        if gauge(size) <= 10:
            assert abs(high / low - math.sqrt(60 / 30)) < 0.10, size


def test_the_column_of_before_2011_is_not_used(cells):
    ends = cells("us", "terminal-current")
    for size, old in OLD_60_C.items():
        assert ends["copper", Decimal(60), size]["value"] == old - 5


def test_ambient_factors_follow_their_formula(cells):
    table = cells("us", "ambient-factor")
    for (insulation, warmth), cell in table.items():
        limit = COLUMNS[insulation]
        assert cell["value"] == round(Decimal(math.sqrt((limit - float(warmth)) / (limit - 30))), 2), (
            insulation,
            warmth,
        )
    assert ("nm", Decimal(60)) not in table, "60 °C insulation has nothing left at 60 °C"


def test_resistance_is_that_of_copper_at_75_degrees(cells):
    """0.017241 ohm mm2/m at 20 °C (IEC 60028), 0.00393 a degree: stranding adds about 2 %."""
    hot = 0.017241 * (1 + 0.00393 * 55)
    table = {key: float(cell["value"]) for key, cell in cells("us", "conductor-resistance").items()}
    for size, mm2 in sizes().items():
        ratio = table["copper", mm2] / (hot * 304.8 / area(size))
        assert 1.00 < ratio < 1.03, size
        assert 1.62 < table["aluminium", mm2] / table["copper", mm2] < 1.67, size


@pytest.mark.parametrize("metal", METALS)
def test_table_9_says_the_same_rounded(cells, metal):
    table = cells("us", "conductor-resistance")
    for printed, mm2 in zip(TABLE_9[metal], sizes().values(), strict=True):
        if printed != "-":
            step = Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)
            assert abs(table[metal, mm2]["value"] - Decimal(printed)) <= step / 2 + step / 10, (metal, mm2)


def test_motor_columns_stand_in_the_ratio_of_their_voltages(cells):
    """Table 430.248: 115 V is twice 230 V, 208 V is 1.1 times 230 V, within the rounding of the table."""
    table = cells("us", "motor-current")
    for hp in {key[0] for key in table}:
        low, middle, high = (table[hp, Decimal(volts)]["value"] for volts in (110, 208, 220))
        assert abs(low - 2 * high) <= Decimal("0.05")
        assert abs(middle - high * Decimal("1.1")) <= Decimal("0.06")
    for a, b in pairwise(sorted({key[0] for key in table})):
        assert table[a, Decimal(220)]["value"] < table[b, Decimal(220)]["value"]


def test_motor_starts_are_those_of_base_by_horsepower(cells):
    base = {round(float(key[0]) / 746, 1): cell["value"] for key, cell in cells("base", "motor-starts").items()}
    assert base == {float(key[0]): cell["value"] for key, cell in cells("us", "motor-starts").items()}


def test_small_conductor_caps_are_the_smallest_standard_ratings_that_serve(cells):
    """240.4(D) caps copper at its 60 °C ampacity: 15, 20 and 30 A, each a standard rating."""
    caps, ends = cells("us", "small-conductor-breaker"), cells("us", "terminal-current")
    ratings = {cell["value"] for cell in cells("us", "breaker-ratings").values()}
    for (metal, size), cell in caps.items():
        assert cell["value"] in ratings
        assert cell["value"] == ends[metal, Decimal(60), size]["value"]


def test_equipment_grounding_conductors_are_sizes_of_the_pack(cells):
    areas = list(sizes().values())
    table = cells("us", "protective-size")
    assert {cell["value"] for cell in table.values()} <= set(areas)
    for rating in {key[1] for key in table}:
        copper, aluminum = (table[metal, rating]["value"] for metal in METALS)
        assert areas.index(aluminum) == areas.index(copper) + 1, "aluminum is one or two gauges thicker"


def test_the_edition_2020_lacks_ten_amperes_and_nothing_else():
    def ratings(folder: str) -> set[str]:
        lines = (RULES / folder / "tables" / "breaker-ratings.csv").read_text("utf-8").splitlines()[1:]
        return {line.split(",")[0] for line in lines}

    assert ratings("us") - ratings("us/editions/2020") == {"10"}
    assert ratings("us/editions/2020") <= ratings("us")
    assert {"45", "15"} <= ratings("us")

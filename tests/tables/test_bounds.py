"""Lower bounds of ratings: worked out again by numpy from first principles, and held against what is printed.

See `heat_balance.py` for the law and its sources. `checker/dev/rulebook/bounds.py` is what ships; nothing here uses it.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal

import pytest

from tests.core import asking
from tests.tables import heat_balance
from tests.tables.heat_balance import RULES, Heat

BOUNDED = ("za", "au", "nz", "de")


def derivation(pack: str) -> dict:
    return tomllib.loads((RULES / pack / "tables" / "cable-current.toml").read_text("utf-8"))["bounds"]


def shipped(pack: str) -> dict[tuple[str, ...], dict]:
    """The bounds of a compiled pack, by key."""
    (table,) = (table for table in asking.contents()[pack]["tables"] if table["id"] == "cable-current")
    return {tuple(cell["keys"]): cell for cell in table["cells"] if "most" in cell}


@pytest.mark.parametrize("pack", ["au", "nz"])
def test_factors_for_hot_air_lie_between_free_air_and_a_wall(pack):
    """The conductor stays as hot, so resistance is out of it: (hot - air)^((1 + m) / 2), m from 0 to 1/3."""
    (table,) = (table for table in asking.contents()[pack]["tables"] if table["id"] == "ambient-factor")
    reference = {"au": 40, "nz": 30}[pack]
    found = {tuple(cell["keys"]): cell for cell in table["cells"] if "most" in cell}
    assert len(found) == {"au": 10, "nz": 16}[pack]
    for (insulation, air), cell in found.items():
        left = ({"pvc": 75, "xlpe": 90}[insulation] - float(air)) / ({"pvc": 75, "xlpe": 90}[insulation] - reference)
        shares = left ** ((1 + heat_balance.EXPONENTS) / 2)
        assert shares.min() - 0.01 < float(cell["value"]) <= shares.min()
        assert shares.max() <= float(cell["most"]) < shares.max() + 0.01


@pytest.mark.parametrize("pack", ["za", "au", "nz"])
def test_circuits_together_share_the_heat_of_one_and_print_no_less_elsewhere(pack, cells):
    """n circuits with 1 / sqrt(n) of the current each give off what one did. IEC 60364-5-52 Table B.52.17 item 1 has more."""
    (table,) = (table for table in asking.contents()[pack]["tables"] if table["id"] == "grouping-factor")
    found = {int(cell["keys"][0]): float(cell["value"]) for cell in table["cells"] if "most" in cell}
    printed = {int(key[-1]): float(cell["value"]) for key, cell in cells("base", "grouping-factor").items()}
    assert found
    for count, share in found.items():
        assert share**2 * count <= 1 < (share + 0.01) ** 2 * count
        assert share <= printed[count]


def test_only_a_soil_of_25_degrees_gives_both_factors_that_course_work_prints():
    """Graded course work to AS/NZS 3008.1.1:2025, Table 3.45: 1.05 for V-75 and 1.04 for X-90 in soil of 20 °C."""
    gives = [
        reference
        for reference in range(20, 31)
        if [round(((hot - 20) / (hot - reference)) ** 0.5, 2) for hot in (75, 90)] == [1.05, 1.04]
    ]
    assert gives == [25] == [derivation("au")["ground_c"]]


def exact(pack: str, keys: tuple[str, ...], ampere: float) -> float:
    """The bound of a cell whose like carries `ampere` in base, before it is rounded."""
    told = derivation(pack)
    metal, insulation, method = keys[:3]
    by = told["method"][method]
    ground = by["like"].startswith("D")
    there = Heat(heat_balance.CELSIUS[insulation], 20.0 if ground else 30.0)
    here = Heat(told["conductor_c"][insulation], told["ground_c" if ground else "air_c"])
    return heat_balance.least(ampere, metal, there, here) * by.get("times", 1)


@pytest.mark.parametrize("pack", BOUNDED)
def test_every_bound_follows_from_its_printed_cell(pack, cells):
    base, told = cells("base", "cable-current"), derivation(pack)
    found = shipped(pack)
    assert found
    for keys, cell in found.items():
        metal, insulation, method, loaded, size = keys
        by = base[metal, insulation, told["method"][method]["like"], loaded, Decimal(size)]
        assert by["status"] in heat_balance.KNOWN, keys
        worked = exact(pack, keys, float(by["value"]))
        # The two laws of resistance differ by 0.001 %: the last step may fall either way only within that.
        assert float(cell["value"]) <= worked * 1.00002, keys
        assert float(cell["value"]) > worked * 0.99998 - told["step"], keys


@pytest.mark.parametrize("pack", BOUNDED)
def test_a_bound_names_the_printed_cell_it_comes_from_and_is_no_better_known(pack, cells):
    base, told = cells("base", "cable-current"), derivation(pack)
    order = ["opened", "two-sources", "derived", "one-source", "cross-checked"]
    for (metal, insulation, method, loaded, size), cell in shipped(pack).items():
        like = told["method"][method]["like"]
        by = base[metal, insulation, like, loaded, Decimal(size)]
        assert cell["source"] == by["source"]
        assert cell["clause"].startswith(f"{by['clause']}, method {like}, {Decimal(size)} mm²")
        assert order.index(cell["status"]) >= max(order.index("derived"), order.index(by["status"]))
        assert cell["note"].startswith("At least: ")


@pytest.mark.parametrize(
    ("pack", "keys", "known", "like"),
    [
        # Study notes quoting AS/NZS 3008.1.1:2017 Table 10, column 2 (nsw-study-notes).
        ("au", ("copper", "pvc", "E", "two", "2.5"), 27, 27),
        # BRANZ's list, which states no condition: every way of laying but surrounded (branz-level).
        *(("nz", ("copper", "pvc", way, "two", size), known, like)
          for way in ("B1", "B2", "C", "E")
          for size, known, like in (("1", 14, 13), ("1.5", 18, 16.5), ("2.5", 24, 23), ("4", 32, 30), ("6", 40, 38))),
        *(("nz", ("copper", "pvc", "part-surrounded", "two", size), known, like)
          for size, known, like in (("1", 14, 11), ("1.5", 18, 14), ("2.5", 24, 18.5), ("4", 32, 25), ("6", 40, 32))),
        # A trade forum quoting AS/NZS 3008.1 Table 11 (nz-mains-thread).
        ("nz", ("copper", "xlpe", "part-surrounded", "two", "16"), 86, 76),
        ("nz", ("copper", "xlpe", "surrounded", "two", "16"), 54, 91),
        # Breakers for cable in insulation, and AS/NZS 3000 Table C5 (nz-insulation-thread, nz-mains-thread).
        *(("nz", ("copper", "pvc", "surrounded", "two", size), known, like)
          for size, known, like in (("1", 6, 13), ("1.5", 10, 16.5), ("2.5", 16, 23), ("16", 40, 69))),
        # Graded course work to AS/NZS 3008.1.1:2025, three loaded, its own corrections taken out: 15.8 and 21.4 over 0.93.
        ("au", ("copper", "pvc", "part-surrounded", "three", "2.5"), 17, 17.5),
        ("au", ("copper", "pvc", "part-surrounded", "three", "4"), 23, 23),
        ("au", ("copper", "pvc", "D1", "three", "6"), 45, 38),
        ("au", ("copper", "pvc", "D1", "three", "10"), 59, 50),
    ],
)  # fmt: skip
def test_every_rating_known_there_lies_above_the_bound(pack, keys, known, like, cells):
    """`like` is the figure of base by which the method goes, as the derivation names it."""
    by = derivation(pack)["method"][keys[2]]["like"]
    base = cells("base", "cable-current")[keys[0], keys[1], by, keys[3], Decimal(keys[4])]["value"]
    assert float(base) == like
    assert heat_balance.rounded_down(exact(pack, keys, like), derivation(pack)["step"]) <= known


def test_no_derived_bound_lies_above_a_printed_figure():
    """Base, gb, za, de and us: whatever is printed, against all that base prints for what cools no better."""
    found = list(heat_balance.comparisons())
    assert len(found) > 10_000
    assert len([one for one in found if one.bound > 1.0001 * one.printed]) < len(found) / 20  # what rounding hides
    assert [one for one in found if heat_balance.rounded_down(one.bound, 0.5) > one.printed] == []


def test_the_comparison_would_find_a_bound_that_is_too_kind():
    """Three kelvin more than the conductor may reach, and bounds rise above printed figures by the dozen."""
    warm = [one for one in heat_balance.comparisons() if heat_balance.rounded_down(one.bound * 1.03, 0.5) > one.printed]
    assert len(warm) > 24


@pytest.mark.parametrize("pack", BOUNDED)
def test_a_bound_gives_a_pass_and_no_failure(pack):
    """The same job on the bound and just above it: passes, and is open with the table to look in."""
    keys, cell = next(
        (keys, cell) for keys, cell in shipped(pack).items() if keys[1] == "pvc" and keys[3:] == ("two", "1.5")
    )
    at = {"cable_size": "1.5 mm2", "method": keys[2], "ambient_c": 40 if pack == "au" else 25 if pack == "de" else 30}
    case = asking.sound(pack) | at | {"protective_size": "1.5 mm2", "load_power_w": 1000}
    if "code_current_a" in case:
        case |= {"code_current_a": "not-stated"}
    small, large = (
        asking.found(asking.ask(case | {"breaker_rating_a": rating}, pack), "breaker-within-cable")
        for rating in (6 if float(cell["value"]) < 10 else 10, 25)
    )
    name = "cable-current/" + "/".join(keys)
    assert (small["outcome"], small["cells"][0]["id"]) == ("passed", name)
    assert large["outcome"] == "cannot-tell"
    assert [reason["id"] for reason in large["reasons"] if reason["kind"] == "bound"] == [name]

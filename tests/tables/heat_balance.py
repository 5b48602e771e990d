"""Ratings of cables by the heat balance, worked out from first principles, apart from the code that ships.

    I² x R(hot) = k x (hot - around)^(1 + m)

`k` holds the cable and how it lies, so it stays the same where only the temperatures change. Free air takes heat away
the better, the warmer the cable: m is 1/4 in still air, 1/3 in turbulent air, 0 where heat has to go through a wall or
the ground (any textbook of heat transfer; IEC 60287-2-1 uses 1/4). Resistance grows with temperature as
234.5 + hot for copper and 228 + hot for aluminium (IEC 60228 annex B, IEC 60909-0).
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

RULES = Path(__file__).parents[2] / "rules"
ZERO_POINT = {"copper": 234.5, "aluminium": 228.0}
EXPONENTS = np.linspace(0, 1 / 3, 101)


class Heat(NamedTuple):
    """How warm the conductor may be, and what is around it, in °C."""

    hot: float
    around: float


def least(ampere: float, metal: str, there: Heat, here: Heat) -> float:
    """What a cable that carries `ampere` there carries here at least, whichever way it is cooled."""
    k = ampere**2 * (ZERO_POINT[metal] + there.hot) / (there.hot - there.around) ** (1 + EXPONENTS)
    carried = np.sqrt(k * (here.hot - here.around) ** (1 + EXPONENTS) / (ZERO_POINT[metal] + here.hot))
    return float(carried.min())


# Which methods of IEC 60364-5-52 cool no better than a method: a wall against the same wire on it, a cable against
# single wires, conduit against none, a surface against free air.
COOLS_NO_BETTER = {
    "A1": ("A1", "A2"),
    "A2": ("A2",),
    "B1": ("A1", "A2", "B1", "B2"),
    "B2": ("A2", "B2"),
    "C": ("A2", "B2", "C"),
    "E": ("A2", "B2", "C", "E"),
    "D1": ("D1",),
    "D2": ("D2",),
}
# British ways of laying flat cable that are no worse than one of these (BS 7671 Table 4D5, notes).
BRITISH = {"100": "A2", "102": "A2", "A": "A2", "C-round": "C", "103": "", "101": ""}
AMERICAN_C = {"nm-b": 90, "nm": 60, "uf-b": 60, "thwn": 75, "thhn": 90}
AMERICAN_MM2 = {"14 AWG": 2.08, "12 AWG": 3.31, "10 AWG": 5.26, "8 AWG": 8.37, "6 AWG": 13.3}
CELSIUS = {"pvc": 70.0, "xlpe": 90.0}
AIR = {"base": 30.0, "gb": 30.0, "za": 30.0, "de": 25.0}
# Statuses of cells that somebody saw, or that two people recalled apart; what this project derived proves nothing.
KNOWN = ("opened", "two-sources", "one-source", "cross-checked")
OWN = ("de-heat-balance", "heat-balance")


class Comparison(NamedTuple):
    """A printed cell, what the heat balance gives at least for it, and the printed cell that this comes from."""

    cell: tuple[str, ...]
    printed: float
    bound: float
    by: tuple[str, ...]


def printed(pack: str) -> list[dict[str, Any]]:
    with (RULES / pack / "tables" / "cable-current.csv").open(encoding="utf-8", newline="") as held:
        return [row for row in csv.DictReader(held) if row["status"] in KNOWN and row["source"] not in OWN]


def comparisons() -> Iterator[Comparison]:
    """Every printed cell against every printed cell of base that bounds it."""
    base = [(row, _laid(row), _heat(row, 30.0)) for row in printed("base")]
    for pack in AIR:
        for row in printed(pack):
            laid, heat = _laid(row), _heat(row, AIR[pack])
            yield from _against(row, laid, heat, float(row["cable_size_mm2"]), base)
    for row in printed("us"):
        if row["cable_size"] in AMERICAN_MM2:
            # Not more than three loaded wires in a raceway, in a cable or in the ground: no worse than B2 with three.
            american = {**row, "loaded_conductors": "three", "cable_insulation": "xlpe"}
            heat = Heat(AMERICAN_C[row["cable_insulation"]], 30.0)
            yield from _against(american, "B2", heat, AMERICAN_MM2[row["cable_size"]], base, ("pvc",))


def _laid(row: dict[str, Any]) -> str:
    return BRITISH.get(row["method"], row["method"])


def _heat(row: dict[str, Any], air: float) -> Heat:
    return Heat(CELSIUS[row["cable_insulation"]], 20.0 if row["method"].startswith("D") else air)


def _against(
    row: dict[str, Any],
    laid: str,
    heat: Heat,
    mm2: float,
    base: list[tuple[dict[str, Any], str, Heat]],
    insulations: tuple[str, ...] = ("pvc", "xlpe"),
) -> Iterator[Comparison]:
    for other, method, there in base:
        if (
            other["conductor_metal"] == row["conductor_metal"]
            and method in COOLS_NO_BETTER.get(laid, ())
            and not (other["loaded_conductors"] == "two" and row["loaded_conductors"] == "three")
            # XLPE lets heat through better than PVC: what lies in XLPE bounds nothing that lies in PVC.
            and not (other["cable_insulation"] == "xlpe" and row["cable_insulation"] == "pvc")
            and other["cable_insulation"] in insulations
            and float(other["cable_size_mm2"]) <= mm2
        ):
            bound = least(float(other["value"]), row["conductor_metal"], there, heat)
            yield Comparison(tuple(row.values())[:6], float(row["value"]), bound, tuple(other.values())[:6])


def rounded_down(ampere: float, step: float) -> Decimal:
    """To a whole number of `step`; a hair is let go, for floats."""
    return Decimal(str(step)) * int(ampere / step + 1e-9)

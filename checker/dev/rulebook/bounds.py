"""Lower bounds of ratings that a region's tables lack, worked out from the table of base by the heat balance.

A cable warms until it gives off what the current brings in: I² x R = h x dT. Laid the same way, only the temperatures
differ, so with r = dT here / dT there

    I here >= I there x times x sqrt(R there / R here) x r^n

h may grow with dT, by its cube root at most (free turbulent air) and not at all in a wall or in the ground: n is 1/2
where this place allows the cable more warming than base does, and 2/3 where it allows less. Either way it errs low.
The table says under `[bounds]` which temperatures hold here, and by which method of base each of its methods goes.
A table of factors for warm air names its rows there instead, one for circuits that run together how many they are.

Nothing is typed: the build works out every figure. `tests/tables/test_bounds.py` does it again, apart from this.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal, localcontext
from typing import Any

from checker.core.values import CONTEXT, plain
from checker.dev.rulebook.faults import Fault, RuleFaults, place
from checker.dev.rulebook.rulefiles import RULES, Item

# How much the resistance grows from 20 °C on, for each kelvin. Source: IEC 60287-1-1 Table 1.
COEFFICIENT = {"copper": Decimal("0.00393"), "aluminium": Decimal("0.00403")}
COOLED_LESS, COOLED_MORE = Decimal(2) / 3, Decimal("0.5")
# What may carry a pass, strongest first; what is derived from a weaker cell is no better known than that cell.
FIRM = ("opened", "two-sources", "derived", "one-source", "cross-checked")


def bounded(item: Item, base: Item) -> Item:
    """The table with a bound for every key that it has no cell for and that `base` can bound."""
    with localcontext(CONTEXT):
        rule = item.data["bounds"]
        made = _group(item) if "circuits" in rule else _factors(item) if "rows" in rule else _bounds(item, base)
    return item._replace(data={**item.data, "cells": [*item.data["cells"], *made]})


def _bounds(item: Item, base: Item) -> list[dict[str, Any]]:
    rule = item.data["bounds"]
    axes = [axis["name"] for axis in item.data["axes"]]
    if "reference" not in base.data or axes != [axis["name"] for axis in base.data["axes"]]:
        raise RuleFaults(
            [
                Fault(
                    place(item.path, RULES),
                    "has [bounds], but base does not say its temperatures under [reference], or has other axes",
                    "Nothing can be worked out from it.",
                    "Give the table of base its [reference], or take [bounds] out.",
                )
            ]
        )
    found = []
    for method, by in rule["method"].items():
        for cell in base.data["cells"]:
            keys = dict(zip(axes, cell["keys"], strict=True))
            if keys["method"] != by["like"] or cell["status"] not in FIRM:
                continue
            if any(keys[axis] not in wanted for axis, wanted in rule["only"].items()):
                continue
            here = [method if axis == "method" else key for axis, key in keys.items()]
            found.append({"keys": here, "line": 0, **_bound(rule, by, base.data["reference"], keys, cell)})
    return _unprinted(item, found)


def _factors(item: Item) -> list[dict[str, Any]]:
    """Factors for air warmer than the table starts from, by the same law: the conductor stays as hot, its warming shrinks.

    The root of what is left of the warming is the most there can be: that is a cable whose cooling does not get worse.
    """
    rule, found = item.data["bounds"], []
    air, step = _number(rule["air_c"]), _number(rule["step"])
    for insulation, hottest in rule["conductor_c"].items():
        hot = _number(hottest)
        for row in map(_number, rule["rows"][insulation]):
            warming = (hot - row) / (hot - air)
            exact = warming**COOLED_LESS
            working = f"(({plain(hot)} - {plain(row)}) / ({plain(hot)} - {plain(air)}))^(2/3)"
            most = (warming**COOLED_MORE / step).to_integral_value(ROUND_CEILING) * step
            found.append(_factor(rule, [insulation, plain(row)], exact, working, plain(most), "the root"))
    return _unprinted(item, found)


def _group(item: Item) -> list[dict[str, Any]]:
    """Factors for circuits that run together, alike and equally loaded.

    A bundle has at least the surface of one cable: n circuits may warm it as much as one did, so n x I² is the least.
    """
    rule = item.data["bounds"]
    counts = map(_number, rule["circuits"])
    found = [_factor(rule, [plain(n)], 1 / n.sqrt(), f"1 / sqrt({plain(n)})", "1", "1") for n in counts]
    return _unprinted(item, found)


def _factor(rule: dict, keys: list[str], exact: Decimal, working: str, most: str, most_is: str) -> dict[str, Any]:
    """The cell of a factor: `exact` rounded down to the table's step, and the most it can be."""
    step = _number(rule["step"])
    return {
        "keys": keys,
        "line": 0,
        "value": plain(exact // step * step),
        "source": rule["source"],
        "clause": working,
        "status": "derived",
        "checked": str(rule["checked"]),
        "note": f"At least: {working} = {plain(exact.quantize(Decimal('0.0001')))}, rounded down. At most: {most_is}.",
        "most": most,
    }


def _unprinted(item: Item, found: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Of the bounds found those whose figure the table does not have."""
    printed = {tuple(cell["keys"]) for cell in item.data["cells"]}
    return [cell for cell in found if tuple(cell["keys"]) not in printed]


def _bound(rule: dict, by: dict, reference: dict, keys: dict[str, str], cell: dict) -> dict[str, Any]:
    around = "ground_c" if by["like"].startswith("D") else "air_c"
    insulation = keys["cable_insulation"]
    hot_there, hot_here = (_number(held["conductor_c"][insulation]) for held in (reference, rule))
    cool_there, cool_here = _number(reference[around]), _number(rule[around])
    grown = COEFFICIENT[keys["conductor_metal"]]
    resistance = (1 + grown * (hot_there - 20)) / (1 + grown * (hot_here - 20))
    warming = (hot_here - cool_here) / (hot_there - cool_there)
    exponent = COOLED_MORE if warming >= 1 else COOLED_LESS
    times, step = _number(by.get("times", 1)), _number(rule["step"])
    exact = _number(cell["value"]) * times * resistance.sqrt() * warming**exponent
    least = exact // step * step
    power = "1/2" if warming >= 1 else "2/3"
    share = f"{plain(times)} x " if times != 1 else ""
    working = (
        f"{cell['value']} A x {share}"
        f"sqrt((1 + {grown} x {plain(hot_there - 20)}) / (1 + {grown} x {plain(hot_here - 20)})) x "
        f"(({plain(hot_here)} - {plain(cool_here)}) / ({plain(hot_there)} - {plain(cool_there)}))^({power})"
    )
    same = times == 1 and resistance == warming == 1
    status = max(cell["status"], "derived", key=FIRM.index)
    return {
        "value": plain(least),
        "source": cell["source"],
        "clause": f"{cell['clause']}, method {by['like']}, {plain(_number(keys['cable_size_mm2']))} mm²"
        + ("" if same else ", by the heat balance"),
        "status": status,
        "checked": cell["checked"],
        "note": f"At least: the same figure as method {by['like']} of base, as the temperatures are the same."
        if same
        else f"At least: {working} = {plain(exact.quantize(Decimal('0.001')))} A, rounded down.",
        "most": "Infinity",
    }


def _number(held: Any) -> Decimal:
    return Decimal(str(held))

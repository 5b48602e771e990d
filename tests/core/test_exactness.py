"""Exact from file to verdict: equality fits, the twelfth decimal decides, and nothing is rounded before a comparison."""

from __future__ import annotations

import ast
import tomllib
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from checker.core.values import plain, shown
from tests.core import asking

CORE = Path(__file__).parents[2] / "checker" / "core"


def read(path: Path) -> list[dict]:
    return tomllib.loads(path.read_text("utf-8"), parse_float=Decimal)["edges"]


def of(edge: dict) -> tuple[str, str, str]:
    return edge["rule"], edge["left"], edge["right"]


EDGES = read(Path(__file__).parent / "edges.toml")
# edges/<pack>-<pack>.toml: an edge there replaces the common one of the same comparison.
LOCAL: dict[str, list[dict]] = {}
for path in sorted((Path(__file__).parent / "edges").glob("*.toml")):
    for name in path.stem.split("-"):
        LOCAL.setdefault(name, []).extend(read(path))


def edges(pack: str) -> list[dict]:
    own = LOCAL.get(pack, [])
    return own + [edge for edge in EDGES if of(edge) not in {of(other) for other in own}]


UNIT = Decimal("0.000000000001")
COMPARISONS = {
    (pack, rule["id"], comparison["left_name"], comparison["right_name"])
    for pack, content in asking.contents().items()
    for rule in content["rules"]
    for comparison in rule["comparisons"]
}


def serves(edge, pack):
    """Whether an edge is meant for a pack: figures of another table have their edge elsewhere."""
    return pack in edge.get("packs", asking.PACKS) and pack not in edge.get("except", ())


KNIVES = [
    pytest.param(pack, edge, id=f"{pack} {edge['rule']} {edge['right']}")
    for pack in asking.PACKS
    for edge in edges(pack)
    if (pack, *of(edge)) in COMPARISONS and serves(edge, pack)
]


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize(("pack", "edge"), KNIVES)
def test_equality_passes_and_the_smallest_excess_fails(pack, edge):
    more = {"confirmed": edge["confirmed"]} if "confirmed" in edge else {}
    equal = asking.found(asking.ask(asking.sound(pack) | edge["equal"], pack, **more), edge["rule"])
    over = asking.found(asking.ask(asking.sound(pack) | edge["equal"] | edge["over"], pack, **more), edge["rule"])
    assert (equal["outcome"], over["outcome"]) == (edge.get("at", "passed"), edge.get("outcome", "failed"))
    assert (equal["left"]["name"], equal["right"]["name"]) == (edge["left"], edge["right"])
    short = Decimal(equal["right"]["exact"]) - Decimal(equal["left"]["exact"])
    # A quotient without end is never met: there the last step before the limit stands in for equality.
    assert short == 0 or (edge.get("step", 0) < UNIT and 0 < short < edge["step"])
    assert equal["margin_percent"] == "0"
    if over["left"]["name"] == edge["left"] and over["right"]["name"] == edge["right"]:
        apart = abs(Decimal(over["left"]["exact"]) - Decimal(over["right"]["exact"]))
        assert apart == edge.get("step", UNIT) - short


def test_every_numeric_comparison_of_every_pack_has_its_knife_edge():
    covered = {(pack, *of(edge)) for pack in asking.PACKS for edge in edges(pack) if serves(edge, pack)}
    assert COMPARISONS - covered == set()
    assert {key[1:] for key in covered} - {key[1:] for key in COMPARISONS} == set(), (
        "an edge for a comparison that is gone"
    )


def test_every_ordered_comparison_of_a_requirement_is_known_as_a_comparison():
    """Those against a bare 0 apart: they have no limit to be near to."""

    def ordered(tree: list) -> int:
        inner = sum(ordered(part) for part in tree[1:] if isinstance(part, list) and part and isinstance(part[0], str))
        return inner + (tree[0] in ("<", "<=", ">", ">=") and "number" not in (tree[1][0], tree[2][0]))

    for content in asking.contents().values():
        for rule in content["rules"]:
            assert ordered(rule["requires"]) == len(rule["comparisons"]), rule["id"]


def test_34_04_does_not_fit_34():
    """7829.2 W at 230 V is 34.04 A; the report rounds both for the eye, the rule neither."""
    answers = asking.FITS | {"load_power_w": "7829.2", "breaker_rating_a": 34, "device_resistive_a": 34}
    report = asking.ask(answers)
    for rule in ("breaker-carries-load", "thermal-rating", "contact-rating-serves-load"):
        finding = asking.found(report, rule)
        assert finding["outcome"] == "failed"
        assert finding["left"]["exact"] == "34.04"
    assert asking.found(asking.ask(answers | {"load_power_w": "7820"}), "breaker-carries-load")["outcome"] == "passed"


def test_what_looks_equal_in_the_report_may_still_fail():
    finding = asking.found(asking.ask(asking.FITS | {"load_current_a": "16.000000000001"}), "thermal-rating")
    assert finding["left"]["value"] == finding["right"]["value"] == "16"
    assert finding["outcome"] == "failed"
    assert finding["left"]["exact"] == "16.000000000001"


@pytest.mark.parametrize(
    ("watts", "volts"), [(3000, 230), (1, 240), (99999, "229.999999999999"), ("0.1", 480), (2300, 230)]
)
def test_a_quotient_is_right_to_33_digits(watts, volts):
    quantities = asking.ask(asking.FITS | {"load_power_w": watts, "supply_voltage_v": volts, "load_voltage_v": volts})[
        "quantities"
    ]
    true = Fraction(str(watts)) / Fraction(str(volts))
    assert abs(Fraction(quantities["design_current_a"]["exact"]) - true) <= true / 10**33


def test_products_and_sums_are_exact():
    answers = {
        "ambient_c": 40,
        "grouped_circuits": 2,
        "device_kind": "time-switch-and-contactor",
        "contactor_resistive_a": 25,
    }
    answers |= {"device_modules": "1.000000000001", "contactor_modules": "2.000000000002"}
    quantities = asking.ask(asking.FITS | answers)["quantities"]
    factor = Decimal(quantities["ambient_factor"]["exact"]) * Decimal(quantities["grouping_factor"]["exact"])
    assert quantities["cable_factor"]["exact"] == plain(factor)
    assert quantities["cable_capacity_a"]["exact"] == plain(factor * Decimal(quantities["cable_tabulated_a"]["exact"]))
    assert quantities["modules_needed"]["exact"] == "3.000000000003"


def test_every_figure_of_the_files_reaches_the_report_digit_for_digit():
    """A value from a table, an answer and a parameter: as text, never by way of a float."""
    report = asking.ask(asking.FITS | {"cable_size": "1.5 mm2", "breaker_rating_a": "16.1", "load_current_a": "0.1"})
    finding = asking.found(report, "breaker-within-cable")
    assert (finding["left"]["exact"], finding["right"]["exact"]) == ("16.1", "16.5")
    assert report["answers"]["load_current_a"] == "0.1"


def numbers(value: object) -> list[object]:
    if isinstance(value, dict):
        return [found for inner in value.values() for found in numbers(inner)]
    if isinstance(value, list):
        return [found for inner in value for found in numbers(inner)]
    return [value] if isinstance(value, (int, float)) and not isinstance(value, bool) else []


@pytest.mark.parametrize("pack", asking.PACKS)
def test_a_report_holds_numbers_as_text_only(pack):
    """JSON numbers become floats in a browser; only the format's own 1 is one."""
    assert numbers(asking.ask(asking.sound(pack), pack)) == [1]
    assert numbers({"a": [1.5, {"b": True}], "c": "2"}) == [1.5]


@pytest.mark.parametrize(
    ("exact", "eye"),
    [("13.0434", "13.04"), ("13.045", "13.04"), ("13.055", "13.06"), ("99.999", "100"), ("123.45", "123.4"), ("999.96", "1000"),
     ("1234.5", "1234"), ("0.004", "0"), ("-0.004", "0"), ("-12.345", "-12.34"), ("40", "40"), ("2.50", "2.5")],
)  # fmt: skip
def test_rounding_for_the_eye(exact, eye):
    """Half to even, as IEEE 754 rounds; two places below 100, one below 1000, none above."""
    assert shown(Decimal(exact)) == eye


@pytest.mark.parametrize(
    ("number", "digits"),
    [("4E+1", "40"), ("2.50", "2.5"), ("-0", "0"), ("0E-7", "0"), ("-0.0", "0"), ("1E-12", "0.000000000001")],
)
def test_plain_digits(number, digits):
    assert plain(Decimal(number)) == digits


# --- no float can come in: read from the source itself ---

FORBIDDEN = {
    "math",
    "cmath",
    "time",
    "os",
    "random",
    "socket",
    "statistics",
    "secrets",
    "pathlib",
    "io",
    "sys",
    "subprocess",
    "urllib",
    "threading",
}


def impure(source: str) -> list[str]:
    """What a module holds that could bring in a float, a clock, chance, a file or the network."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, (float, complex)):
            found.append(f"{node.lineno}: {node.value!r}")
        elif isinstance(node, ast.Name) and node.id in (
            "float",
            "complex",
            "open",
            "eval",
            "exec",
            "compile",
            "__import__",
            "input",
        ):
            found.append(f"{node.lineno}: {node.id}")
        elif isinstance(node, ast.Import):
            found += [
                f"{node.lineno}: {alias.name}" for alias in node.names if alias.name.partition(".")[0] in FORBIDDEN
            ]
        elif isinstance(node, ast.ImportFrom) and not node.level and (node.module or "").partition(".")[0] in FORBIDDEN:
            found.append(f"{node.lineno}: {node.module}")
        elif isinstance(node, ast.Attribute) and node.attr in ("today", "now", "utcnow", "from_float"):
            found.append(f"{node.lineno}: .{node.attr}")
    return found


@pytest.mark.parametrize("path", sorted(CORE.rglob("*.py")), ids=lambda path: path.relative_to(CORE).as_posix())
def test_the_core_knows_no_float_no_clock_and_no_machine(path):
    assert impure(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "line",
    ["x = 1.5", "x = 1e3", "x = float('1')", "import math", "from time import time", "import os.path", "from random import random",
     "import socket", "x = date.today()", "x = open('a')", "x = eval('1')", "f = float", "def f():\n    import math"],
)  # fmt: skip
def test_the_search_finds_it(line):
    assert impure(line)

"""Figures as the report shows them: rounded for the eye, and of a rule's comparisons the one that explains the finding.

Rounding for the eye: two places below 100, one below 1000, none above; a half goes to the even neighbour (IEEE 754).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from checker.core.findings import Measure, Side
from checker.core.values import largest, plain, shown, smallest
from tests.core import asking


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("40", "40"), ("4E+1", "40"), ("1E+3", "1000"), ("2.50", "2.5"), ("2.00", "2"), ("0.00", "0"), ("-0", "0"),
        ("-0.0", "0"), ("0E-7", "0"), ("-1.250", "-1.25"), ("1E-12", "0.000000000001"), ("100", "100"),
    ],
)  # fmt: skip
def test_a_number_is_written_without_exponent_and_without_idle_zeros(value, text):
    assert plain(Decimal(value)) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("12.954", "12.95"), ("12.945", "12.94"), ("12.955", "12.96"), ("99.994", "99.99"), ("99.996", "100"),
        ("100", "100"), ("100.04", "100"), ("100.06", "100.1"), ("999.94", "999.9"), ("1000", "1000"), ("1000.4", "1000"),
        ("1000.6", "1001"), ("-100.06", "-100.1"), ("-12.954", "-12.95"), ("-1000.4", "-1000"), ("0.004", "0"),
    ],
)  # fmt: skip
def test_a_figure_is_rounded_for_the_eye(value, text):
    assert shown(Decimal(value)) == text


def measure(left: str, relation: str, right: str) -> Measure:
    return Measure(Side("left", Decimal(left), "A"), relation, Side("right", Decimal(right), "A"))


@pytest.mark.parametrize(
    ("left", "relation", "right", "spare"),
    [
        ("16", "<=", "20", "0.2"), ("25", "<=", "20", "-0.25"), ("20", "<", "20", "0"), ("25", ">=", "20", "0.25"),
        ("16", "<", "20", "0.2"), ("16", ">=", "20", "-0.2"), ("16", ">", "20", "-0.2"),
        # Against nothing there is no share: all of it is too much, or there is nothing to spare.
        ("1", "<=", "0", "-1"), ("0", "<=", "0", "0"), ("1", ">=", "0", "0"), ("-1", ">=", "0", "-1"),
    ],
)  # fmt: skip
def test_what_is_to_spare_is_a_share_of_the_right_side(left, relation, right, spare):
    assert measure(left, relation, right).spare == Decimal(spare)


@pytest.mark.parametrize(
    ("left", "relation", "right", "holds"),
    [("1", "<=", "1", True), ("1", "<", "1", False), ("2", ">=", "1", True), ("1", ">", "2", False)],
)
def test_a_comparison_holds_as_its_sign_says(left, relation, right, holds):
    assert measure(left, relation, right).holds is holds


def test_the_larger_and_the_smaller_of_two_numbers():
    assert largest(Decimal(1), Decimal(2)) == 2
    assert smallest(Decimal(1), Decimal(2)) == 1


def finding_of(rule: str, **change: object) -> dict:
    """The finding of one rule on the sound case with `change`."""
    return asking.found(asking.ask(asking.sound("iec") | change), rule)


def explained(finding: dict) -> tuple:
    return finding["outcome"], finding["left"]["name"], finding["relation"], finding["right"]["name"]


@pytest.mark.parametrize(
    ("smallest_mm2", "largest_mm2", "outcome", "relation", "right"),
    [
        # The cable is of 2.5 mm2.
        ("4", "6", "failed", ">=", "device_terminal_min_mm2"),
        ("1", "1.5", "failed", "<=", "device_terminal_max_mm2"),
        ("2.5", "6", "passed", ">=", "device_terminal_min_mm2"),
        ("1", "2.5", "passed", "<=", "device_terminal_max_mm2"),
    ],
)
def test_of_two_limits_the_one_that_failed_or_is_nearest_explains(smallest_mm2, largest_mm2, outcome, relation, right):
    finding = finding_of(
        "terminal-takes-cable", device_terminal_min_mm2=smallest_mm2, device_terminal_max_mm2=largest_mm2
    )
    assert explained(finding) == (outcome, "cable_size_mm2", relation, right)


def test_where_one_of_two_is_enough_the_one_that_failed_does_not_explain_a_pass():
    # 20 A ahead of a switch of 16 A, which its maker allows behind 25 A.
    change = {"breaker_rating_a": 20, "cable_size": "6 mm2", "link_size": "4 mm2"}
    finding = finding_of("breaker-within-device", **change, device_backup_a=25)
    assert explained(finding) == ("passed", "breaker_rating_a", "<=", "device_backup_a")


def test_a_comparison_with_a_side_that_is_not_known_explains_nothing():
    finding = finding_of("terminal-takes-cable", device_terminal_max_mm2="dont-know")
    assert explained(finding) == ("cannot-tell", "cable_size_mm2", ">=", "device_terminal_min_mm2")


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_compared_figure_carries_the_unit_that_its_name_ends_in(side):
    """Section 4 of the contract: numbers carry their unit in the name."""
    units = {"a": "A", "v": "V", "mm2": "mm2", "ohm": "ohm", "ka": "kA"}
    found = [finding[side] for finding in asking.ask(asking.FITS)["findings"] if finding[side]]
    named = [figure for figure in found if figure["name"].rpartition("_")[2] in units]
    assert len(named) > 10
    assert [figure["unit"] for figure in named] == [units[figure["name"].rpartition("_")[2]] for figure in named]

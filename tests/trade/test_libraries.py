"""The same quantities by general-purpose libraries: pint keeps the units, numpy sums the waves.

Neither shares code or tables with the checker; figures of standards are written here with their source.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import numpy as np
import pint
import pytest

from checker.core.quantities import QUANTITIES
from checker.dev.rulebook import units
from tests.trade.judging import fitting

u = pint.UnitRegistry()
# IEC 60228, class 1 and 2, plain copper, largest resistance at 20 °C.
OHM_PER_KM = {"1.5 mm2": 12.1, "2.5 mm2": 7.41, "4 mm2": 4.61, "6 mm2": 3.08, "10 mm2": 1.83, "16 mm2": 1.15}
PINT_NAME = {"mm2": "mm**2", "ohm": "ohm", "percent": "dimensionless", "1": "dimensionless", "modules": "dimensionless",
             "C": "kelvin", "Mohm": "megaohm", "Nm": "newton*meter", "uF": "microfarad", "hp": "horsepower", "in3": "inch**3"}  # fmt: skip


def figure(answers: dict[str, Any], name: str) -> pint.Quantity:
    """A quantity of the report with its unit."""
    found = fitting("iec", **answers)["quantities"][name]
    return float(found["exact"]) * u.Unit(PINT_NAME.get(found["unit"], found["unit"]))


def near(ours: pint.Quantity, theirs: pint.Quantity, share: float = 1e-9) -> bool:
    return abs((ours / theirs).to("dimensionless").magnitude - 1) < share


@pytest.mark.parametrize("unit", sorted({quantity.unit for quantity in QUANTITIES.values() if quantity.unit}))
def test_every_unit_of_a_quantity_is_one_a_units_library_knows(unit: str) -> None:
    assert u.Unit(PINT_NAME.get(unit, unit)) is not None


def test_a_product_of_units_is_the_unit_the_library_gives() -> None:
    """Volt x ampere is watt, volt / ampere is ohm, as the build's own unit algebra has it."""
    for left, sign, right in (("V", 1, "A"), ("V", -1, "A"), ("W", -1, "V"), ("ohm", 1, "A")):
        ours = units.name_of(units.combine(units.parse(left), units.parse(right), sign))
        theirs = u.Unit(left) * u.Unit(right) if sign > 0 else u.Unit(left) / u.Unit(right)
        assert u.Unit(ours).is_compatible_with(theirs)
        assert (1 * u.Unit(ours)).to(theirs).magnitude == pytest.approx(1)


@pytest.mark.parametrize(("watts", "volts"), [(3000, 230), (1500, 230), (3680, 230), (2400, 240)])
def test_current_of_a_heater(watts: int, volts: int) -> None:
    answers = {"load_kind": "heater", "load_current_a": "not-stated", "load_power_w": watts,
               "supply_voltage_v": volts, "load_voltage_v": volts}  # fmt: skip
    assert near(figure(answers, "design_current_a"), watts * u.watt / (volts * u.volt))


def test_current_of_a_motor_by_output_efficiency_and_power_factor() -> None:
    answers = {"load_kind": "motor", "load_current_a": "not-stated", "motor_output_w": 750, "efficiency": "0.68",
               "power_factor": "0.74", "load_power_w": "not-stated", "supply_voltage_v": 230}  # fmt: skip
    assert near(figure(answers, "design_current_a"), 750 * u.watt / (0.68 * 0.74 * 230 * u.volt))


@pytest.mark.parametrize("size", OHM_PER_KM)
def test_voltage_drop_is_the_hot_loop_times_the_current(size: str) -> None:
    """The hot factor is rounded up to two places in the pack, so ours lies above by at most that rounding."""
    answers = {
        "load_kind": "heater",
        "load_current_a": 10,
        "cable_size": size,
        "run_length_m": 25,
        "cable_insulation": "pvc",
    }
    hot = 1 + 0.00393 * 50  # IEC 60028: copper from 20 °C to 70 °C
    theirs = (2 * 25 * u.meter * OHM_PER_KM[size] * u.ohm / u.kilometer * hot * 10 * u.ampere).to("volt")
    ours = figure(answers, "voltage_drop_v")
    assert 0 <= (ours / theirs).to("dimensionless").magnitude - 1 < 0.01 / hot


def test_dead_test_of_the_protective_loop_is_both_conductors_cold() -> None:
    answers = {"cable_size": "2.5 mm2", "protective_size": "1.5 mm2", "run_length_m": 22}
    theirs = 22 * u.meter * (7.41 + 12.1) * u.ohm / u.kilometer
    assert near(figure(answers, "expected_r1_r2_ohm"), theirs)


def test_volts_lost_are_the_share_of_the_supply_that_the_report_says() -> None:
    answers = {"load_kind": "heater", "load_current_a": 10, "run_length_m": 25, "supply_voltage_v": 230}
    share = figure(answers, "voltage_drop_v") / (230 * u.volt) * 100
    assert near(figure(answers, "voltage_drop_percent"), share)


@pytest.mark.parametrize("celsius", [35, 40, 45, 50, 55, 60])
def test_capacity_falls_with_the_square_root_of_what_is_left_to_heat(celsius: int) -> None:
    """Heat lost = heat made: I^2 R in step with the rise of temperature (IEC 60287). Tables round to two places."""
    answers = {
        "ambient_c": celsius,
        "cable_insulation": "pvc",
        "method": "C",
        "cable_size": "2.5 mm2",
        "grouped_circuits": 1,
    }
    law = np.sqrt((70.0 - celsius) / (70.0 - 30.0))
    assert abs(float(figure(answers, "ambient_factor").magnitude) - law) <= 0.006


def test_third_harmonics_of_three_lines_add_up_in_the_neutral() -> None:
    """numpy sums three sampled line currents with 40 % third harmonic: the neutral carries 1.2 times the fundamental."""
    angle = np.linspace(0, 2 * np.pi, 20_000, endpoint=False)
    lines = [np.sin(angle + shift) + 0.4 * np.sin(3 * (angle + shift)) for shift in (0, 2 * np.pi / 3, 4 * np.pi / 3)]
    neutral = np.sqrt(np.mean(np.sum(lines, axis=0) ** 2)) / np.sqrt(0.5)
    assert neutral == pytest.approx(float(Decimal("0.4") * 3))

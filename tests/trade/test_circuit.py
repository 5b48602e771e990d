"""The checker's figures against circuits solved here, by Ohm's and Kirchhoff's laws, in floating point.

Nothing of the checker's own code or tables is used to compute the other side; the laws and constants are named.
Where the checker leaves something out on purpose, the test shows that it errs on the careful side, and by how much.
"""

from __future__ import annotations

import cmath
import math
from decimal import Decimal
from typing import Any

import pytest

from tests.trade.judging import check, outcomes

# IEC 60228, class 1 and 2, plain copper, largest resistance at 20 °C, ohm in 1000 m.
OHM_PER_KM = {"1.5 mm2": 12.1, "2.5 mm2": 7.41, "4 mm2": 4.61, "6 mm2": 3.08, "10 mm2": 1.83, "16 mm2": 1.15}
COPPER_PER_K = 0.00393  # IEC 60028, at 20 °C
REACTANCE_OHM_PER_KM = 0.08  # of a cable, IEC 60364-5-52 annex G
SUPPLY_V = 230
HOT = 1 + COPPER_PER_K * 50  # 70 °C

CABLE: dict[str, Any] = {
    "circuit_dedicated": True,
    "conductor_metal": "copper",
    "cable_insulation": "pvc",
    "supply_voltage_v": SUPPLY_V,
    "upstream_drop_percent": 0,
    "phases": "single",
    "loaded_conductors": "two",
    "measured_loop_ohm": "not-stated",
    "power_factor": "not-stated",
    "terminal_c": "not-stated",
}


def figures(answers: dict[str, Any], *names: str) -> list[float]:
    found = check("iec", CABLE | answers)["quantities"]
    return [float(found[name]["exact"]) for name in names]


def phasor_drop(ohm: float, reactance: float, current: float, power_factor: float) -> float:
    """Loss of voltage between board and load, by phasors (Kirchhoff): the load has SUPPLY_V across it."""
    lagging = cmath.rect(current, -math.acos(power_factor))
    return abs(SUPPLY_V + complex(ohm, reactance) * lagging) - SUPPLY_V


@pytest.mark.parametrize("size", OHM_PER_KM)
def test_drop_is_never_less_than_in_the_circuit_that_heats_its_own_load(size: str) -> None:
    """A heater draws less when its voltage sags: the solved circuit loses less than the checker says, by just that share."""
    watts, metres = 3000, 40
    cable = 2 * OHM_PER_KM[size] / 1000 * metres * HOT
    load = SUPPLY_V**2 / watts
    solved = SUPPLY_V * cable / (cable + load)  # voltage divider
    answers = {"load_kind": "heater", "load_power_w": watts, "cable_size": size, "run_length_m": metres}
    (ours,) = figures(answers, "voltage_drop_v")
    assert solved < ours
    assert ours == pytest.approx(solved * (1 + cable / load), rel=0.004)  # the table rounds 1.1965 up to 1.20


@pytest.mark.parametrize("power_factor", [0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 1])
@pytest.mark.parametrize("size", OHM_PER_KM)
def test_a_stated_power_factor_counts_as_in_annex_g(size: str, power_factor: float) -> None:
    metres, current = 50, 20
    cable = 2 * OHM_PER_KM[size] / 1000 * metres * HOT
    reactance = 2 * REACTANCE_OHM_PER_KM / 1000 * metres
    solved = phasor_drop(cable, reactance, current, power_factor)
    answers = {
        "load_kind": "motor",
        "electronic_drive": False,
        "load_current_a": current,
        "power_factor": str(power_factor),
        "cable_size": size,
        "run_length_m": metres,
    }
    (ours,) = figures(answers, "voltage_drop_v")
    # IEC 60364-5-52 annex G: R cos(phi) + X sin(phi). The checker counts the sine as 1, so it is never kinder.
    annex = current * (cable * power_factor + reactance * math.sqrt(1 - power_factor**2))
    assert annex * 0.998 <= ours <= current * (cable * power_factor + reactance) * 1.005
    # What the formula of the annex leaves out beside the phasors: the part of the drop at right angles to the voltage.
    assert solved <= ours * 1.002 + (cable * current) ** 2 / (2 * SUPPLY_V)


@pytest.mark.parametrize(("curve", "multiple"), [("B", 5), ("C", 10), ("D", 20)])  # IEC 60898-1
def test_fault_at_the_longest_length_draws_just_the_tripping_current(curve: str, multiple: int) -> None:
    rating, outside, line, protective = 16, 0.2, "2.5 mm2", "1.5 mm2"
    answers = {
        "supply_system": "tn-s",
        "earth_present": True,
        "rcd": "none",
        "breaker_kind": "breaker",
        "breaker_rating_a": rating,
        "breaker_curve": curve,
        "external_impedance_ohm": str(outside),
        "cable_size": line,
        "protective_size": protective,
    }
    (longest,) = figures(answers, "longest_fault_run_m")
    loop = outside + (OHM_PER_KM[line] + OHM_PER_KM[protective]) / 1000 * longest * 1.20
    assert pytest.approx(rating * multiple) == SUPPLY_V / loop
    for metres, outcome in ((longest - 0.01, "passed"), (longest + 0.01, "failed")):
        report = check("iec", CABLE | answers | {"run_length_m": str(round(metres, 4))})
        assert outcomes(report)["breaker-opens-on-earth-fault"] == outcome


@pytest.mark.parametrize("size", OHM_PER_KM)
def test_at_the_longest_run_the_allowed_share_is_lost_and_a_little_beyond_it_fails(size: str) -> None:
    """5 % (IEC 60364-5-52 Table G.52.1, other uses)."""
    answers = {"load_kind": "heater", "load_current_a": 13, "cable_size": size}
    (longest,) = figures(answers, "longest_run_m")
    lost = 2 * OHM_PER_KM[size] / 1000 * longest * 1.20 * 13
    assert lost == pytest.approx(0.05 * SUPPLY_V)
    for metres, outcome in ((longest - 0.01, "passed"), (longest + 0.01, "failed")):
        report = check("iec", CABLE | answers | {"run_length_m": str(round(metres, 4))})
        assert outcomes(report)["voltage-drop-within-limit"] == outcome


@pytest.mark.parametrize("share", [34, 40, 45, 50, 75, 100])
def test_neutral_current_is_the_one_of_three_summed_waves(share: int) -> None:
    """Kirchhoff, sample by sample: three lines with a third harmonic of `share` percent meet in the neutral.

    The needed cable current is neutral / factor, and IEC 60364-5-52 Table E.52.1 has 0.86 up to 45 %, 1 above.
    """
    samples = 3600
    neutral = []
    for sample in range(samples):
        angle = 2 * math.pi * sample / samples
        lines = [angle - phase * 2 * math.pi / 3 for phase in range(3)]
        neutral.append(sum(math.sqrt(2) * (math.sin(a) + share / 100 * math.sin(3 * a)) for a in lines))
    rms = math.sqrt(sum(value**2 for value in neutral) / samples)  # of a line current (fundamental) of 1 A
    answers = {"loaded_conductors": "three", "third_harmonic_percent": share}
    (ours,) = figures(answers, "harmonic_factor")
    assert ours == pytest.approx((0.86 if share <= 45 else 1) / rms)


@pytest.mark.parametrize(("output", "efficiency", "power_factor"), [(750, 0.7, 0.75), (1500, 0.8, 0.8), (90, 0.5, 0.6)])
def test_motor_takes_in_what_it_gives_and_what_it_loses(output: int, efficiency: float, power_factor: float) -> None:
    """Conservation of energy: U x I x power factor x efficiency is the power at the shaft."""
    answers = {
        "load_kind": "motor",
        "electronic_drive": False,
        "motor_output_w": output,
        "efficiency": str(efficiency),
        "power_factor": str(power_factor),
    }
    (current,) = figures(answers, "design_current_a")
    assert output == pytest.approx(SUPPLY_V * current * power_factor * efficiency)


@pytest.mark.parametrize("watts", [1500, 2000, 3000, 4000])
def test_heater_obeys_ohm_at_the_upper_voltage(watts: int) -> None:
    """IEC 60038: 230 V + 10 %. A resistance, so the current grows with the voltage."""
    answers = {"load_kind": "water-heater", "load_power_w": watts, "load_voltage_v": 230}
    (ours,) = figures(answers, "upper_voltage_current_a")
    assert ours == pytest.approx(253 / (230**2 / watts))


def test_heater_made_for_less_voltage_draws_more_on_this_supply() -> None:
    """3 kW at 220 V is 16.13 ohm: at 240 V it draws 14.88 A, not 3000 / 240 = 12.5 A (Ohm)."""
    answers = {"load_kind": "heater", "load_power_w": 3000, "load_voltage_v": 220, "supply_voltage_v": 240}
    (ours,) = figures(answers, "design_current_a")
    assert ours == pytest.approx(240 / (220**2 / 3000))


def test_units_hold_together() -> None:
    """Twice the length doubles the drop and R1+R2; twice the current doubles the drop and halves the run."""
    answers = {
        "load_kind": "heater",
        "load_current_a": 8,
        "cable_size": "2.5 mm2",
        "protective_size": "1.5 mm2",
        "run_length_m": 10,
    }
    names = ("voltage_drop_v", "expected_r1_r2_ohm", "longest_run_m")

    def exact(changed: dict[str, Any]) -> list[Decimal]:
        found = check("iec", CABLE | answers | changed)["quantities"]
        return [Decimal(found[name]["exact"]) for name in names]

    drop, loop, run = exact({})
    assert exact({"run_length_m": 20}) == [2 * drop, 2 * loop, run]
    doubled = exact({"load_current_a": 16})
    assert doubled[:2] == [2 * drop, loop]
    assert doubled[2] * 2 == pytest.approx(run)

"""Heat in a protective conductor during a fault, stepped through in time, against the size the checker asks for.

Constants of IEC 60364-5-54 annex A for copper. No heat leaves (adiabatic); resistance rises with temperature. The checker
itself only squares k x S: the temperature is never computed there.
"""

from __future__ import annotations

import pytest

from tests.trade.judging import check

HEAT_J_PER_K_MM3 = 3.45e-3
BETA_K = 234.5
RHO_20_OHM_MM = 17.241e-6
TIME_S = 0.1  # IEC 60898-1: "at once" is less than 0.1 s
START_C, END_C = {"pvc": 70, "xlpe": 90}, {"pvc": 160, "xlpe": 250}
SIZES = [1, 1.5, 2.5, 4, 6, 10, 16]


def temperature_after(current: float, area: float, start: float) -> float:
    """°C of a conductor of `area` mm² after TIME_S at `current` A, by small steps; far above any limit it stops."""
    steps, celsius = 20000, start
    for _ in range(steps):
        resistivity = RHO_20_OHM_MM * (BETA_K + celsius) / (BETA_K + 20)
        celsius += (current / area) ** 2 * resistivity * (TIME_S / steps) / HEAT_J_PER_K_MM3
        if celsius > 1000:
            break
    return celsius


@pytest.mark.parametrize("insulation", ["pvc", "xlpe"])
@pytest.mark.parametrize("outside", [0.2, 0.25, 0.35, 0.5, 0.8, 1.2])
def test_the_size_asked_for_stays_below_its_limit_and_the_next_thinner_does_not(
    insulation: str, outside: float
) -> None:
    answers = {
        "supply_system": "tn-s",
        "earth_present": True,
        "supply_voltage_v": 230,
        "external_impedance_ohm": str(outside),
        "breaker_kind": "breaker",
        "breaker_rating_a": 16,
        "breaker_curve": "B",
        "conductor_metal": "copper",
        "cable_insulation": insulation,
        "cable_size": "2.5 mm2",
        "protective_size": "1.5 mm2",
        "run_length_m": 1,
    }
    size = float(check("iec", answers)["quantities"]["protective_adiabatic_mm2"]["exact"])
    current, start, limit = 230 / outside, START_C[insulation], END_C[insulation]
    # k is printed as a whole number: half of one is under half a percent, and twice that in energy.
    assert temperature_after(current, size, start) - start <= (limit - start) * 1.02
    thinner = [other for other in SIZES if other < size]
    if thinner:
        assert temperature_after(current, thinner[-1], start) - start > (limit - start) * 0.98


def test_the_step_by_step_sum_agrees_with_the_closed_formula() -> None:
    """k = 115 (IEC 60364-5-54 Table A.54.4): at I = k x S / sqrt(t) PVC ends at 160 °C. Shows that the stepping itself is right."""
    current = 115 * 1.5 / TIME_S**0.5
    assert temperature_after(current, 1.5, 70) == pytest.approx(160, abs=1)

"""What a load draws at another voltage, together with others, and at the moment it starts.

Physics, unless a test names another source.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest

from tests.trade.judging import PACKS, fitting, outcomes, undecided_or_failed

both_packs = pytest.mark.parametrize("pack", PACKS)


def amperes(report: dict[str, Any], name: str) -> Decimal:
    exact = Decimal(report["quantities"][name]["exact"])
    return exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


@both_packs
@pytest.mark.parametrize(("watts", "printed"), [(3000, "14.35"), (4000, "19.13")])
def test_a_heater_draws_in_step_with_the_voltage(pack: str, watts: int, printed: str) -> None:
    """Ohm's law: made for 230 V, on 253 V a tenth more current. Both ways of asking give the same figure."""
    heater = {"load_current_a": "not-stated", "load_power_w": watts, "load_voltage_v": 230}
    at_253 = fitting(pack, **heater, supply_voltage_v=253)
    at_230 = fitting(pack, **heater, supply_voltage_v=230)
    assert amperes(at_253, "design_current_a") == amperes(at_230, "upper_voltage_current_a") == Decimal(printed)


@both_packs
def test_a_plate_for_a_range_of_voltages_never_lowers_the_current(pack: str) -> None:
    heater = {"load_current_a": "not-stated", "load_power_w": 2000}
    plain = fitting(pack, **heater, load_voltage_v=230)["quantities"]["design_current_a"]["exact"]
    assert fitting(pack, **heater, load_voltage_v=240)["quantities"]["design_current_a"]["exact"] == plain


@both_packs
def test_what_hangs_on_the_circuit_is_counted_where_it_flows(pack: str) -> None:
    """5 A of heater and 4 A beside it: breaker, cable and drop see 9 A; the contact sees it only if it switches it."""
    others = {"circuit_dedicated": False, "other_load_a": 4}
    apart = fitting(pack, **others, other_load_switched=False)
    assert apart["headline"] == "fits", undecided_or_failed(apart)
    found = {name: apart["quantities"][name]["exact"] for name in ("circuit_current_a", "running_current_a")}
    assert set(found.values()) == {"9"}
    assert apart["quantities"]["switched_current_a"]["exact"] == "5"
    alone = fitting(pack)["quantities"]["voltage_drop_v"]["exact"]
    assert Decimal(apart["quantities"]["voltage_drop_v"]["exact"]) == Decimal(alone) * 9 / 5
    together = fitting(pack, **others, other_load_switched=True)
    assert together["quantities"]["switched_current_a"]["exact"] == "9"
    assert undecided_or_failed(together) == {"circuit-dedicated"}
    too_much = fitting(pack, circuit_dedicated=False, other_load_a="5.000000000001", other_load_switched=False)
    assert undecided_or_failed(too_much) == {"breaker-carries-load"}


@both_packs
def test_not_knowing_the_others_decides_only_what_this_load_decides_alone(pack: str) -> None:
    doubt = {"circuit_dedicated": False, "other_load_a": "dont-know", "other_load_switched": False}
    open_ = outcomes(fitting(pack, **doubt))
    assert open_["breaker-carries-load"] == open_["load-within-cable"] == "cannot-tell"
    assert outcomes(fitting(pack, **doubt, load_current_a="10.1"))["breaker-carries-load"] == "failed"


@both_packs
@pytest.mark.parametrize(("curve", "lowest", "highest"), [("B", 30, 50), ("C", 50, 100), ("D", 100, 200)])
def test_a_breaker_holds_and_trips_by_its_letter(pack: str, curve: str, lowest: int, highest: int) -> None:
    """10 A by IEC 60898-1: B 3 to 5, C 5 to 10, D 10 to 20 times (`breaker-note`, `breaker-summary-india`)."""
    motor = {"load_kind": "motor", "load_current_a": 5, "device_motor_a": 8, "breaker_curve": curve}
    for start, sure, possible in (
        (lowest, "passed", "passed"),
        (lowest + 1, "failed", "passed"),
        (highest + 1, "failed", "failed"),
    ):
        found = outcomes(fitting(pack, **motor, inrush_current_a=start))
        assert (found["start-below-tripping"], found["motor-start-within-breaker"]) == (sure, possible)


@both_packs
@pytest.mark.parametrize(
    ("curve", "rating", "count"),
    [("C", 10, 31), ("C", 16, 50), ("C", 20, 62), ("B", 10, 18), ("B", 16, 30), ("B", 20, 37)],
)
def test_led_drivers_by_type_of_breaker(pack: str, curve: str, rating: int, count: int) -> None:
    """An LED driver's manual (`driver-manual`): C16 100 %, C10 62, C20 125, B10 37, B16 60, B20 75; 50 drivers on C16."""
    lamps = {"load_kind": "led-lamps", "drivers_per_c16": 50, "breaker_curve": curve, "breaker_rating_a": rating}
    assert outcomes(fitting(pack, **lamps, lamp_count=count))["drivers-within-breaker"] == "passed"
    assert outcomes(fitting(pack, **lamps, lamp_count=count + 1))["drivers-within-breaker"] == "failed"

"""The sheet names no limit that its own findings would break, and asks for a closed contact before the dead tests."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.core import asking

TN = tuple(pack for pack in asking.PACKS if pack != "us")  # no loop is measured there
LONG = {
    "rcd": "30-ma",
    "breaker_curve": "C",
    "breaker_rating_a": 16,
    "external_impedance_ohm": "0.8",
    "run_length_m": 40,
}


def texts(report: dict, key: str = "tests") -> str:
    return "\n".join(entry["text"] for entry in report[key])


@pytest.mark.parametrize("pack", TN)
def test_a_pass_by_rcd_does_not_fail_its_own_sheet(pack):
    """0.8 Ω at the board and 40 m of 2.5 mm²: about 1.4 Ω, more than a C16 alone allows on the meter."""
    report = asking.ask(asking.sound(pack) | LONG, pack)
    assert asking.found(report, "breaker-opens-on-earth-fault")["outcome"] == "passed"
    quantities = report["quantities"]
    expected, alone = quantities["expected_loop_ohm"], quantities["measured_loop_limit_ohm"]
    assert Decimal(expected["exact"]) > Decimal(alone["exact"])
    assert f"about {expected['value']}" in texts(report) and f"{alone['value']}\N{NO-BREAK SPACE}Ω" not in texts(report)


@pytest.mark.parametrize("pack", TN)
def test_the_sheet_asks_no_more_of_an_earth_rod_than_the_rules(pack):
    """A 30 mA RCD opens with 1667 Ω, but above 200 Ω the rod fails (BS 7671, Table 41.5, note 2): the sheet says 200 Ω."""
    answers = asking.sound(pack) | {"supply_system": "tt", "external_impedance_ohm": 90}
    report = asking.ask(answers, pack)
    limit = Decimal(report["quantities"]["electrode_reading_limit_ohm"]["exact"])
    assert limit == 200
    at, over = (
        asking.found(
            asking.ask(answers | {"measured_loop_ohm": value, "external_impedance_ohm": "dont-know"}, pack),
            "earth-electrode-steady",
        )
        for value in (limit, limit + 1)
    )
    assert (at["outcome"], over["outcome"]) == ("passed", "failed")


@pytest.mark.parametrize("pack", asking.PACKS)
def test_the_contact_is_closed_before_continuity_and_insulation(pack):
    report = asking.ask(asking.sound(pack), pack)
    told = [entry["text"].lower() for entry in report["tests"]]
    closed = next(place for place, text in enumerate(told) if "close the contact" in text)
    assert all(
        closed < place
        for place, text in enumerate(told)
        if text.startswith(("continuity", "insulation", "earth continuity"))
    )

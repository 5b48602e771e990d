"""The values that a report gives to the person with the meter and the screwdriver: for this circuit, or said to be missing."""

from __future__ import annotations

from typing import Any

import pytest

from tests.core import asking

# The sound case: 12 m of 2.5 mm2 copper with a 2.5 mm2 protective conductor behind a B16, 3 kW at 230 V, an RCD of 30 mA.
CIRCUIT: dict[str, Any] = asking.FITS | {
    "run_length_m": 12, "cable_size": "2.5 mm2", "protective_size": "2.5 mm2", "breaker_rating_a": 16, "breaker_curve": "B",
    "supply_system": "tn-c-s", "rcd": "30-ma", "load_power_w": 3000, "load_current_a": "not-stated",
}  # fmt: skip


def said(answers: dict[str, Any], item: str, section: str = "tests", pack: str = "iec") -> str:
    """The text of one item; empty when the report leaves it out."""
    held = {entry["id"]: entry["text"] for entry in asking.ask(answers, pack)[section]}
    return held.get(item, "")


@pytest.mark.parametrize(
    ("item", "values"),
    [
        # IEC 60228 class 1 and 2: 7.41 ohm/km for 2.5 mm2, so 12 m x 2 x 7.41 mohm/m = 0.178 ohm.
        ("continuity", ["12 m", "2.5 mm²", "0.18 Ω"]),
        # IEC 60364-6 Table 6.1, as a railway's rules and a trade magazine print it.
        ("insulation-resistance", ["500 V", "1 MΩ"]),
        # 230 V / (5 x 16 A), as a wiring textbook lists it for a B16 (2.87); 2/3 of it for cold conductors.
        ("loop-impedance", ["2.87 Ω", "1.91 Ω"]),
        # Two testers' manuals after IEC 61008-1: 300 ms, and 40 ms at five times.
        ("rcd-test", ["30 mA", "300 ms", "40 ms"]),
        # Physics: 3000 W / 230 V.
        ("functional", ["13.04 A"]),
        ("voltage-under-load", ["230 V"]),
    ],
)
def test_a_test_names_the_value_of_this_circuit(item, values):
    # Behind an RCD the breaker's own limit is not the one to measure against.
    text = said(CIRCUIT | ({"rcd": "none"} if item == "loop-impedance" else {}), item)
    assert [value for value in values if value not in text] == []


@pytest.mark.parametrize(
    ("item", "unknown", "words"),
    [
        ("continuity", "run_length_m", "fits its length and size"),
        ("continuity", "protective_size", "fits its length and size"),
        ("loop-impedance", "breaker_curve", "not enough to work out that limit"),
        ("rcd-test", "rcd", "rated residual current"),
        ("functional", "load_power_w", "on its plate"),
        ("voltage-under-load", "supply_voltage_v", "hardly lower"),
    ],
)
def test_a_value_that_is_not_known_is_told_in_other_words(item, unknown, words):
    without = {"rcd": "none"} if item == "loop-impedance" else {}
    text = said(CIRCUIT | without | {unknown: "dont-know"}, item)
    assert words in text
    assert "not known" not in text


@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("told", ["nothing", "no idea", "all"])
def test_no_test_and_no_step_has_a_hole(told, pack):
    sound = asking.sound(pack)
    curve = {"breaker_curve": "B"} if "breaker_curve" in sound else {}
    answers = {"nothing": {}, "no idea": dict.fromkeys(sound, "dont-know"), "all": sound | curve}[told]
    report = asking.ask(answers, pack)
    texts = [entry["text"] for section in ("tests", "steps") for entry in report[section]]
    assert not [text for text in texts if "(not known)" in text or "{" in text]


def test_behind_an_electrode_the_resistance_to_earth_is_measured_instead():
    """IEC 60364-4-41 411.5.3: 50 V / 500 mA = 100 ohm, 67 on a cold meter. For 30 mA the 200 ohm of a steady rod are less."""
    answers = CIRCUIT | {"supply_system": "tt"}
    assert "200 Ω" in said(answers, "earth-electrode")
    assert "66.66 Ω" in said(answers | {"rcd": "other", "rcd_rating_ma": 500}, "earth-electrode")
    assert not said(answers, "loop-impedance") and not said(answers, "loop-behind-rcd")
    assert not said(CIRCUIT, "earth-electrode")


def test_only_an_rcd_of_another_rating_may_be_of_the_delayed_type():
    """Testers' manuals after IEC 61008-1: S holds 130 ms and opens within 500 ms."""
    assert not said(CIRCUIT, "rcd-test-selective")
    text = said(CIRCUIT | {"rcd": "other", "rcd_rating_ma": 100}, "rcd-test-selective")
    assert "130 ms" in text and "500 ms" in text
    assert "100 mA" in said(CIRCUIT | {"rcd": "other", "rcd_rating_ma": 100}, "rcd-test")


def test_without_an_rcd_none_is_tested():
    assert not said(CIRCUIT | {"rcd": "none"}, "rcd-test")


@pytest.mark.parametrize(
    ("answers", "torque"),
    [
        ({"device_torque_nm": "0.6", "terminal_screw_mm": 4}, "0.6 N·m"),  # marked: it wins
        ({"device_torque_nm": "not-stated", "terminal_screw_mm": 4}, "1.2 N·m"),  # IEC 60730-1 table 19.1, M4
        ({"device_torque_nm": "not-stated", "terminal_screw_mm": 5}, "2 N·m"),  # the same table, M5
    ],
)
def test_the_step_names_the_torque(answers, torque):
    assert torque in said(CIRCUIT | answers, "tighten", "steps")


def test_a_torque_that_may_be_marked_is_not_taken_from_the_table():
    text = said(CIRCUIT | {"device_torque_nm": "dont-know", "terminal_screw_mm": 4}, "tighten", "steps")
    assert "N·m" not in text and "marked torque" in text


def test_fine_strands_get_a_ferrule_of_their_size():
    """Two trade pages after DIN 46228-4: blue is 2.5 mm2, black 1.5 mm2; nothing is known for 16 mm2."""
    fine = CIRCUIT | {"link_strands": "fine", "ferrules": True}
    assert "2.5 mm²" in said(fine, "ferrules", "steps") and "blue" in said(fine, "ferrules", "steps")
    assert "black" in said(fine | {"link_size": "1.5 mm2"}, "ferrules", "steps")
    assert "collar" not in said(fine | {"link_size": "16 mm2"}, "ferrules", "steps")
    assert not said(CIRCUIT, "ferrules", "steps")

"""Asking the checker about one case, with every figure that the pack knows from memory taken as confirmed.

Trade facts are about copper and contacts, not about how well a figure is known: so the doubt about such a figure, which is
tested elsewhere, is taken out here.
"""

from __future__ import annotations

import functools
import json
from typing import Any

from checker.core.api import handle

PACKS = ("gb", "iec", "za")
# Of these the ones with printed ratings: za has lower bounds for most cables, which pass and never fail.
PRINTED = ("gb", "iec")
AS_OF = "2026-11-25"
RANK = {"change": 0, "find-out": 1, "fits": 2}

# A heater of 5 A behind a 10 A breaker, everything else far from any limit: the tests change what they are about.
FITTING: dict[str, Any] = {
    "worker": "licensed",
    "premises": "other",
    "isolation": "whole-board",
    "lock_off": True,
    "tester": "two-pole",
    "tester_proved": True,
    "other_supply": "none",
    "board_condition": "sound",
    "earth_present": True,
    "conductor_metal": "copper",
    "life_safety_load": False,
    "location": "indoors",
    "load_kind": "heater",
    "electronic_drive": False,
    "car_charger": False,
    "load_current_a": 5,
    "circuit_dedicated": True,
    "device_kind": "time-switch",
    "device_resistive_a": 125,
    "device_modules": 2,
    "device_terminal_min_mm2": 0,
    "device_terminal_max_mm2": 50,
    "clock_supply": "same-breaker",
    "spare_modules": 4,
    "board_ambient_c": 30,
    "rcd_type": "a",
    "terminal_wires": "one",
    "breaker_neighbours": 0,
    "torque_tool": True,
    "device_torque_nm": 0.8,
    "breaker_rating_a": 10,
    "breaker_kind": "breaker",
    "fault_current_ka": 3,
    "breaker_capacity_ka": 6,
    "link_size": "16 mm2",
    "link_strands": "solid",
    "cable_size": "2.5 mm2",
    "cable_insulation": "pvc",
    "method": "C",
    "ambient_c": 30,
    "grouped_circuits": 1,
    "insulation_length_mm": 0,
    "third_harmonic_percent": 0,
    "run_length_m": 5,
    "upstream_drop_percent": 0,
    "supply_system": "tn-c-s",
    "protective_size": "16 mm2",
    "rcd": "30-ma",
    "load_voltage_v": 230,
    "run_hours": 2,
    "device_voltage_v": 250,
    "clock_voltage_v": 230,
    "device_contact": "voltage-free",
    "contact_feed": "own-breaker",
    "contact_action": "normally-open",
    "device_poles": "one",
    "breaker_curve": "C",
    "device_short_circuit_ka": 6,
    "contactor_voltage_v": 400,
    "contactor_coil_v": 230,
    "control_size": "2.5 mm2",
    "control_terminal_max_mm2": 50,
    "contactor_category": "ac-3",
    "lamp_capacitor_uf": 0,
    "neutral_bar": "same-rcd",
    "supply_voltage_v": 230,
    "phases": "single",
    "circuit_shape": "radial",
    "loaded_conductors": "two",
    # What no label here says.
    **dict.fromkeys(
        (
            *("load_power_w", "power_factor", "efficiency", "motor_output_w", "inrush_current_a", "drivers_per_c16"),
            *("device_inductive_a", "device_motor_a", "device_filament_w", "device_led_w", "device_discharge_w"),
            *("device_inrush_a", "device_capacitor_uf", "device_backup_a", "contactor_coil_a", "contactor_motor_a"),
            *("clock_backup_a", "breaker_energy_class", "measured_loop_ohm", "terminal_c", "device_ambient_max_c"),
            *("board_diversity", "starts_per_hour", "tank_litres", "water_hot_c", "water_cold_c"),
        ),
        "not-stated",
    ),
}


# What the fitting case says otherwise where a pack asks otherwise.
LOCAL: dict[str, dict[str, Any]] = {"gb": {"device_place": "in-board", "board_maker_accepts": True}}
# A round cable clipped to a wall is C, but where C is flat cable, which has a thin earth and no figures for three lines.
ROUND_CABLE = {"gb": {"C": "C-round"}}


def ask(request: dict[str, Any]) -> dict[str, Any]:
    """The reply, without counsel: it takes most of the time, and no trade fact looks at it."""
    reply = json.loads(handle(json.dumps({"format": 1, "as_of": AS_OF, "counsel": False} | request)))
    if "error" in reply:
        raise AssertionError(f"the checker gives an error: {reply['error']}")
    return reply


@functools.cache
def described(pack: str) -> dict[str, Any]:
    return ask({"ask": "describe", "pack": pack})


@functools.cache
def from_memory(pack: str) -> tuple[str, ...]:
    """The id of every cell, parameter and rule of a pack that gives no pass until it is confirmed."""
    held = described(pack)
    figures = {
        f"{table['id']}/{'/'.join(cell['keys'])}": cell["status"] for table in held["tables"] for cell in table["cells"]
    }
    figures |= {item["id"]: item["status"] for kind in ("parameters", "rules") for item in held[kind]}
    return tuple(name for name, status in figures.items() if status == "memory")


def choices(pack: str, question: str) -> list[str]:
    held = next(item for item in described(pack)["questions"] if item["id"] == question)
    return [choice["value"] for choice in held["choices"]]


def check(pack: str, answers: dict[str, Any], *, confirmed: bool = True) -> dict[str, Any]:
    """The report for these answers and no others."""
    figures = from_memory(pack) if confirmed else ()
    return ask({"ask": "check", "pack": pack, "answers": answers, "confirmed": list(figures)})


def fitting(pack: str, **changed: Any) -> dict[str, Any]:
    """The report for the fitting case with some answers changed; None takes an answer out."""
    answers = {name: value for name, value in (FITTING | LOCAL.get(pack, {}) | changed).items() if value is not None}
    if "method" in answers:
        answers["method"] = ROUND_CABLE.get(pack, {}).get(answers["method"], answers["method"])
    return check(pack, answers)


def outcomes(report: dict[str, Any]) -> dict[str, str]:
    """The outcome of every rule, by its id."""
    return {row["rule"]: row["outcome"] for row in report["findings"]}


def undecided_or_failed(report: dict[str, Any]) -> set[str]:
    """The rules that keep the case from fitting; advice never does."""
    return {
        row["rule"]
        for row in report["findings"]
        if row["outcome"] in ("failed", "cannot-tell") and row["weight"] != "advice"
    }

"""What the tests of core, rules and packs share: one sound case, and the one door to ask through."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
from typing import Any

import pytest

from checker import packs
from checker.core.api import handle

AS_OF = "2026-11-25"

# A 3 kW water heater behind a 16 A time switch: every rule that applies passes, in every pack.
FITS: dict[str, Any] = {
    "isolation": "whole-board", "lock_off": True, "tester": "two-pole", "tester_proved": True,
    "other_supply": "none", "board_condition": "sound", "earth_present": True, "life_safety_load": False,
    "worker": "licensed", "conductor_metal": "copper", "premises": "dwelling",
    "load_kind": "water-heater", "circuit_dedicated": True, "load_power_w": 3000,
    "device_kind": "time-switch", "device_resistive_a": 16, "clock_supply": "same-breaker",
    "breaker_rating_a": 16, "breaker_kind": "breaker", "fault_current_ka": 3, "breaker_capacity_ka": 6,
    "cable_size": "2.5 mm2", "cable_insulation": "pvc", "method": "B2", "ambient_c": 30, "grouped_circuits": 1,
    "insulation_length_mm": 0, "run_length_m": 12, "upstream_drop_percent": 0, "supply_system": "tn-c-s", "protective_size": "2.5 mm2",
    "link_size": "2.5 mm2", "link_strands": "solid", "device_terminal_min_mm2": 1, "device_terminal_max_mm2": 6,
    "device_modules": 2, "spare_modules": 3, "board_ambient_c": 30, "breaker_neighbours": 0,
    "torque_tool": True, "device_torque_nm": "0.8",
    "rcd": "30-ma", "neutral_bar": "same-rcd", "location": "indoors",
    "electronic_drive": False, "car_charger": False, "load_voltage_v": 230, "run_hours": 2, "device_voltage_v": 250, "clock_voltage_v": 230,
    "device_contact": "voltage-free", "contact_feed": "own-breaker", "contact_action": "normally-open",
    "device_poles": "one", "breaker_curve": "B", "device_short_circuit_ka": 6, "device_backup_a": "not-stated",
    "phases": "single", "supply_voltage_v": 230, "circuit_shape": "radial", "loaded_conductors": "two", "terminal_wires": "one",
}  # fmt: skip

# What no label here says. A fact that nobody was asked for is another thing: it lets nothing pass.
LEFT_OUT = (
    "board_diversity", "breaker_energy_class", "clock_voltage_v", "contactor_category", "contactor_coil_a",
    "contactor_motor_a", "contactor_voltage_v", "device_ambient_max_c", "device_backup_a", "device_capacitor_uf",
    "device_discharge_w", "device_filament_w", "device_inductive_a", "device_led_w", "device_motor_a",
    "device_short_circuit_ka", "device_torque_nm", "drivers_per_c16", "efficiency", "inrush_current_a",
    "lamp_capacitor_uf", "load_current_a", "load_power_w", "load_voltage_v", "measured_loop_ohm", "motor_output_w",
    "other_load_a", "power_factor", "starts_per_hour", "tank_litres", "water_cold_c", "water_hot_c",
)  # fmt: skip
FITS = dict.fromkeys(LEFT_OUT, "not-stated") | FITS

# What the sound case says otherwise where a pack asks otherwise; None takes an answer out.
LOCAL: dict[str, dict[str, Any]] = {
    "gb": {
        "skilled_tester": False, "place": "england", "work_scope": "existing-circuit", "work_place": "elsewhere",
        "device_place": "in-board", "board_maker_accepts": True,
    },
    "au": {"insulation_length_mm": None, "method": "E", "like_for_like": False, "code_current_a": "not-stated"},
    # 12.5 A at 240 V, counted at 125 %: 20 A, and 422.11(E) allows no more. A clock in its own enclosure beside the panel.
    "us": {
        **dict.fromkeys(
            (
                "supply_system",
                "grouped_circuits",
                "insulation_length_mm",
                "upstream_drop_percent",
                "breaker_neighbours",
                "breaker_curve",
            )
        ),
        "supply_voltage_v": 240,
        "phases": "split",
        "device_poles": "two",
        "device_resistive_a": 40,
        "breaker_rating_a": 20,
        "breaker_capacity_ka": 10,
        "cable_size": "12 AWG",
        "cable_insulation": "nm-b",
        "method": "cable",
        "current_carrying_conductors": 2,
        "terminal_c": "not-stated",
        "protective_size": "12 AWG",
        "link_size": "12 AWG",
        "link_insulation": "thhn",
        "device_terminal_min_mm2": 2.08,
        "device_terminal_max_mm2": 8.37,
        "device_place": "enclosed-device",
        "working_space": True,
        "device_listed": True,
        "neutral_at_device": True,
        "load_breaker_marked_a": "not-stated",
        "rcd": "none",
        "location": "utility",
        "place": "other",
        "permit": "issued",
        "load_voltage_v": 240,
        "device_voltage_v": 480,
        "clock_voltage_v": 240,
        "afci": False,
        "owner_occupier": False,
    },
    "nz": {"insulation_length_mm": None, "method": "C", "code_current_a": 20},
}  # fmt: skip


def sound(pack: str) -> dict[str, Any]:
    """The sound case in the terms of one pack: what it does not name of a label, the label leaves out."""
    asked = {q["id"]: q["unanswered"] for q in contents()[pack]["questions"]}
    told = {name: value for name, value in (FITS | LOCAL.get(pack, {})).items() if value is not None and name in asked}
    return {name: "not-stated" for name, open_ in asked.items() if open_ == "not-stated"} | told


def text(answers: Any, pack: str = "iec", **more: Any) -> str:
    """A request as JSON text; Decimals go in as decimal strings. Without counsel, which few tests look at."""
    request = {"format": 1, "ask": "check", "pack": pack, "as_of": AS_OF, "answers": answers, "counsel": False}
    request |= more
    return json.dumps(request, default=str)


def ask(answers: Any, pack: str = "iec", **more: Any) -> dict[str, Any]:
    """The reply, which must not be an error."""
    reply = json.loads(handle(text(answers, pack, **more)))
    assert "error" not in reply, reply
    return reply


def outcomes(report: dict[str, Any]) -> dict[str, str]:
    return {finding["rule"]: finding["outcome"] for finding in report["findings"]}


def found(report: dict[str, Any], rule: str) -> dict[str, Any]:
    """The finding of one rule."""
    (finding,) = (finding for finding in report["findings"] if finding["rule"] == rule)
    return finding


@cache
def contents() -> dict[str, dict[str, Any]]:
    """What each compiled pack holds, by pack id."""
    held = [json.loads(packs.read(name), parse_float=Decimal)["content"] for name in packs.names()]
    return {content["pack"]["id"]: content for content in held}


PACKS = tuple(contents())


def each_pack(test: Callable) -> Callable:
    """A test of every rule set, of which `make test` takes some."""
    return pytest.mark.sampled(one_in=4, by="pack")(pytest.mark.parametrize("pack", PACKS)(test))


def walk(
    answer: Callable[[dict[str, Any]], Any], pack: str = "iec", beyond: bool = False
) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """The run of questions, each answered by `answer(question)`: the replies to `next`, with the answers so far.

    It ends where the verdict is settled; `beyond`: go on there, until nothing is open any more.
    """
    given: dict[str, Any] = {}
    while True:
        reply = ask(given, pack, ask="next")
        yield reply, dict(given)
        question = reply["question"] or (reply["beyond"]["question"] if beyond else None)
        if question is None:
            return
        assert question["id"] not in given, f"{question['id']} is asked a second time"
        given[question["id"]] = answer(question)

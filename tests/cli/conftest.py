"""Answers that fit, the command as a process of its own, and small stand-ins for the core."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

# An invented water heater on a dedicated circuit. That 1.5, 2.5 and 4 mm² all serve small breakers and that a 20 A
# breaker needs at least 2.5 mm² is common practice, no source; the tests below lean on nothing finer than that.
FITS = {
    "isolation": "whole-board", "lock_off": True, "tester": "two-pole", "tester_proved": True, "other_supply": "none",
    "board_condition": "sound", "earth_present": True, "life_safety_load": False, "worker": "licensed",
    "conductor_metal": "copper", "load_kind": "water-heater", "circuit_dedicated": True, "load_power_w": 3000,
    "device_kind": "time-switch", "device_resistive_a": 20, "clock_supply": "same-breaker", "breaker_rating_a": 16,
    "breaker_kind": "breaker", "breaker_capacity_ka": 6, "fault_current_ka": 3, "insulation_length_mm": 0, "run_length_m": 12,
    "upstream_drop_percent": 0, "supply_system": "tn-c-s", "protective_size": "2.5 mm2",
    "cable_size": "2.5 mm2", "cable_insulation": "pvc", "method": "C", "ambient_c": 30, "grouped_circuits": 1,
    "link_size": "2.5 mm2", "link_strands": "solid", "device_terminal_min_mm2": 1, "device_terminal_max_mm2": 6,
    "device_modules": 2, "spare_modules": 4, "board_ambient_c": 30, "breaker_neighbours": 0, "torque_tool": True,
    "device_torque_nm": 0.8, "rcd": "30-ma", "neutral_bar": "same-rcd", "location": "indoors",
    "load_voltage_v": 230, "run_hours": 2, "device_voltage_v": 250, "clock_voltage_v": 230,
    "device_contact": "voltage-free", "contact_feed": "own-breaker", "contact_action": "normally-open",
    "device_poles": "one", "breaker_curve": "B", "device_short_circuit_ka": 6, "terminal_wires": "one",
    "phases": "single", "supply_voltage_v": 230, "loaded_conductors": "two", "circuit_shape": "radial",
    "device_backup_a": 20, "measured_loop_ohm": 0.5, "load_current_a": "not-stated",
}  # fmt: skip
DATE = "2026-11-25"


def toml(answers: dict, **top: str) -> str:
    """An answers file. JSON's texts, numbers, true and false are TOML's."""
    head = {"pack": "iec", "as_of": DATE, **top}
    lines = [f"{key} = {json.dumps(value)}" for key, value in head.items()]
    return "\n".join([*lines, "[answers]", *(f"{key} = {json.dumps(value)}" for key, value in answers.items())]) + "\n"


@pytest.fixture
def fits():
    """Text of an answers file that fits, with some answers changed (None: left out)."""

    def make(**changed) -> str:
        answers = {key: value for key, value in (FITS | changed).items() if value is not None}
        return toml(answers)

    return make


@pytest.fixture
def answers() -> dict:
    return dict(FITS)


@pytest.fixture
def write(tmp_path):
    """Write a file, text or bytes; its path."""

    def put(content, name: str = "answers.toml") -> str:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return str(path)

    return put


@pytest.fixture
def environment() -> dict:
    """The environment of the command: nothing of the developer's own terminal in it."""
    kept = {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR", "PYTHONIOENCODING")}
    return {**kept, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "PYTHONDONTWRITEBYTECODE": "1"}


@pytest.fixture
def spareway(tmp_path, environment):
    """Run the command in an empty folder."""

    def run(*arguments: str, stdin: str | bytes = b"", **environ: str) -> subprocess.CompletedProcess:
        return start([sys.executable, "-m", "checker.cli", *arguments], tmp_path, {**environment, **environ}, stdin)

    return run


@pytest.fixture
def python(tmp_path, environment):
    """Run Python code in an empty folder, with the command importable."""

    def run(code: str, *arguments: str, **environ: str) -> subprocess.CompletedProcess:
        return start([sys.executable, "-c", code, *arguments], tmp_path, {**environment, **environ}, b"")

    return run


def start(command: list[str], folder, environ: dict, stdin: str | bytes) -> subprocess.CompletedProcess:
    data = stdin if isinstance(stdin, bytes) else stdin.encode()
    done = subprocess.run(command, input=data, cwd=folder, env=environ, capture_output=True, check=False, timeout=600)
    done.stdout, done.stderr = done.stdout.decode(), done.stderr.decode()
    return done


@pytest.fixture
def report() -> dict:
    """A report with something in every part; figures and titles are invented."""
    source = {"id": "book", "title": "A book of tables", "clause": "table 7", "status": "two-sources"}
    weak = {"id": "common-practice", "title": "Common practice", "clause": "trade practice", "status": "practice"}
    cell = {
        "id": "cable-current/C/2.5", "value": "27", "unit": "A", "status": "two-sources", "source": "book",
        "clause": "table 7", "checked": DATE,
    }  # fmt: skip

    def side(name, value, unit="A"):
        return {"name": name, "value": value, "exact": value, "unit": unit}

    def finding(rule, outcome, stage="cable", **more):
        base = {
            "rule": rule, "title": f"Title of {rule}", "stage": stage, "weight": "standard", "outcome": outcome,
            "message": f"Message of {rule}.", "fix": None, "reasons": [], "status": "two-sources", "sources": [source],
            "cells": [], "left": None, "right": None, "margin_percent": None,
        }  # fmt: skip
        return {**base, **more}

    findings = [
        finding("dead", "passed", "before-touching"),
        finding("licence", "passed", "who-may", sources=[weak], status="practice"),
        finding(
            "protects", "failed", fix="Fit a thicker cable.", cells=[cell], left=side("breaker_rating_a", "32"),
            right=side("cable_capacity_a", "27"), margin_percent="-18.52",
        ),
        finding(
            "carries", "passed", left=side("design_current_a", "13.04"), right=side("cable_capacity_a", "27"),
            margin_percent="51.7",
        ),
        finding(
            "smallest", "passed", left=side("cable_size_mm2", "2.5", "mm2"), right=side("minimum_copper_mm2", "1.5", "mm2"),
            margin_percent="66.67",
        ),
        finding("open", "cannot-tell", "rcd", reasons=[{"kind": "not-asked", "id": "rcd", "text": "Not answered yet."}]),
        finding("idle", "not-applicable", "rcd"),
        finding("hint", "failed", weight="advice", fix="Leave a gap."),
    ]  # fmt: skip
    return {
        "format": 1, "engine": "9.9.9", "as_of": DATE,
        "pack": {
            "id": "xx", "title": "Nowhere", "edition": "5", "version": "2026.11", "sha256": "ab" * 32,
            "review_by": "2027-01-01", "in_force": True, "notice": None, "preview": None,
        },
        "headline": "change", "headline_text": "Something has to change before this fits.",
        "who": {"outcome": "permitted", "text": "You, by the answers given.", "because": ["licence"]},
        "sizing": {"outcome": "change", "text": "It does not fit as described.", "because": ["protects"]},
        "findings": findings,
        "quantities": {"design_current_a": {"value": "13.04", "exact": "13.0434", "unit": "A"}},
        "find_out": [
            {
                "question": "rcd", "cell": None, "kind": "not-asked", "text": "Not answered yet: Which RCD?",
                "how": "Read it.", "settles": ["open"],
            },
            {
                "question": None, "cell": "cable-current/C/4", "kind": "confirm", "text": "Needs confirming.",
                "how": "Open your copy.", "settles": [],
            },
        ],
        "changes": [], "flips": [],
        "steps": [{"id": "s", "text": "Switch it off."}], "tests": [{"id": "t", "text": "Test the polarity."}],
        "connections": [{"id": "c", "text": "From breaker to device."}],
        "cautions": [{"id": "k", "text": "Prove 0 V with a tester before touching."}],
        "defers_to": [{"id": "d", "text": "The local code decides."}],
        "not_checked": [{"id": "n", "text": "This check does not cover the weather."}],
        "answers": {"breaker_rating_a": "32", "lock_off": True, "supply_voltage_v": "230"},
        "assumed": {"supply_voltage_v": {"value": "230", "why": "The usual voltage here."}}, "unread": [],
    }  # fmt: skip

"""Scenarios: worked cases of our own invention, documentation and tests at once."""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from checker.dev.checkout import ROOT

FOLDER = ROOT / "scenarios"


def read_toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)


class Scenario(NamedTuple):
    id: str
    title: str
    story: str
    request: dict[str, Any]
    expect: dict[str, Any]

    @property
    def request_json(self) -> str:
        return json.dumps(self.request, ensure_ascii=False)


def read(path: Path) -> Scenario:
    """One scenario file. Decimals travel as text, so that 34.04 stays 34.04."""
    held = read_toml(path)
    request = {
        "format": 1,
        "ask": "check",
        "pack": held["pack"],
        "edition": held.get("edition"),
        "as_of": held["as_of"],
        "answers": as_sent(held["answers"]),
        "confirmed": held.get("confirmed", []),
    }
    return Scenario(path.stem, held["title"], held["story"].strip(), request, held["expect"])


def read_plan(path: Path) -> Scenario:
    """One scenario of a schedule: as `read`, with the plan of the file."""
    case = read(path)
    plan = read_toml(path)["plan"]
    return case._replace(request={**case.request, "ask": "plan", "plan": as_sent(plan)})


def as_sent(value: Any) -> Any:
    """A value of a TOML file as a request holds it: decimals as text."""
    if isinstance(value, dict):
        return {key: as_sent(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_sent(inner) for inner in value]
    return str(value) if isinstance(value, Decimal) else value


def every_plan(folder: Path = FOLDER / "plans") -> list[Scenario]:
    return [read_plan(path) for path in sorted(folder.glob("*.toml"))]


def every(folder: Path = FOLDER) -> list[Scenario]:
    return [read(path) for path in sorted(folder.glob("*.toml"))]

"""What the tests of the schedule share: the one door to ask a plan through, and worked plans."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import Any

from checker.core.api import handle
from checker.core.schedule.programme import read_programmes
from checker.core.schedule.timetable import Place, Timetable
from checker.core.schedule.zonenames import zone_of
from tests.core import asking

AS_OF = "2026-11-25"
TANK = asking.FITS | {"tank_litres": 150, "water_cold_c": 15, "water_hot_c": 60, "run_hours": 4}
PUMP = {name: value for name, value in asking.FITS.items() if name not in ("load_power_w", "run_hours")} | {
    "load_kind": "pool-pump", "electronic_drive": False, "load_current_a": 5, "motor_output_w": 750, "power_factor": "0.8",
}  # fmt: skip
LAMPS = {"load_kind": "led-lamps", "lamp_count": 10, "lamp_power_w": 8}
NORTH = {"zone": "Europe/Oslo", "latitude_deg": "69.65", "longitude_deg": "18.96"}


def text(plan: Any, answers: dict[str, Any] | None = None, pack: str = "iec", **more: Any) -> str:
    request = {"format": 1, "ask": "plan", "pack": pack, "as_of": AS_OF, "plan": plan}
    return json.dumps({**request, "answers": asking.FITS if answers is None else answers, **more}, default=str)


def ask(plan: Any, answers: dict[str, Any] | None = None, pack: str = "iec", **more: Any) -> dict[str, Any]:
    """The reply, which must not be an error."""
    reply = json.loads(handle(text(plan, answers, pack, **more)))
    assert "error" not in reply, reply
    return reply


def refused(plan: Any, answers: dict[str, Any] | None = None, **more: Any) -> dict[str, str]:
    """The error, which must not be a fault of ours, nor carry any verdict."""
    reply = json.loads(handle(text(plan, answers, **more)))
    assert set(reply) == {"format", "engine", "error"}, reply
    assert set(reply["error"]) == {"where", "what", "why", "fix"}
    assert all(reply["error"].values())
    return reply["error"]


def plan(*programmes: dict[str, Any], zone: str = "Europe/London", **more: Any) -> dict[str, Any]:
    return {"zone": zone, "programme": list(programmes), **more}


def table(
    *programmes: dict[str, Any], zone: str = "Europe/London", first: str = AS_OF, days: int = 365, place: Any = None
) -> Timetable:
    """A timetable straight from the core's parts."""
    day = date.fromisoformat(first)
    held = place and Place(Decimal(place[0]), Decimal(place[1]), Decimal("90.8333"), Decimal(96))
    after = date.fromordinal(day.toordinal() + days)
    return Timetable(read_programmes(list(programmes)), zone_of(zone, day), held, day, after)

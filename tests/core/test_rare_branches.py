"""Branches that no worked case comes by: each is asked for by itself."""

from __future__ import annotations

import copy
import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from checker.core.api import handle
from checker.core.schedule import heating, quantities, request, timetable, trig, window
from checker.core.schedule.drawing import _nights
from checker.core.values import NotKnown
from checker.core.wiring import svg, symbols
from tests.core import asking
from tests.packs.conftest import install


class Read:
    """Stands in for the reader of a plan: names and their values."""

    def __init__(self, **known: Any) -> None:
        self.known = {name: Decimal(value) if isinstance(value, (int, str)) else value for name, value in known.items()}

    def __call__(self, name: str) -> Any:
        return self.known[name]

    def all(self, *names: str) -> tuple:
        return tuple(self.known[name] for name in names)

    def given(self, name: str) -> Any:
        return self.known.get(name)


def test_a_year_from_the_29th_of_february_ends_on_the_1st_of_march():
    assert request._year_after(date(2028, 2, 29)) == date(2029, 3, 1)


def test_a_heater_weaker_than_the_losses_never_recovers_the_tank():
    with pytest.raises(NotKnown):
        heating.recovery_hours(Read(heating_energy_kwh=8, load_power_w=50, standing_loss_kwh=3))


def test_a_load_that_is_never_switched_wears_nothing_out():
    with pytest.raises(NotKnown):
        quantities.endurance_years(Read(contact_cycles=100_000, starts_per_year=0))


def test_the_angle_of_minus_one_is_half_a_turn():
    assert trig.arccos(Decimal(-1)) == trig.PI


def test_days_without_sun_are_counted_once_a_side():
    day = date(2026, 6, 21)
    found = [timetable.Sunless(day, n, "sunset", timetable.ALWAYS_UP) for n in (1, 2)]
    assert timetable.polar_sides(found) == {timetable.ALWAYS_UP: 1, timetable.ALWAYS_DOWN: 0}


def test_a_sunrise_before_midnight_leaves_the_night_between_sunset_and_it():
    """Far north: the sun of this day rose the evening before and sets in the small hours."""
    day = {"length_min": 1440, "sun": {"rises_min": -30, "sets_min": 1380}}
    assert _nights(day) == [(1380, 1410)]


def test_a_sunset_after_midnight_leaves_the_night_between_it_and_sunrise():
    """Far north: the sun that sets half an hour into the next day did so the day before as well."""
    day = {"length_min": 1440, "sun": {"rises_min": 90, "sets_min": 1470}}
    assert _nights(day) == [(30, 90)]


class TankPlan:
    """Stands in for the case of a plan with a tariff."""

    def __init__(self, hours: Any) -> None:
        self.tariff, self.answers = object(), {"load_kind": "water-heater"}
        self.values = {"needed_hours": hours, "switched_power_w": Decimal(2000)}

    def number(self, name: str) -> Any:
        return self.values[name]


@pytest.mark.parametrize("hours", [None, Decimal("24.5")])
def test_no_window_is_offered_for_hours_that_are_not_known_or_are_no_day(hours):
    assert window.cheapest_window(TankPlan(hours)) is None  # type: ignore[arg-type]


def test_a_terminal_and_a_wire_path_are_drawn_without_what_is_not_there():
    assert svg.path([(0, 0), (0, 0), (0, 5), (0, 9), (4, 9)]) == "M0 0L0 9L4 9"


class Lines(svg.Canvas):
    """Keeps the lines that are drawn on it."""

    def __init__(self) -> None:
        self.lines: list[tuple] = []

    def line(self, *points: tuple[int, int], dashed: bool = False, width: str = "1.6") -> None:
        self.lines.append(points)


def test_a_closed_contact_is_crossed_out_in_american_drawings():
    drawn = [Lines(), Lines()]
    for canvas, closed in zip(drawn, (True, False), strict=True):
        symbols.contact(canvas, "us", 0, 0, closed)
    assert len(drawn[0].lines) == len(drawn[1].lines) + 1


def test_whether_counsel_is_wanted_is_yes_or_no():
    reply = json.loads(handle(asking.text({}, counsel="maybe")))
    assert reply["error"]["where"] == "counsel"


@pytest.mark.parametrize("known", [{}, {"load_current_a": 5, "load_power_w": "not-stated"}], ids=["watts", "amperes"])
def test_a_three_phase_load_has_no_drop_here(known):
    """How its current sits in three lines and a neutral decides, and nothing here knows it."""
    case = asking.ask({**asking.FITS, "phases": "three", **known})
    assert "voltage_drop_v" not in case["quantities"]


def test_no_wire_in_the_board_is_named_where_none_of_the_list_carries_the_breaker():
    named = [asking.ask({**asking.FITS, "breaker_rating_a": rating})["quantities"] for rating in (16, 100)]
    assert ["smallest_link" in quantities for quantities in named] == [True, False]


def test_lamps_that_take_more_than_the_whole_load_show_that_one_answer_is_a_slip():
    """100 x 8 W against 80 W: neither is taken."""
    lamps = {"load_kind": "led-lamps", "lamp_count": 100, "lamp_power_w": 8, "load_power_w": 80, "device_led_w": 100}
    report = asking.ask({**asking.FITS, **lamps})
    assert "lamp_load_w" not in report["quantities"]
    doubted = {(reason["kind"], reason["id"]) for finding in report["findings"] for reason in finding["reasons"]}
    assert {("contradiction", "load_power_w"), ("contradiction", "lamp_count")} <= doubted


def test_a_breaker_that_may_open_too_late_has_no_limit_of_loop_impedance(monkeypatch):
    """At the current that opens it at once it is still slower than the disconnection time: no impedance is low enough."""
    content = copy.deepcopy(asking.contents()["iec"])
    time = next(parameter for parameter in content["parameters"] if parameter["id"] == "instantaneous_time_s")
    assert "loop_limit_ohm" in asking.ask(asking.FITS)["quantities"]
    time["value"] = "5.1"
    install(monkeypatch, content)
    assert "loop_limit_ohm" not in asking.ask(asking.FITS)["quantities"]

"""Sunrise and sunset against almanacs, an independent library, and what geometry says."""

from __future__ import annotations

import math
import tomllib
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import astral
import astral.sun
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.core.schedule import trig
from checker.core.schedule.sun import ALWAYS_DOWN, ALWAYS_UP, DAY, crossings

ALMANAC = tomllib.loads((Path(__file__).parent / "almanac.toml").read_text("utf-8"))
HORIZON, TWILIGHT = Decimal("90.8333"), Decimal(96)


def at(day: date, latitude: object, longitude: object, zenith: Decimal = HORIZON) -> tuple[int, int] | str:
    """The crossings of the day whose local mean noon is nearest."""
    longitude = Decimal(str(longitude))
    return crossings(Decimal(str(latitude)), longitude, zenith, day.toordinal() * DAY + 720 - int(longitude * 4))


def minutes(text: str) -> int:
    hours, _, rest = text.partition(":")
    return int(hours) * 60 + int(rest)


@pytest.mark.parametrize("table", ALMANAC["times"], ids=lambda table: table["source"][:40])
def test_almanacs_print_the_same_times(table):
    for day, printed in table["days"].items():
        day = date.fromisoformat(day)
        found = at(day, table["latitude"], table["longitude"])
        for moment, text in zip(found, printed, strict=True):
            if text:
                shown = moment + table["utc"] * 60 - day.toordinal() * DAY
                assert abs(shown - minutes(text)) <= table["within"], (
                    f"{day}: {shown // 60}:{shown % 60:02}, not {text}"
                )


def test_civil_twilight_is_that_of_the_naval_observatory():
    dawn, dusk = at(date(2014, 4, 1), "69.5", "19.0", TWILIGHT)
    midnight = date(2014, 4, 1).toordinal() * DAY - 60
    assert abs(dawn - midnight - minutes("03:46")) <= 1
    assert abs(dusk - midnight - minutes("19:53")) <= 1


@pytest.mark.parametrize(("latitude", "printed"), ALMANAC["quae"].items())
def test_a_table_by_latitude_agrees_to_the_minute(latitude, printed):
    rises, _ = at(date(2002, 1, 1), latitude, 0)
    assert abs(rises % DAY - minutes(printed)) <= 1


@pytest.mark.parametrize("table", ALMANAC["lengths"], ids=lambda table: table["place"])
def test_days_are_as_long_as_printed(table):
    for day, printed in table["days"].items():
        rises, sets = at(date.fromisoformat(day), table["latitude"], table["longitude"])
        assert abs(sets - rises - minutes(printed)) <= 2, day


@pytest.mark.parametrize(("place", "span"), ALMANAC["midnight_sun"].items())
def test_the_midnight_sun_stays_as_long_as_the_encyclopedia_says(place, span):
    latitude, longitude = place.split()
    days = [date(2025, 1, 1) + timedelta(n) for n in range(365)]
    up = [day for day in days if at(day, latitude, longitude) == ALWAYS_UP]
    for found, printed in zip((up[0], up[-1]), span, strict=True):
        assert abs((found - date.fromisoformat(f"2025-{printed}")).days) <= 1


@pytest.mark.parametrize("latitude", [-65, -60, -45, -23, 0, 12, 35, 51, 60, 65])
@pytest.mark.parametrize("longitude", [-170, -75, 0, 28, 150])
def test_an_independent_library_agrees_within_two_minutes(latitude, longitude):
    """astral follows NOAA's equations in floats, with its own refraction. It gives times by the date in Greenwich."""
    observer, compared = astral.Observer(latitude, longitude, 0), 0
    for number in range(0, 365, 13):
        day = date(2026, 1, 3) + timedelta(number)
        for moment, event in zip(at(day, latitude, longitude), (astral.sun.sunrise, astral.sun.sunset), strict=True):
            near = []
            for other in (day - timedelta(1), day, day + timedelta(1)):
                try:
                    found = event(observer, date=other)
                except ValueError:
                    continue  # an event close to midnight in Greenwich slips between two of its dates
                near.append(found.date().toordinal() * DAY + found.hour * 60 + found.minute + found.second / 60)
            gap = min(abs(moment - there) for there in near)
            if gap < DAY / 2:
                compared += 1
                assert gap <= 2.1, f"{event.__name__} on {day}"
    assert compared > 50


def test_the_sun_neither_rises_nor_sets_where_it_cannot():
    assert at(date(2026, 6, 21), 70, 20) == ALWAYS_UP
    assert at(date(2026, 12, 21), 70, 20) == ALWAYS_DOWN
    assert at(date(2026, 12, 21), -90, 0) == ALWAYS_UP
    assert at(date(2026, 6, 21), -90, 0) == ALWAYS_DOWN


@given(
    st.dates(date(2024, 1, 1), date(2035, 12, 31)),
    st.decimals(-90, 90, places=2),
    st.decimals(-180, 180, places=2),
)
def test_it_rises_before_it_sets_and_noon_lies_between(day, latitude, longitude):
    found = at(day, latitude, longitude)
    if isinstance(found, str):
        # Only beyond the polar circles, less the 50 minutes of arc of refraction and of the sun's own radius.
        assert abs(latitude) > Decimal("65.5")
        return
    rises, sets = found
    assert 0 < sets - rises < DAY
    # The true noon strays from the mean one by 17 minutes at most (the equation of time); up there the sun also climbs
    # and sinks between sunrise and sunset, which shifts their middle.
    noon = day.toordinal() * DAY + 720 - longitude * 4
    assert abs((rises + sets) / 2 - float(noon)) < (18 if abs(latitude) < 60 else 40)


@given(st.decimals(-1000, 1000, places=9))
def test_sines_are_those_of_the_standard_library(x):
    assert math.isclose(float(trig.sin(x)), math.sin(float(x)), abs_tol=1e-12)
    assert math.isclose(float(trig.cos(x)), math.cos(float(x)), abs_tol=1e-12)


@given(st.decimals(-1, 1, places=12))
def test_arc_cosines_too_up_to_their_ends(c):
    assert math.isclose(float(trig.arccos(c)), math.acos(float(c)), abs_tol=1e-7)

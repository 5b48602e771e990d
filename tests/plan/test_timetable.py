"""A year of runs, whatever the programmes: never on and off at once, inside their days, never less than nothing."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.core.api import handle
from checker.core.schedule.drawing import drawing
from checker.core.schedule.programme import DAYS, clock
from checker.core.schedule.tariff import read_tariff
from checker.core.schedule.week import day_shown
from checker.core.schedule.zone import DAY
from checker.core.schedule.zonenames import zone_of
from tests.plan import planning
from tests.sampling import examples

ZONES = (
    "Europe/London",
    "America/New_York",
    "Australia/Lord_Howe",
    "Africa/Johannesburg",
    "America/Santiago",
    "Asia/Kolkata",
)
clocks = st.integers(0, DAY - 1).map(clock)
suns = st.builds(
    lambda event, sign, minutes: f"{event}{sign}{clock(minutes)}", st.sampled_from(["sunrise", "sunset", "dawn", "dusk"]),
    st.sampled_from("+-"), st.integers(0, 120),
)  # fmt: skip
programmes = st.lists(
    st.fixed_dictionaries({
        "days": st.lists(st.sampled_from(DAYS), min_size=1, unique=True),
        "on": clocks | suns,
        "off": clocks | suns,
    }).filter(lambda p: p["on"] != p["off"]),
    min_size=1, max_size=4,
)  # fmt: skip
spans = st.tuples(st.dates(date(2024, 12, 1), date(2034, 11, 1)), st.integers(1, 40))
places = st.tuples(st.integers(-80, 80), st.integers(-180, 180))


@examples(40)
@given(programmes, st.sampled_from(ZONES), spans, places)
def test_runs_follow_each_other_and_days_hold_their_windows(programmes, zone, span, place):
    first, days = span
    table = planning.table(
        *programmes, zone=zone, first=max(first, date(2024, 12, 1)).isoformat(), days=days, place=place
    )
    for run in table.runs:
        assert run.start < run.end
    for earlier, later in zip(table.runs[:-1], table.runs[1:], strict=True):
        assert earlier.end < later.start, "on and off at once"
    total = 0
    for ordinal in range(table.first.toordinal(), table.after.toordinal()):
        day = day_shown(table, ordinal)
        assert day["length_min"] in (DAY - 60, DAY - 30, DAY, DAY + 30, DAY + 60)
        ends = 0
        for run in day["runs"]:
            assert ends <= run["from_min"] < run["to_min"] <= day["length_min"]
            ends = run["to_min"]
            total += run["to_min"] - run["from_min"]
    assert total == table.minutes_on(table.begins, table.ends)


@examples(12)
@given(programmes, st.sampled_from(ZONES), st.integers(-60, 60), st.decimals(0, 2, places=4), st.integers(0, 100))
def test_energy_and_cost_are_never_negative_nor_more_than_all_the_time(programmes, zone, latitude, price, share):
    plan = planning.plan(
        *programmes, zone=zone, latitude_deg=latitude, longitude_deg=20, running_share_percent=share,
        tariff=[{"from": "22:00", "until": "06:00", "price": str(price)}, {"price": "0.25"}],
    )  # fmt: skip
    year = planning.ask(plan, planning.LAMPS)["year"]
    assert 0 <= Decimal(year["kwh"]) <= Decimal(year["always_kwh"])
    assert 0 <= Decimal(year["cost"]) <= Decimal(year["always_cost"])
    assert sum(Decimal(band["kwh"]) for band in year["bands"]) == pytest.approx(Decimal(year["kwh"]), abs=Decimal(2))


@examples(25)
@given(
    st.text(max_size=12) | st.none() | st.integers() | st.lists(st.integers(), max_size=2),
    st.sampled_from(["on", "off", "days", "off_day"]),
)
def test_whatever_a_programme_holds_the_reply_is_an_error_or_a_plan(value, key):
    reply = json.loads(handle(planning.text(planning.plan({"on": "06:00", "off": "07:00", key: value}))))
    assert not reply.get("fault"), reply
    assert ("error" in reply) != ("headline" in reply)


@pytest.mark.parametrize(
    ("zone", "day", "on", "off", "length", "minutes"),
    [
        # The night of the 28th of March 2027 jumps from 01:00 to 02:00 in London; that of the 31st of October repeats an hour.
        ("Europe/London", "2027-03-28", "00:30", "04:30", 1380, 180),
        ("Europe/London", "2027-10-31", "00:30", "04:30", 1500, 300),
        # New York: the 14th of March and the 7th of November 2027, at 02:00.
        ("America/New_York", "2027-03-14", "01:00", "03:00", 1380, 60),
        ("America/New_York", "2027-11-07", "01:00", "03:00", 1500, 180),
        # Lord Howe Island moves by half an hour: the 3rd of October 2027.
        ("Australia/Lord_Howe", "2027-10-03", "01:00", "04:00", 1410, 150),
        ("Africa/Johannesburg", "2027-03-28", "00:30", "04:30", 1440, 240),
    ],
)
def test_nights_on_which_the_clock_changes_are_longer_or_shorter(zone, day, on, off, length, minutes):
    table = planning.table({"on": on, "off": off}, zone=zone, first=day, days=1)
    shown = day_shown(table, date.fromisoformat(day).toordinal())
    assert (shown["length_min"], table.minutes_on(table.begins, table.ends)) == (length, minutes)


def test_a_run_over_night_belongs_to_both_days():
    table = planning.table({"on": "22:00", "off": "06:00"}, days=3)
    rows = [day_shown(table, table.first.toordinal() + n)["runs"] for n in range(3)]
    assert [[(r["from"], r["to"]) for r in row] for row in rows] == [[("00:00", "06:00"), ("22:00", "24:00")]] * 3


def test_programmes_that_cross_are_one_run_and_told():
    reply = planning.ask(planning.plan({"on": "06:00", "off": "09:00"}, {"on": "08:00", "off": "10:00"}))
    assert [run["to"] for run in reply["week"][0]["runs"]] == ["10:00"]
    finding = next(f for f in reply["findings"] if f["rule"] == "programmes-apart")
    assert finding["outcome"] == "failed"


def test_a_whole_day_every_day_is_one_long_run_without_a_clash():
    table = planning.table({"on": "00:00", "off": "24:00"}, days=10)
    assert table.clashes == []
    assert len(table.runs) == 1


def test_the_picture_stays_in_its_frame_and_says_what_it_shows():
    reply = planning.ask(
        planning.plan({"on": "sunset", "off": "sunrise"}, latitude_deg=60, longitude_deg=10, zone="Europe/Oslo")
    )
    picture = drawing(reply["week"])
    assert picture == reply["drawing"]
    for shape in picture["shapes"]:
        if shape["kind"] == "rect":
            assert 0 <= Decimal(str(shape["x"]))
            assert Decimal(str(shape["x"])) + Decimal(str(shape["width"])) <= picture["width"]
            assert shape["y"] + shape["height"] <= picture["height"]
    for day in reply["week"]:
        for run in day["runs"]:
            assert f"{run['from']} to {run['to']}" in picture["label"]


@given(st.integers(0, 8000), st.integers(0, 8000))
def test_the_bands_of_a_stretch_add_up_to_it(start, length):
    """Held against counting minute by minute, over a change of the clock."""
    zone = zone_of("Europe/London", date(2027, 1, 1))
    tariff = read_tariff(
        [{"from": "22:30", "until": "05:15", "days": ["sat", "sun"], "price": Decimal(1)}, {"price": Decimal(2)}]
    )
    first = date(2027, 10, 29).toordinal() * DAY + start
    counted = [0, 0]
    for moment in range(first, first + length):
        local = zone.local(moment)
        counted[tariff.by_minute[(local - DAY) % (7 * DAY)]] += 1
    assert tariff.minutes(zone, first, first + length) == counted

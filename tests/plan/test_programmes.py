"""What a programme may say, and what is said to one that cannot be meant."""

from __future__ import annotations

import pytest

from tests.plan import planning

GOOD = {"on": "06:00", "off": "22:00"}
BAND = {"price": "0.3"}

# plan, where the error points, a part of what it says
BAD = [
    (None, "plan", "there is no plan"),
    ([], "plan", "a list is not a plan"),
    ({"zone": "Europe/London"}, "plan.programme", "there is no list of programmes"),
    (planning.plan(), "plan.programme", "there is no list"),
    (planning.plan(*[GOOD] * 41), "plan.programme", "more than 40"),
    (planning.plan("06:00"), "plan.programme 1", "not a table"),
    (planning.plan(GOOD, {"on": "06:00"}), "plan.programme 2.off", 'there is no "off"'),
    (planning.plan({**GOOD, "Off": "07:00"}), "plan.programme 1", "has no 'Off'"),
    (planning.plan({**GOOD, "on": "6:00"}), "plan.programme 1.on", "'6:00' is not a time of day"),
    (planning.plan({**GOOD, "on": "24:01"}), "plan.programme 1.on", "is not a time of day"),
    (planning.plan({**GOOD, "on": "24:00"}), "plan.programme 1.on", "24:00 ends a day"),
    (planning.plan({**GOOD, "on": 6}), "plan.programme 1.on", "6 is not a time of day"),
    (planning.plan({**GOOD, "on": "sunset-7:00"}), "plan.programme 1.on", "more than 6 hours"),
    (planning.plan({**GOOD, "on": "noon"}), "plan.programme 1.on", "is not a time of day"),
    (planning.plan({"on": "06:00", "off": "06:00"}), "plan.programme 1.off", "on and off at the same time"),
    (planning.plan({**GOOD, "days": "daily"}), "plan.programme 1.days", "does not name days"),
    (planning.plan({**GOOD, "days": []}), "plan.programme 1.days", "does not name days"),
    (planning.plan({**GOOD, "days": ["mon", "Tue"]}), "plan.programme 1.days", "does not name days"),
    (planning.plan({**GOOD, "off_day": "tomorrow"}), "plan.programme 1.off_day", "not a day to end on"),
    (planning.plan({"on": "22:00", "off": "06:00", "off_day": "same"}), "plan.programme 1.off_day", "on the same day"),
    (planning.plan({**GOOD, "season_from": "10-01"}), "plan.programme 1.season_until", "the other end of the season is missing"),
    (planning.plan({**GOOD, "season_from": "02-30", "season_until": "03-01"}), "plan.programme 1.season_from", "not a day of the year"),
    (planning.plan({**GOOD, "off_not_after": "21:00"}), "plan.programme 1.off_not_after", "cannot have this limit"),
    (
        planning.plan({"on": "sunset", "off": "23:00", "on_not_before": "20:00", "on_not_after": "19:00"}),
        "plan.programme 1.on_not_before", "leave no time",
    ),
    (planning.plan({"on": "sunset", "off": "23:00"}), "plan.latitude_deg", "the place is missing"),
    (planning.plan({"on": "sunset", "off": "23:00"}, latitude_deg=50), "plan.longitude_deg", "the place is missing"),
    (
        planning.plan({"on": "sunset", "off": "23:00"}, latitude_deg="dont-know", longitude_deg=0),
        "plan.latitude_deg", "the place is missing",
    ),
    (planning.plan(GOOD, latitude_deg=91), "plan.latitude_deg", "out of range"),
    (planning.plan(GOOD, latitude_deg="north"), "plan.latitude_deg", "not a number"),
    (planning.plan(GOOD, heater_on_pump="yes"), "plan.heater_on_pump", "this is a text"),
    (planning.plan(GOOD, clock_kind="sundial"), "plan.clock_kind", "not one of the answers"),
    (planning.plan(GOOD, clock_sort="digital"), "plan.clock_sort", "a plan has no 'clock_sort'"),
    (planning.plan(GOOD, breaker_rating_a=16), "plan.breaker_rating_a", "a plan has no"),
    (planning.plan(GOOD, zone=""), "plan.zone", "has no time zone"),
    (planning.plan(GOOD, currency=""), "plan.currency", "not a currency"),
    (planning.plan(GOOD, currency=5), "plan.currency", "not a currency"),
    (planning.plan(GOOD, tariff={}), "plan.tariff", "not a list of 1 to 20"),
    (planning.plan(GOOD, tariff=[]), "plan.tariff", "not a list of 1 to 20"),
    (planning.plan(GOOD, tariff=[0.3]), "plan.tariff 1", "not a table"),
    (planning.plan(GOOD, tariff=[{"prize": "0.3"}]), "plan.tariff 1", "has no 'prize'"),
    (planning.plan(GOOD, tariff=[{}]), "plan.tariff 1.price", "not a price"),
    (planning.plan(GOOD, tariff=[{"price": "-1"}]), "plan.tariff 1.price", "not a price"),
    (planning.plan(GOOD, tariff=[{"price": "1e99"}]), "plan.tariff 1.price", "not a price"),
    (planning.plan(GOOD, tariff=[BAND, BAND]), "plan.tariff", "two bands have no times"),
    (planning.plan(GOOD, tariff=[{**BAND, "from": "22:00"}]), "plan.tariff 1.until", "not a time of day"),
    (planning.plan(GOOD, tariff=[{**BAND, "from": "22:00", "until": "22:00"}, BAND]), "plan.tariff 1.until", "begins where it ends"),
    (planning.plan(GOOD, tariff=[{**BAND, "from": "22:00", "until": "06:00"}]), "plan.tariff", "no band applies on Mon at 06:00"),
    (
        planning.plan(GOOD, tariff=[{**BAND, "from": "22:00", "until": "06:00"}, {**BAND, "from": "05:00", "until": "07:00"}, BAND]),
        "plan.tariff", "both apply on Mon at 05:00",
    ),
    (planning.plan(GOOD, tariff=[{**BAND, "days": ["mon"]}]), "plan.tariff 1.days", "cannot have days"),
    (planning.plan(GOOD, tariff=[{**BAND, "name": "x" * 41}]), "plan.tariff 1.name", "not a name"),
]  # fmt: skip


@pytest.mark.parametrize(("plan", "where", "what"), BAD, ids=[f"{n} {where}" for n, (_, where, _) in enumerate(BAD)])
def test_a_plan_that_cannot_be_meant_is_refused_with_its_place(plan, where, what):
    error = planning.refused(plan)
    assert error["where"] == where
    assert what in error["what"]


def test_a_plan_is_refused_where_nobody_asks_for_it():
    error = planning.refused(planning.plan(GOOD), ask="check")
    assert error["where"] == "plan"


def test_answers_are_checked_before_the_plan_is_worked_out():
    assert planning.refused(planning.plan(GOOD), {"breaker_rating_a": -1})["where"] == "answers.breaker_rating_a"


@pytest.mark.parametrize(
    ("on", "off", "over_night"),
    [
        ("06:00", "22:00", False),
        ("22:00", "06:00", True),
        ("sunset", "22:30", False),
        ("sunset", "06:00", True),
        ("sunset", "sunrise", True),
        ("sunrise", "sunset", False),
        ("dusk+01:00", "00:30", True),
        ("sunset", "24:00", False),
    ],
)
def test_the_order_of_the_times_tells_which_day_a_run_ends_on(on, off, over_night):
    (programme,) = planning.table({"on": on, "off": off}, place=(50, 0), days=2).programmes
    assert programme.next_day is over_night


def test_a_late_sunset_does_not_turn_an_evening_into_a_night_and_a_day():
    """At 62 degrees north the midsummer sun sets after 22:30: no lamps then, rather than lamps until the next evening."""
    table = planning.table(
        {"on": "sunset", "off": "22:30"}, zone="Europe/Oslo", place=(62, 10), first="2026-06-10", days=20
    )
    assert table.runs == []
    assert len(table.empty) == 20


def test_off_at_the_latest_holds_the_sun_back():
    bounded = {"on": "17:00", "off": "sunset+03:00", "off_not_after": "22:30"}
    table = planning.table(bounded, zone="Europe/Berlin", place=("52.5", "13.4"))
    ends = {table.zone.local(run.end) % 1440 for run in table.runs}
    assert max(ends) == 22 * 60 + 30
    assert min(ends) < 19 * 60 + 10  # the sun sets before 16:00 around the solstice


def test_on_not_before_holds_it_back_from_the_other_side():
    table = planning.table(
        {"on": "sunset", "off": "23:00", "on_not_before": "17:30"}, zone="Europe/Berlin", place=(52, 13)
    )
    assert min(table.zone.local(run.start) % 1440 for run in table.runs) == 17 * 60 + 30


def test_a_season_may_reach_over_the_end_of_the_year():
    table = planning.table(
        {"on": "06:00", "off": "07:00", "season_from": "11-01", "season_until": "02-28"}, first="2026-01-01"
    )
    months = {run.start // 1440 for run in table.runs}
    assert len(months) == 30 + 31 + 31 + 28


def test_a_stand_in_takes_over_where_the_sun_does_not_come():
    programme = {"on": "sunset", "off": "23:00", "on_without_sun": "15:00"}
    table = planning.table(programme, zone="Europe/Oslo", place=("69.65", "18.96"), first="2026-12-01", days=31)
    assert table.sunless == []
    assert {table.zone.local(run.start) % 1440 for run in table.runs} == {15 * 60}

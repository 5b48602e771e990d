"""The rules of the clocks that ship, against the full time zone data they were made from."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
import tzdata

from checker.core.errors import BadRequest
from checker.core.schedule import zonenames
from checker.core.schedule.zone import DAY, Zone
from checker.core.schedule.zonedata import FIRST, LAST, REFUSED, RULES, SINCE, VERSION
from checker.core.schedule.zonenames import zone_of
from checker.dev.maintain import zones

EPOCH = datetime(1, 1, 1, tzinfo=UTC)


def moment_of(time: datetime) -> int:
    return time.toordinal() * DAY + time.hour * 60 + time.minute


def offset(zone, moment: int) -> int:
    """The offset of a standard library's zone at a moment, in minutes."""
    held = (EPOCH + timedelta(minutes=moment - DAY)).astimezone(zone)
    return int(held.utcoffset().total_seconds()) // 60


def test_the_data_is_what_the_step_makes_of_this_tzdata():
    """Another version of tzdata may say something else: then `python -m checker.dev zones` and a look at the diff."""
    assert tzdata.IANA_VERSION == VERSION
    assert zones.written() == zones.OUT.read_text("utf-8")


def test_nearly_every_zone_is_there_and_each_either_ships_or_is_refused():
    assert len(RULES) > 400
    assert set(RULES) | set(REFUSED) == set(zones.names())
    assert {"Europe/London", "Africa/Johannesburg", "America/New_York", "Australia/Lord_Howe"} <= set(RULES)


# Zones of one rule and one first day are alike: one of each stands for the rest, whose offsets the first test compares.
ALIKE = sorted({(rule, SINCE.get(name, "")): name for name, rule in RULES.items()}.values())


@pytest.mark.parametrize("name", ALIKE)
def test_clocks_change_at_the_very_minute(name):
    ours, theirs = Zone(name, RULES[name]), zones.reference(name)
    first = max(date.fromisoformat(SINCE.get(name, f"{FIRST}-01-01")), date(FIRST, 1, 1)).toordinal() * DAY
    changes = [c for year in range(FIRST, LAST + 1) for c in ours.changes(year) if c[0] > first]
    for moment, before, after in changes:
        assert (offset(theirs, moment - 1), offset(theirs, moment)) == (before, after)
    # And no change in between that the rule does not know: every fifth day, at noon and midnight.
    for day in range(first // DAY + 1, date(LAST, 12, 30).toordinal(), 5):
        for moment in (day * DAY, day * DAY + 720):
            assert ours.offset(moment) == offset(theirs, moment), date.fromordinal(day)


@pytest.mark.parametrize(
    "name", ["Europe/London", "America/New_York", "Australia/Lord_Howe", "Europe/Dublin", "Asia/Tehran"]
)
def test_a_time_on_the_wall_is_the_moment_that_the_standard_library_takes_it_for(name):
    """Times that are jumped over and times that come twice included: fold 0 of PEP 495."""
    ours, theirs = Zone(name, RULES[name]), zones.reference(name)
    for moment, before, _ in ours.changes(2027) or [(date(2027, 6, 1).toordinal() * DAY, ours.standard, 0)]:
        for minutes in range(-200, 200, 5):
            local = moment + before + minutes
            wall = datetime.fromordinal(local // DAY) + timedelta(minutes=local % DAY)
            assert ours.moment(local) == moment_of(wall.replace(tzinfo=theirs).astimezone(UTC)), wall


def test_a_fixed_offset_never_changes():
    zone = zone_of("UTC+05:30", date(2026, 1, 1))
    assert zone.changes_between(date(2026, 1, 1).toordinal() * DAY, date(2027, 1, 1).toordinal() * DAY) == []
    assert zone.offset(date(2026, 7, 1).toordinal() * DAY) == 330
    assert zone_of("UTC-03:00", date(2026, 1, 1)).offset(0 + DAY * 400) == -180


@pytest.mark.parametrize(
    ("name", "day", "what"),
    [
        (None, "2026-11-25", "no time zone is named"),
        (5, "2026-11-25", "not the name of a time zone"),
        ("Europe/Lodnon", "2026-11-25", "has no time zone"),
        ("UTC+25:00", "2026-11-25", "has no time zone"),
        ("Europe/London", "2036-01-01", "are checked only for"),
        ("Asia/Almaty", "2024-01-10", "starts on 2024-03-0."),
    ],
)
def test_a_zone_that_cannot_be_used_is_refused_by_name(name, day, what):
    with pytest.raises(BadRequest, match=what) as refused:
        zone_of(name, date.fromisoformat(day))
    assert refused.value.why
    assert refused.value.fix


def test_a_misspelt_zone_gets_the_right_one_offered():
    with pytest.raises(BadRequest) as refused:
        zone_of("Europe/Lodnon", date(2026, 1, 1))
    assert "Did you mean Europe/London?" in refused.value.fix


def test_a_zone_without_a_yearly_rule_says_so(monkeypatch):
    monkeypatch.setitem(zonenames.REFUSED, "Moon/Tycho", zones.NOT_YEARLY)
    with pytest.raises(BadRequest, match="no yearly rule"):
        zone_of("Moon/Tycho", date(2026, 1, 1))


def test_a_rule_that_is_wrong_is_found():
    """The comparison behind the data: London's rule is not New York's, and holds from the first day for London."""
    assert zones.agrees_from("America/New_York", RULES["Europe/London"]) is None
    assert zones.agrees_from("Europe/London", RULES["Europe/London"]) == date(FIRST, 1, 1)


@pytest.mark.parametrize(
    ("rule", "year", "days"),
    [
        (
            "<+0330>-3:30<+0430>,J79/24,J263/24",
            2024,
            ["2024-03-20", "2024-09-20"],
        ),  # Jn leaves out the 29th of February
        ("AAA0BBB,59/0,J60/0", 2024, ["2024-02-29", "2024-03-01"]),  # n keeps it
        ("EET-2EEST,M3.5.0/3,M10.5.0/4", 2026, ["2026-03-29", "2026-10-25"]),
    ],
)
def test_all_three_ways_to_name_a_day_are_read(rule, year, days):
    """POSIX, Environment Variables, TZ."""
    zone = Zone("x", rule)
    assert [change.date(year).isoformat() for change in (zone.start, zone.end)] == days

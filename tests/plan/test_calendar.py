"""The iCalendar file against RFC 5545, read by libraries that share nothing with us."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import icalendar
import pytest
from dateutil.rrule import rrulestr

from checker.core.schedule.calendar import calendar
from checker.core.schedule.zone import DAY
from checker.core.schedule.zonedata import RULES
from checker.dev.maintain import zones
from tests.plan import planning

FIXED = [
    {"days": "weekdays", "on": "00:30", "off": "04:30"},
    {"days": "weekend", "on": "22:00", "off": "06:00", "season_from": "10-01", "season_until": "04-30"},
    {"on": "12:00", "off": "13:15"},
]


def minute(time: datetime) -> int:
    time = time.astimezone(UTC)
    return time.toordinal() * DAY + time.hour * 60 + time.minute


def occurrences(text: str, zone: str) -> list[tuple[int, int]]:
    """Every run in the file, as moments: series unrolled by dateutil, local times read by the standard library."""
    found = []
    clocks = zones.reference(zone) if zone in RULES else timezone(timedelta(hours=int(zone[3:6])))
    for event in icalendar.Calendar.from_ical(text).walk("VEVENT"):
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        if "RRULE" not in event:
            found.append((minute(start), minute(end)))
            continue
        wall = start.replace(tzinfo=None)
        rule = event["RRULE"].to_ical().decode()
        until = event["RRULE"]["UNTIL"][0].astimezone(clocks).replace(tzinfo=None)
        rule = ";".join(part for part in rule.split(";") if not part.startswith("UNTIL"))
        left_out = event.get("EXDATE", [])
        left_out = left_out if isinstance(left_out, list) else [left_out]
        gone = {entry.dt.replace(tzinfo=None) for listed in left_out for entry in listed.dts}
        length = minute(end.replace(tzinfo=clocks)) - minute(start.replace(tzinfo=clocks))
        for at in rrulestr(rule, dtstart=wall).between(wall, until, inc=True):
            if at not in gone:
                begins = minute(at.replace(tzinfo=clocks))
                found.append((begins, begins + length))  # RFC 5545 3.8.5.3: the same exact duration every time
    return sorted(found)


@pytest.mark.parametrize(
    "zone",
    [
        "Europe/London",
        "America/New_York",
        "Australia/Lord_Howe",
        "America/Santiago",
        "Africa/Johannesburg",
        "UTC+03:00",
    ],
)
def test_a_calendar_unrolls_to_the_very_runs_of_the_plan(zone):
    table = planning.table(*FIXED, zone=zone)
    planned = sorted((r.start, r.end) for r in table.planned if table.begins <= r.start < table.ends)
    assert occurrences(calendar(table, "Heater"), zone) == planned


def test_runs_by_the_sun_stand_one_by_one():
    table = planning.table({"on": "sunset-00:20", "off": "22:30"}, place=("54.3", "-2.7"))
    planned = sorted((r.start, r.end) for r in table.planned if table.begins <= r.start < table.ends)
    assert len(planned) > 300
    assert occurrences(calendar(table, "Lamps"), "Europe/London") == planned


def test_a_time_that_the_clock_jumps_over_stands_by_itself():
    """02:30 does not exist in Berlin on the 28th of March 2027: calendars differ on it, so no series holds it."""
    table = planning.table({"on": "02:30", "off": "02:45"}, zone="Europe/Berlin")
    found = occurrences(calendar(table, "x"), "Europe/Berlin")
    assert found == sorted((r.start, r.end) for r in table.planned if table.begins <= r.start < table.ends)
    assert "EXDATE;TZID=Europe/Berlin:20270328T023000" in calendar(table, "x")


@pytest.mark.parametrize("name", sorted({rule: name for name, rule in RULES.items() if "," in rule}.values()))
def test_the_zone_in_the_file_gives_the_offsets_of_the_zone(name):
    """The VTIMEZONE is turned into a zone by icalendar, and asked around each change of a year."""
    table = planning.table({"on": "06:00", "off": "07:00"}, zone=name, first="2028-01-01", days=366)
    (component,) = icalendar.Calendar.from_ical(calendar(table, "x")).walk("VTIMEZONE")
    theirs = component.to_tz(lookup_tzid=False)
    for moment, before, after in table.zone.changes_between(table.begins, table.ends):
        for local, offset in ((moment + before - 180, before), (moment + after + 180, after)):
            wall = datetime.fromordinal(local // DAY) + timedelta(minutes=local % DAY)
            assert theirs.utcoffset(wall.replace(tzinfo=theirs)) == timedelta(minutes=offset), wall


def test_the_file_keeps_to_the_letter_of_the_standard():
    table = planning.table(*FIXED, {"on": "sunset", "off": "23:30"}, place=(50, 0))
    text = calendar(table, "Heizung für Gäste; Bad, Küche " * 4)
    lines = text.encode().split(b"\r\n")
    assert lines[-1] == b""
    assert max(map(len, lines)) <= 75
    assert b"\n" not in b"".join(lines)
    held = icalendar.Calendar.from_ical(text)
    assert (held["VERSION"], held["CALSCALE"]) == ("2.0", "GREGORIAN")
    events = held.walk("VEVENT")
    assert all(event["DTSTAMP"].dt == datetime(2026, 11, 25, tzinfo=UTC) for event in events)
    assert len({event["UID"] for event in events}) == len(events)
    assert all("Heizung für Gäste; Bad, Küche" in event["SUMMARY"] for event in events)
    assert not held.errors


def test_equal_plans_give_equal_files_and_others_other_uids():
    one, two = (calendar(planning.table(*FIXED), "x") for _ in range(2))
    assert one == two
    other = calendar(planning.table(*FIXED, zone="Europe/Madrid"), "x")
    uids = [{line for line in text.splitlines() if line.startswith("UID")} for text in (one, other)]
    assert not uids[0] & uids[1]


def test_a_programme_that_never_runs_has_no_event():
    table = planning.table(
        {"on": "06:00", "off": "07:00", "season_from": "06-01", "season_until": "06-02"}, first="2026-11-25", days=30
    )
    assert icalendar.Calendar.from_ical(calendar(table, "x")).walk("VEVENT") == []
    assert date.fromisoformat("2026-11-25") == table.first

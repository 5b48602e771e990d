"""The plan as an iCalendar file (RFC 5545), which any calendar reads.

A programme with fixed times is a weekly event by the clock on the wall, with the zone's rule beside it. RFC 5545 gives
every recurrence the same exact length, while a time switch goes by its clock: a night on which the clock changes is
therefore taken out of the series and stands by itself. What follows the sun is one event a run, in universal time.
"""

from __future__ import annotations

from datetime import date
from hashlib import sha256

from checker.core.schedule.programme import DAYS, Programme, days_shown
from checker.core.schedule.timetable import Run, Timetable
from checker.core.schedule.zone import DAY, Change, Zone

_LINE = 75  # octets
_DAY_CODES = dict(zip(DAYS, ("MO", "TU", "WE", "TH", "FR", "SA", "SU"), strict=True))


def calendar(table: Timetable, title: str) -> str:
    """The text of the file, lines ended and folded as the standard asks. Equal plans give equal bytes."""
    zone = table.zone
    stamp = f"{table.first:%Y%m%d}T000000Z"
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Spareway//Plan//EN",
        "CALSCALE:GREGORIAN",
        *_zone(zone, table.first),
    ]
    for programme in table.programmes:
        runs = [r for r in table.planned if programme.number in r.programmes and table.begins <= r.start < table.ends]
        make = _single_events if programme.on.event or programme.off.event else _series
        for event in make(table, programme, runs):
            lines += [
                "BEGIN:VEVENT", f"UID:{_uid(table, programme, event)}", f"DTSTAMP:{stamp}", *event,
                f"SUMMARY:{_escaped(f'{title} on (programme {programme.number})')}",
                f"DESCRIPTION:{_escaped(f'{days_shown(programme.days)}, {programme.on.shown()} to {programme.off.shown()}')}",
                "TRANSP:TRANSPARENT", "END:VEVENT",
            ]  # fmt: skip
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _uid(table: Timetable, programme: Programme, event: list[str]) -> str:
    text = "\n".join([table.zone.name, str(programme), *event])
    return f"{sha256(text.encode()).hexdigest()[:32]}@plan.invalid"


def _single_events(table: Timetable, programme: Programme, runs: list[Run]) -> list[list[str]]:
    return [[f"DTSTART:{_utc(run.start)}", f"DTEND:{_utc(run.end)}"] for run in runs]


def _series(table: Timetable, programme: Programme, runs: list[Run]) -> list[list[str]]:
    """One weekly event for each unbroken season, and the nights that do not fit it."""
    if not runs:
        return []
    zone, events = table.zone, []
    wall = programme.off.minutes + programme.next_day * DAY - programme.on.minutes
    usual = {
        zone.local(run.start) // DAY: run
        for run in runs
        if run.end - run.start == wall and _starts_as_set(zone, programme, run)
    }
    odd = [run for run in runs if run not in usual.values()]
    for season in _seasons(programme, sorted(usual)):
        first, last = season[0], season[-1]
        start = first * DAY + programme.on.minutes
        held = set(season)
        wanted = [day for day in range(first, last + 1) if DAYS[date.fromordinal(day).weekday()] in programme.days]
        until = _utc(zone.moment(last * DAY + programme.on.minutes))
        codes = ",".join(_DAY_CODES[day] for day in programme.days)
        # A colon would end the parameter, were it not for the quotes (RFC 5545, 3.2).
        tz = f';TZID="{zone.name}"' if ":" in zone.name else f";TZID={zone.name}"
        event = [
            f"DTSTART{tz}:{_local(start)}",
            f"DTEND{tz}:{_local(start + wall)}",
            f"RRULE:FREQ=WEEKLY;UNTIL={until};BYDAY={codes}",
        ]
        # Where the clock jumps over the time itself, no calendar agrees with another: that day stands by itself too.
        event += [f"EXDATE{tz}:{_local(day * DAY + programme.on.minutes)}" for day in wanted if day not in held]
        events.append(event)
    return events + _single_events(table, programme, odd)


def _starts_as_set(zone: Zone, programme: Programme, run: Run) -> bool:
    return zone.local(run.start) % DAY == programme.on.minutes


def _seasons(programme: Programme, days: list[int]) -> list[list[int]]:
    """The days in stretches with no day between on which the programme rests by its season."""
    stretches: list[list[int]] = []
    for day in days:
        if stretches and all(_in_season(programme, between) for between in range(stretches[-1][-1] + 1, day)):
            stretches[-1].append(day)
        else:
            stretches.append([day])
    return stretches


def _in_season(programme: Programme, ordinal: int) -> bool:
    day = date.fromordinal(ordinal)
    return programme.holds(day) or (
        DAYS[day.weekday()] not in programme.days and programme._replace(days=DAYS).holds(day)
    )


def _zone(zone: Zone, first: date) -> list[str]:
    """The rule of the zone. A change that no plain yearly rule gives stands as dates, from the year before the plan on."""
    lines = ["BEGIN:VTIMEZONE", f"TZID:{zone.name}"]
    if zone.start is None or zone.end is None:
        lines += _observance("STANDARD", "19700101T000000", zone.standard, zone.standard, zone.abbreviations[0])
        return [*lines, "END:VTIMEZONE"]
    # With winter time for the exception, as in Ireland, the "daylight" half of the rule is the one set back.
    for kind, change, before, after, name in (
        ("STANDARD" if zone.standard < zone.summer else "DAYLIGHT", zone.end, zone.summer, zone.standard, 0),
        ("DAYLIGHT" if zone.standard < zone.summer else "STANDARD", zone.start, zone.standard, zone.summer, 1),
    ):
        begin, rule = _onsets(change, first.year)
        lines += _observance(kind, begin, before, after, zone.abbreviations[name], rule)
    return [*lines, "END:VTIMEZONE"]


def _onsets(change: Change, year: int) -> tuple[str, str]:
    """The first time the clock changes and the line that gives the others, by the clock before the change."""
    if change.month is not None and 0 <= change.minutes < DAY:
        day = change.date(1970)
        code = _DAY_CODES[DAYS[day.weekday()]]
        rule = f"RRULE:FREQ=YEARLY;BYMONTH={change.month};BYDAY={-1 if change.week == 5 else change.week}{code}"
        return _local(day.toordinal() * DAY + change.minutes), rule
    listed = [_local(change.date(y).toordinal() * DAY + change.minutes) for y in range(year - 1, year + 3)]
    return listed[0], f"RDATE:{','.join(listed[1:])}"


def _observance(kind: str, start: str, before: int, after: int, name: str, rule: str = "") -> list[str]:
    return [
        f"BEGIN:{kind}", f"DTSTART:{start}", *([rule] if rule else []), f"TZOFFSETFROM:{_offset(before)}",
        f"TZOFFSETTO:{_offset(after)}", f"TZNAME:{name}", f"END:{kind}",
    ]  # fmt: skip


def _offset(minutes: int) -> str:
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02}{abs(minutes) % 60:02}"


def _local(minutes: int) -> str:
    day, rest = divmod(minutes, DAY)
    return f"{date.fromordinal(day):%Y%m%d}T{rest // 60:02}{rest % 60:02}00"


def _utc(moment: int) -> str:
    return f"{_local(moment)}Z"


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def _folded(line: str) -> str:
    """A line cut into pieces of at most 75 octets, each but the first led by a blank; characters stay whole."""
    pieces, held, size = [], "", 0
    for character in line:
        width = len(character.encode("utf-8"))
        if size + width > _LINE:
            pieces.append(held)
            held, size = " ", 1
        held, size = held + character, size + width
    return "\r\n".join([*pieces, held])

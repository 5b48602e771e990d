"""A week of the plan as data: what the picture, its text twin and the table to type in are made of."""

from __future__ import annotations

from datetime import date

from checker.core.schedule.programme import Programme, Time, clock, days_shown
from checker.core.schedule.situation import PlanSituation
from checker.core.schedule.timetable import Timetable
from checker.core.schedule.zone import DAY

_DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def week(table: Timetable) -> list[dict]:
    """Seven days from the first one of the plan, each with its runs as clock times and as minutes since midnight."""
    first = table.first.toordinal()
    return [day_shown(table, ordinal) for ordinal in range(first, first + 7)]


def day_shown(table: Timetable, ordinal: int) -> dict:
    """One day. `from_min` and `to_min` count real minutes since midnight, `length_min` of them make the day."""
    day = date.fromordinal(ordinal)
    start, end = table.midnight(ordinal), table.midnight(ordinal + 1)
    runs = [
        {
            "from": clock(table.zone.local(first) % DAY),
            "to": "24:00" if last == end else clock(table.zone.local(last) % DAY),
            "from_min": first - start,
            "to_min": last - start,
        }
        for first, last in table.within(start, end)
    ]
    return {
        "date": day.isoformat(),
        "day": _DAY_NAMES[day.weekday()],
        "length_min": end - start,
        "runs": runs,
        "sun": _sun(table, ordinal, start),
    }


def _sun(table: Timetable, ordinal: int, start: int) -> dict | None:
    """Sunrise and sunset of a day as clock times and minutes, or which side the sun stays on; None without a place."""
    if table.place is None:
        return None
    rises, sets = (table.sun(ordinal, event) for event in ("sunrise", "sunset"))
    # Both or neither: a sun that stays on one side has no event at all.
    if isinstance(rises, str) or isinstance(sets, str):
        return {"stays": rises}
    return {
        "rises": clock(rises % DAY),
        "sets": clock(sets % DAY),
        "rises_min": table.zone.moment(ordinal * DAY + rises) - start,
        "sets_min": table.zone.moment(ordinal * DAY + sets) - start,
    }


def sun_by_month(table: Timetable) -> list[dict]:
    """Sunrise and sunset on the 15th of the twelve months from the first day on."""
    if table.place is None:
        return []
    found = []
    for n in range(12):
        month = table.first.month - 1 + n
        day = date(table.first.year + month // 12, month % 12 + 1, 15)
        shown = _sun(table, day.toordinal(), table.midnight(day.toordinal()))
        found.append({"date": day.isoformat(), **(shown or {})})
    return found


def settings(situation: PlanSituation) -> list[dict]:
    """The table to type into a time switch: a row a programme; times by month where the clock does not know the sun."""
    table = situation.timetable
    knows_sun = situation.answers.get("clock_kind") == "astronomical"
    return [_setting(table, programme, knows_sun) for programme in table.programmes]


def _setting(table: Timetable, programme: Programme, knows_sun: bool) -> dict:
    follows_sun = bool(programme.on.event or programme.off.event)
    season = programme.season
    return {
        "programme": programme.number,
        "days": days_shown(programme.days),
        "on": programme.on.shown(),
        "off": programme.off.shown(),
        "off_next_day": programme.next_day,
        "season": None if season is None else [f"{month:02}-{day:02}" for month, day in season],
        "by_month": _by_month(table, programme) if follows_sun and not knows_sun else [],
    }


def _by_month(table: Timetable, programme: Programme) -> list[dict]:
    """The programme's times on the 15th of each month, for a clock that has to be set again every month."""
    rows = []
    for entry in sun_by_month(table):
        ordinal = date.fromisoformat(entry["date"]).toordinal()
        on = _wall(table, ordinal, programme.on)
        off = _wall(table, ordinal + programme.next_day, programme.off)
        if on is None or off is None or (not programme.next_day and off <= on):
            rows.append({"month": entry["date"][:7], "on": None, "off": None})
        else:
            rows.append(
                {"month": entry["date"][:7], "on": clock(on % DAY), "off": "24:00" if off == DAY else clock(off % DAY)}
            )
    return rows


def _wall(table: Timetable, ordinal: int, time: Time) -> int | None:
    if time.event is None:
        return time.minutes
    found = table.sun(ordinal, time.event)
    return time.without if isinstance(found, str) else time.clamped(found + time.minutes)


def clock_changes(table: Timetable) -> list[dict]:
    """When the clocks change in the year planned: what they show at that moment, before and after."""
    return [
        {
            "date": date.fromordinal((moment + before) // DAY).isoformat(),
            "from": clock((moment + before) % DAY),
            "to": clock((moment + after) % DAY),
        }
        for moment, before, after in table.zone.changes_between(table.begins, table.ends)
    ]

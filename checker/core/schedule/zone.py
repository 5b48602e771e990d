"""Time zones by their rule: local clock time and universal time, in whole minutes.

The rules are POSIX TZ strings (IEEE Std 1003.1, Environment Variables, TZ; as RFC 9636 puts them into the footer of a
time zone file), taken from tzdata by `checker.dev.maintain.zones`. Nothing is read from the machine.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

DAY = 1440
_RULE = re.compile(
    r"(?P<std><[^>]+>|[A-Za-z]+)(?P<off>[+-]?[\d:]+)"
    r"(?:(?P<dst><[^>]+>|[A-Za-z]+)(?P<dstoff>[+-]?[\d:]+)?,(?P<start>[^,]+),(?P<end>[^,]+))?\Z"
)


class Change:
    """When the clock changes in a year: `M month.week.weekday / time`, or `J day / time`."""

    def __init__(self, text: str) -> None:
        when, _, time = text.partition("/")
        self.minutes = _minutes(time) if time else 120
        self.month: int | None = None
        if when.startswith("M"):
            self.month, self.week, self.weekday = (int(part) for part in when[1:].split("."))
        else:
            # Jn counts 1 to 365 and leaves out the 29th of February; a bare n counts from 0 and keeps it.
            self.julian, self.day = when.startswith("J"), int(when.removeprefix("J"))

    def date(self, year: int) -> date:
        if self.month is None:
            return _julian(year, self.day) if self.julian else date(year, 1, 1) + timedelta(self.day)
        first = date(year, self.month, 1)
        # POSIX counts Sunday as 0; week 5 is the last one of the month.
        day = first + timedelta((self.weekday - first.isoweekday()) % 7 + 7 * (self.week - 1))
        return day if day.month == self.month else day - timedelta(7)


def _julian(year: int, day: int) -> date:
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return date(year, 1, 1) + timedelta(day - 1 + (leap and day > 59))


def _minutes(text: str) -> int:
    sign = -1 if text.startswith("-") else 1
    hours, _, minutes = text.lstrip("+-").partition(":")
    return sign * (int(hours) * 60 + int(minutes or 0))


class Zone:
    """One zone. Offsets are minutes east of universal time; moments are minutes as in `sun`."""

    def __init__(self, name: str, rule: str, since: str = "") -> None:
        self.name, self.rule, self.since = name, rule, since
        parts = _RULE.match(rule)
        assert parts is not None, f"{name} has a rule of another kind: {rule}"
        self.standard = -_minutes(parts["off"])  # POSIX counts west of Greenwich
        self.abbreviations = tuple((parts[key] or "").strip("<>") for key in ("std", "dst"))
        self.summer = self.standard
        self.start: Change | None = None
        self.end: Change | None = None
        if parts["dst"]:
            self.summer = -_minutes(parts["dstoff"]) if parts["dstoff"] else self.standard + 60
            self.start, self.end = Change(parts["start"]), Change(parts["end"])
        self._years: dict[int, list[tuple[int, int, int]]] = {}

    def changes(self, year: int) -> list[tuple[int, int, int]]:
        """The changes of the clock in a year, in order: moment, offset before, offset after."""
        if self.start is None or self.end is None or self.summer == self.standard:
            return []
        if year not in self._years:
            on = self.start.date(year).toordinal() * DAY + self.start.minutes - self.standard
            off = self.end.date(year).toordinal() * DAY + self.end.minutes - self.summer
            self._years[year] = sorted([(on, self.standard, self.summer), (off, self.summer, self.standard)])
        return self._years[year]

    def changes_between(self, first: int, last: int) -> list[tuple[int, int, int]]:
        """The changes at moments from `first` up to but not at `last`."""
        years = range(date.fromordinal(first // DAY).year - 1, date.fromordinal(last // DAY).year + 2)
        return [change for year in years for change in self.changes(year) if first <= change[0] < last]

    def offset(self, moment: int) -> int:
        """The offset that holds at a moment."""
        held = None
        year = date.fromordinal(moment // DAY).year
        for change, before, after in (*self.changes(year - 1), *self.changes(year), *self.changes(year + 1)):
            if change > moment:
                return before if held is None else held
            held = after
        return self.standard if held is None else held

    def moment(self, local: int) -> int:
        """The moment at which the clock on the wall shows `local` (its date and time, counted like a moment).

        A time that comes twice means the first; one that is jumped over counts on by the offset before the jump, as
        RFC 5545 (3.3.5) has it: 02:30 then means 03:30.
        """
        early, late = max(self.standard, self.summer), min(self.standard, self.summer)
        if self.offset(local - early) == early:
            return local - early
        return local - late

    def local(self, moment: int) -> int:
        return moment + self.offset(moment)

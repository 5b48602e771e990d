"""A year of switching: every programme worked out day by day, as runs on the line of universal time."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from checker.core.schedule.programme import SUN_EVENTS, Programme, Time
from checker.core.schedule.sun import ALWAYS_DOWN, ALWAYS_UP, crossings
from checker.core.schedule.zone import DAY, Zone


class Place(NamedTuple):
    latitude: Decimal
    longitude: Decimal
    horizon: Decimal  # zenith distance of sunrise and sunset
    twilight: Decimal  # and of dawn and dusk


class Run(NamedTuple):
    """On from `start` until `end`, in minutes of universal time, `end` not included; by one programme or more."""

    start: int
    end: int
    programmes: tuple[int, ...]


class Sunless(NamedTuple):
    """A day on which a programme waits in vain for an event of the sun, because the sun stays `up` or `down`."""

    day: date
    programme: int
    event: str
    sun: str


class Timetable:
    """The runs that begin on the days from `first` up to but not on `after`."""

    def __init__(self, programmes: list[Programme], zone: Zone, place: Place | None, first: date, after: date) -> None:
        self.programmes, self.zone, self.place = programmes, zone, place
        self.first, self.after = first, after
        self.begins, self.ends = self.midnight(first.toordinal()), self.midnight(after.toordinal())
        self.sunless: list[Sunless] = []
        self.empty: list[tuple[date, int]] = []  # days on which a programme's off is not after its on
        self.clashes: list[tuple[date, int, int]] = []
        self._sun: dict[tuple[int, bool], tuple[int, int] | str] = {}
        self.planned = self._planned()
        self.runs = self._merged()
        self._starts = [run.start for run in self.runs]

    def midnight(self, ordinal: int) -> int:
        """The moment at which a day of the calendar begins."""
        return self.zone.moment(ordinal * DAY)

    def sun(self, day: int, event: str) -> int | str:
        """The local time of an event on a day, as minutes after its midnight, or which side the sun stays on."""
        twilight = event in ("dawn", "dusk")
        key = (day, twilight)
        if key not in self._sun:
            place = self.place
            assert place is not None, "a plan that follows the sun was read without a place"
            zenith = place.twilight if twilight else place.horizon
            self._sun[key] = crossings(place.latitude, place.longitude, zenith, self.zone.moment(day * DAY + 720))
        found = self._sun[key]
        if isinstance(found, str):
            return found
        return self.zone.local(found[SUN_EVENTS.index(event) % 2]) - day * DAY

    def _planned(self) -> list[Run]:
        """Each programme's own runs, in order of their start."""
        runs = []
        # The day before may reach into the first one.
        for ordinal in range(self.first.toordinal() - 1, self.after.toordinal()):
            day = date.fromordinal(ordinal)
            for programme in self.programmes:
                if programme.holds(day):
                    on = self._moment(ordinal, programme, programme.on)
                    off = self._moment(ordinal + programme.next_day, programme, programme.off)
                    if on is None or off is None:
                        continue
                    if off > on:
                        runs.append(Run(on, off, (programme.number,)))
                    elif day >= self.first:
                        self.empty.append((day, programme.number))
        return sorted(runs)

    def _moment(self, ordinal: int, programme: Programme, time: Time) -> int | None:
        minutes = time.minutes
        if time.event:
            found = self.sun(ordinal, time.event)
            if isinstance(found, str):
                if time.without is None:
                    self.sunless.append(Sunless(date.fromordinal(ordinal), programme.number, time.event, found))
                    return None
                minutes = time.without
            else:
                minutes = time.clamped(found + minutes)
        return self.zone.moment(ordinal * DAY + minutes)

    def _merged(self) -> list[Run]:
        """Runs that overlap or touch become one; that they do is noted, for a time switch obeys the last command."""
        merged: list[Run] = []
        for run in self.planned:
            if merged and run.start <= merged[-1].end:
                last = merged[-1]
                whole_days = run.start == last.end and self._is_midnight(run.start)
                if not whole_days and run.start >= self.begins:
                    day = date.fromordinal(self.zone.local(run.start) // DAY)
                    self.clashes.append((day, last.programmes[-1], run.programmes[0]))
                merged[-1] = Run(last.start, max(last.end, run.end), (*last.programmes, *run.programmes))
            else:
                merged.append(run)
        return [run for run in merged if run.end > self.begins and run.start < self.ends]

    def _is_midnight(self, moment: int) -> bool:
        """Whether a run that ends and one that begins meet at midnight: one run over two days, typed in as such."""
        return self.zone.local(moment) % DAY == 0

    def starts(self) -> list[int]:
        """The moments at which the load is switched on within the span."""
        return [run.start for run in self.runs if run.start >= self.begins]

    def within(self, first: int, last: int) -> list[tuple[int, int]]:
        """The stretches of time on, cut to the moments from `first` to `last`."""
        place = max(bisect_right(self._starts, first) - 1, 0)
        found = []
        for run in self.runs[place : bisect_left(self._starts, last)]:
            if run.end > first:
                found.append((max(run.start, first), min(run.end, last)))
        return found

    def minutes_on(self, first: int, last: int) -> int:
        return sum(end - start for start, end in self.within(first, last))

    def rests(self) -> list[tuple[int, int]]:
        """The stretches of time off between two runs."""
        return [(a.end, b.start) for a, b in pairwise(self.runs)]


def polar_sides(days: list[Sunless]) -> dict[str, int]:
    """On how many days the sun stays up, and down."""
    return {side: len({d.day for d in days if d.sun == side}) for side in (ALWAYS_UP, ALWAYS_DOWN)}

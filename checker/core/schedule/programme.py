"""The programmes of a plan: on which days, from when, until when. Every fault is named, with how to mend it."""

from __future__ import annotations

import re
from datetime import date
from typing import NamedTuple

from checker.core.errors import BadRequest, only_keys, told

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_GROUPS = {"every-day": DAYS, "weekdays": DAYS[:5], "weekend": DAYS[5:]}
SUN_EVENTS = ("sunrise", "sunset", "dawn", "dusk")
MOST_PROGRAMMES = 40
_CLOCK = re.compile(r"([01]\d|2[0-4]):([0-5]\d)\Z")
_SUN = re.compile(r"(sunrise|sunset|dawn|dusk)(?: ?([+-]) ?(\d{1,2}):([0-5]\d))?\Z")
_SEASON = re.compile(r"(\d\d)-(\d\d)\Z")
_MOST_OFFSET = 6 * 60
# What the sun's events count as where only their order matters: on the day of an equinox.
_USUAL = {"dawn": 330, "sunrise": 360, "sunset": 1080, "dusk": 1110}
_KEYS = (
    "days", "on", "off", "off_day", "season_from", "season_until", "on_not_before", "on_not_after", "off_not_before",
    "off_not_after", "on_without_sun", "off_without_sun",
)  # fmt: skip
_TIME_FIX = 'Write a time as "06:30", or as "sunset", "sunset-00:20", "sunrise+01:00", "dusk", "dawn".'


class Time(NamedTuple):
    """A time of day: minutes after midnight, or an event of the sun and minutes after it; clamped, with a stand-in."""

    minutes: int
    event: str | None = None
    earliest: int | None = None
    latest: int | None = None
    without: int | None = None  # on a day without the event

    @property
    def usual(self) -> int:
        return self.minutes + (_USUAL[self.event] if self.event else 0)

    def clamped(self, minutes: int) -> int:
        """`minutes` after midnight held between the earliest and the latest."""
        if self.earliest is not None:
            minutes = max(minutes, self.earliest)
        return minutes if self.latest is None else min(minutes, self.latest)

    def shown(self) -> str:
        if self.event is None:
            return clock(self.minutes)
        offset = "" if not self.minutes else f"{'-' if self.minutes < 0 else '+'}{clock(abs(self.minutes))}"
        limits = [f"not before {clock(self.earliest)}"] if self.earliest is not None else []
        limits += [f"not after {clock(self.latest)}"] if self.latest is not None else []
        limits += [f"{clock(self.without)} on days without one"] if self.without is not None else []
        return f"{self.event}{offset}" + (f" ({', '.join(limits)})" if limits else "")


class Programme(NamedTuple):
    number: int
    days: tuple[str, ...]
    on: Time
    off: Time
    next_day: bool
    season: tuple[tuple[int, int], tuple[int, int]] | None

    def holds(self, day: date) -> bool:
        """Whether the programme switches on, on this day of the calendar."""
        if DAYS[day.weekday()] not in self.days:
            return False
        if self.season is None:
            return True
        first, last = self.season
        today = (day.month, day.day)
        return first <= today <= last if first <= last else today >= first or today <= last


def clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


def read_programmes(given: object) -> list[Programme]:
    """The checked programmes, in the given order. Raises `BadRequest` at the first fault."""
    where = "plan.programme"
    if not isinstance(given, list) or not given:
        raise BadRequest(
            where, "there is no list of programmes", "Without times there is nothing to plan.",
            'Add at least one with "on" and "off". In TOML, put each under [[plan.programme]].',
        )  # fmt: skip
    if len(given) > MOST_PROGRAMMES:
        raise BadRequest(
            where, f"there are more than {MOST_PROGRAMMES} programmes", "No time switch can hold that many.",
            "Put days with the same times into one programme.",
        )  # fmt: skip
    return [_programme(number, entry) for number, entry in enumerate(given, 1)]


def _programme(number: int, given: object) -> Programme:
    where = f"plan.programme {number}"
    if not isinstance(given, dict):
        raise BadRequest(
            where, "this is not a table", "A programme has days and times.", 'Write "on" and "off" for it.'
        )
    only_keys(given, _KEYS, "a programme", where)
    on, off = (_time(where, key, given) for key in ("on", "off"))
    if on == off:
        raise BadRequest(
            f"{where}.off", "it switches on and off at the same time", "It would never run, or never stop.",
            'For the whole day write on = "00:00", off = "24:00".',
        )  # fmt: skip
    return Programme(number, _days(where, given), on, off, _next_day(where, given, on, off), _season(where, given))


def _time(where: str, key: str, given: dict) -> Time:
    text = given.get(key)
    spot = f"{where}.{key}"
    if text is None:
        raise BadRequest(
            spot, f'there is no "{key}"', "A programme needs a time to switch on and one to switch off.", _TIME_FIX
        )
    sun = _SUN.match(text) if isinstance(text, str) else None
    bounds = [_bound(where, f"{key}_{name}", given) for name in ("not_before", "not_after", "without_sun")]
    if sun:
        offset = int(sun[3]) * 60 + int(sun[4]) if sun[2] else 0
        if offset > _MOST_OFFSET:
            raise BadRequest(
                spot,
                f"the offset of {told(text)} is more than {_MOST_OFFSET // 60} hours",
                "For a time that far from the sun's, use a fixed time.",
                _TIME_FIX,
            )
        earliest, latest, without = bounds
        if earliest is not None and latest is not None and earliest > latest:
            raise BadRequest(
                f"{where}.{key}_not_before", f"not before {clock(earliest)} and not after {clock(latest)} leave no time",
                "No time meets both limits.", "Change one of the two.",
            )  # fmt: skip
        return Time(-offset if sun[2] == "-" else offset, sun[1], earliest, latest, without)
    for name, bound in zip(("not_before", "not_after", "without_sun"), bounds, strict=True):
        if bound is not None:
            raise BadRequest(
                f"{where}.{key}_{name}", f'"{key}" is a fixed time and cannot have this limit',
                "A limit is only for a time that follows the sun.", "Delete it, or write an event of the sun.",
            )  # fmt: skip
    minutes = _minutes(spot, text)
    if key == "on" and minutes == 1440:
        raise BadRequest(
            spot,
            "24:00 ends a day, so nothing can start then",
            "The run would belong to the next day.",
            'Write "00:00".',
        )
    return Time(minutes)


def _bound(where: str, key: str, given: dict) -> int | None:
    return None if given.get(key) is None else _minutes(f"{where}.{key}", given[key])


def _minutes(where: str, text: object) -> int:
    found = _CLOCK.match(text) if isinstance(text, str) else None
    minutes = int(found[1]) * 60 + int(found[2]) if found else 9999
    if minutes > 1440:
        raise BadRequest(where, f"{told(text)} is not a time of day", "A plan is made of times of day.", _TIME_FIX)
    return minutes


def read_span(where: str, given: dict, first: str, last: str) -> tuple[int, int]:
    """Two fixed times of a table, as minutes after midnight."""
    return _minutes(f"{where}.{first}", given.get(first)), _minutes(f"{where}.{last}", given.get(last))


def _days(where: str, given: dict) -> tuple[str, ...]:
    return read_days(f"{where}.days", given.get("days", "every-day"))


def read_days(where: str, given: object) -> tuple[str, ...]:
    """Days of the week, Monday first. Raises `BadRequest`."""
    if isinstance(given, str) and given in _GROUPS:
        return _GROUPS[given]
    if isinstance(given, list) and given and all(isinstance(day, str) and day in DAYS for day in given):
        return tuple(day for day in DAYS if day in given)
    raise BadRequest(
        where, f"{told(given)} does not name days", "A programme runs on days of the week.",
        f'Write "every-day", "weekdays", "weekend", or a list of {", ".join(DAYS)}.',
    )  # fmt: skip


def _next_day(where: str, given: dict, on: Time, off: Time) -> bool:
    """Whether it switches off on the day after. Where nobody says so, the usual order of the times tells."""
    named = given.get("off_day")
    if named in ("same", "next"):
        if named == "same" and not (on.event or off.event) and off.minutes <= on.minutes:
            raise BadRequest(
                f"{where}.off_day", f"{clock(off.minutes)} is before {clock(on.minutes)} on the same day",
                "The programme would never run.", 'Write off_day = "next", or change a time.',
            )  # fmt: skip
        return named == "next"
    if named is not None:
        raise BadRequest(
            f"{where}.off_day",
            f"{told(named)} is not a day to end on",
            "It says on which day the run ends.",
            'Write "same" or "next".',
        )
    return off.usual <= on.usual


def _season(where: str, given: dict) -> tuple[tuple[int, int], tuple[int, int]] | None:
    if given.get("season_from") is None and given.get("season_until") is None:
        return None
    return _month_day(f"{where}.season_from", given.get("season_from")), _month_day(
        f"{where}.season_until", given.get("season_until")
    )


def _month_day(where: str, given: object) -> tuple[int, int]:
    found = _SEASON.match(given) if isinstance(given, str) else None
    if found:
        try:
            date(2024, int(found[1]), int(found[2]))  # a leap year: the 29th of February is a day
            return int(found[1]), int(found[2])
        except ValueError:
            pass
    what = "the other end of the season is missing" if given is None else f"{told(given)} is not a day of the year"
    raise BadRequest(
        where,
        what,
        "A season runs from one day of the year to another, including both.",
        'Write month and day: "10-01".',
    )


def days_shown(days: tuple[str, ...]) -> str:
    """Days in words: `every day`, `Mon to Fri`, `Sat, Sun`."""
    if days == DAYS:
        return "every day"
    names = [day.capitalize() for day in days]
    places = [DAYS.index(day) for day in days]
    if len(days) > 2 and places == list(range(places[0], places[0] + len(days))):
        return f"{names[0]} to {names[-1]}"
    return ", ".join(names)

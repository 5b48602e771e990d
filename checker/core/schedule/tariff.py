"""A tariff of bands by time of day and day of the week, and what a stretch of time costs by it."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import accumulate, pairwise
from typing import NamedTuple

from checker.core.errors import BadRequest, only_keys, told
from checker.core.schedule.programme import DAYS, clock, read_days, read_span
from checker.core.schedule.zone import DAY, Zone

_KEYS = ("name", "from", "until", "days", "price")
_MOST_BANDS, _WEEK = 20, 7 * DAY
_NUMBER = re.compile(r"\d{1,9}(\.\d{1,9})?\Z")
_FIX = 'Give each band a price per kWh, with "from" and "until". One band may go without times: it applies at all other times.'


class Band(NamedTuple):
    name: str
    price: Decimal  # for one kWh
    minutes: tuple[int, ...]  # of the week that belong to it; none for the band of all other times


class Tariff:
    """Bands and, for each minute of the week by the clock on the wall, the band that holds."""

    def __init__(self, bands: list[Band], by_minute: list[int]) -> None:
        self.bands, self.by_minute = bands, by_minute
        # Minutes of each band since Monday 00:00: a stretch of any length is two look-ups.
        self._since = [list(accumulate((b == band for b in by_minute), initial=0)) for band in range(len(bands))]

    def minutes(self, zone: Zone, first: int, last: int) -> list[int]:
        """How many of the minutes from the moment `first` up to `last` lie in each band."""
        cuts = [first, *(change[0] for change in zone.changes_between(first + 1, last)), last]
        totals = [0] * len(self.bands)
        for start, end in pairwise(cuts):
            local = zone.local(start)
            for band, minutes in enumerate(self.wall_minutes(local, local + end - start)):
                totals[band] += minutes
        return totals

    def wall_minutes(self, first: int, last: int) -> list[int]:
        """As `minutes`, by the clock on the wall, which is not changed in between."""
        return [self._upto(since, last) - self._upto(since, first) for since in self._since]

    @staticmethod
    def _upto(since: list[int], local: int) -> int:
        # Day 1 of the calendar, 0001-01-01, is a Monday.
        weeks, minute = divmod(local - DAY, _WEEK)
        return weeks * since[-1] + since[minute]

    def cost(self, minutes: list[int], power_kw: Decimal) -> Decimal:
        """What running at `power_kw` for these minutes of each band costs."""
        total = sum((b.price * m for b, m in zip(self.bands, minutes, strict=True)), Decimal(0))
        return total * power_kw / 60


def read_tariff(given: object) -> Tariff | None:
    """The checked tariff, or None where none is given. Raises `BadRequest`."""
    if given is None:
        return None
    if not isinstance(given, list) or not 0 < len(given) <= _MOST_BANDS:
        raise BadRequest(
            "plan.tariff", f"this is not a list of 1 to {_MOST_BANDS} bands", "The bands set the costs.", _FIX
        )
    bands = [_band(number, entry) for number, entry in enumerate(given, 1)]
    rest = [place for place, band in enumerate(bands) if not band.minutes]
    by_minute: list[int] = [rest[0] if rest else -1] * _WEEK
    if len(rest) > 1:
        raise BadRequest("plan.tariff", "two bands have no times", "At every time, only one price can apply.", _FIX)
    for place, band in enumerate(bands):
        for minute in band.minutes:
            if by_minute[minute] not in (-1, *rest):
                other = bands[by_minute[minute]].name
                what = f"the bands {other} and {band.name} both apply on {_when(minute)}"
                raise BadRequest(
                    "plan.tariff",
                    what,
                    "At every time, only one price can apply.",
                    "Make one end where the other begins.",
                )
            by_minute[minute] = place
    if -1 in by_minute:
        what = f"no band applies on {_when(by_minute.index(-1))}"
        raise BadRequest("plan.tariff", what, "There is no price for a run at that time.", _FIX)
    return Tariff(bands, by_minute)


def _when(minute: int) -> str:
    return f"{DAYS[minute // DAY].capitalize()} at {clock(minute % DAY)}"


def _band(number: int, given: object) -> Band:
    where = f"plan.tariff {number}"
    if not isinstance(given, dict):
        raise BadRequest(where, "this is not a table", "A band needs a price.", _FIX)
    only_keys(given, _KEYS, "a band", where)
    price = given.get("price")
    if isinstance(price, str) and _NUMBER.match(price):
        price = Decimal(price)
    if (
        not isinstance(price, Decimal)
        or not price.is_finite()
        or not 0 <= price <= 1_000_000
        or int(price.as_tuple().exponent) < -9
    ):
        raise BadRequest(
            f"{where}.price",
            f"{told(price)} is not a price",
            "The costs depend on it.",
            "Write the price of one kWh as a number.",
        )
    name = given.get("name", f"band {number}")
    if not isinstance(name, str) or not 0 < len(name) <= 40 or not name.isprintable():
        raise BadRequest(f"{where}.name", "this is not a name", "The report shows it.", "Write up to 40 characters.")
    if given.get("from") is None and given.get("until") is None:
        if given.get("days") is not None:
            raise BadRequest(
                f"{where}.days", "a band without times cannot have days", "It applies at all times that are left.",
                'Add from = "00:00" and until = "24:00".',
            )  # fmt: skip
        return Band(name, price, ())
    start, end = read_span(where, given, "from", "until")
    if start in (end, DAY):
        raise BadRequest(
            f"{where}.until",
            "the band begins where it ends",
            "It would apply never, or always.",
            'For the whole day, write "00:00" to "24:00".',
        )
    length = end - start if end > start else end + DAY - start
    days = read_days(f"{where}.days", given.get("days", "every-day"))
    minutes = tuple((DAYS.index(day) * DAY + start + n) % _WEEK for day in days for n in range(length))
    return Band(name, price, minutes)

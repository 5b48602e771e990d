"""Sunrise, sunset, dawn and dusk by the low-accuracy solar equations of Meeus as NOAA's solar calculator uses them.

Sources: J. Meeus, Astronomical Algorithms, chapters 25 and 28; NOAA Global Monitoring Laboratory, solar calculation
details. Heights of horizon and observer are left out: flat land at sea level. Good to about a minute between the polar
circles; nearer the poles the sun moves along the horizon, and weather bends its light by more than that.

Moments are whole minutes of universal time, counted from the day before 0001-01-01 (`date.toordinal() * 1440`).
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache

from checker.core.schedule.trig import arccos, cos, degrees, radians, sin

DAY = 1440
_EPOCH = 730120 * DAY + 720  # noon of 2000-01-01 (J2000)
_CENTURY = 36525 * DAY
_ROUNDS = 3  # the sun moves on while we look: each round looks at the moment the last one gave
D = Decimal

ALWAYS_UP, ALWAYS_DOWN = "up", "down"


def _place(moment: int) -> tuple[Decimal, Decimal]:
    """The sine of the sun's declination, and the equation of time in minutes, at a moment.

    Worked out at the midnights around it and put through a parabola: off by less than a millionth of a minute.
    """
    day, minutes = divmod(moment, DAY)
    x = D(minutes) / DAY
    before, now, after = (_at_midnight(d) for d in (day - 1, day, day + 1))
    declination, time = (
        b + x * ((c - a) / 2 + x * ((a + c) / 2 - b)) for a, b, c in zip(before, now, after, strict=True)
    )
    return declination, time


@lru_cache(maxsize=4096)
def _at_midnight(day: int) -> tuple[Decimal, Decimal]:
    """As `_place`, at 00:00 of universal time."""
    moment = day * DAY
    t = D(moment - _EPOCH) / _CENTURY

    def poly(*terms: str) -> Decimal:
        total = D(0)
        for term in reversed(terms):
            total = total * t + D(term)
        return total

    mean = radians(poly("280.46646", "36000.76983", "0.0003032"))
    anomaly = radians(poly("357.52911", "35999.05029", "-0.0001537"))
    eccentricity = poly("0.016708634", "-0.000042037", "-0.0000001267")
    node = radians(poly("125.04", "-1934.136"))
    sin_m, sin_2m = sin(anomaly), sin(2 * anomaly)
    centre = sin_m * poly("1.914602", "-0.004817", "-0.000014")
    centre += sin_2m * poly("0.019993", "-0.000101") + sin(3 * anomaly) * D("0.000289")
    longitude = mean + radians(centre - D("0.00569") - D("0.00478") * sin(node))
    tilt = radians(poly("84381.448", "-46.8150", "-0.00059", "0.001813") / 3600 + D("0.00256") * cos(node))
    y = (sin(tilt / 2) / cos(tilt / 2)) ** 2
    time = y * sin(2 * mean) - 2 * eccentricity * sin_m
    time += 4 * eccentricity * y * sin_m * cos(2 * mean)
    time -= y * y * sin(4 * mean) / 2 + D("1.25") * eccentricity * eccentricity * sin_2m
    return sin(tilt) * sin(longitude), 4 * degrees(time)


def _half_day(sin_dec: Decimal, sin_lat: Decimal, cos_lat: Decimal, cos_zenith: Decimal) -> Decimal | str:
    """Half the time above the zenith distance, in minutes, or which side the sun stays on."""
    cos_dec = (1 - sin_dec * sin_dec).sqrt()
    over = cos_zenith - sin_lat * sin_dec
    reach = cos_lat * cos_dec
    if over >= reach:
        return ALWAYS_DOWN
    if over <= -reach:
        return ALWAYS_UP
    return 4 * degrees(arccos(over / reach))


def crossings(latitude: Decimal, longitude: Decimal, zenith: Decimal, near: int) -> tuple[int, int] | str:
    """When the sun rises above and sinks below the zenith distance, in the day whose solar noon is nearest to `near`.

    Degrees: north and east count up. `near`: about noon of the local day. Two moments in whole minutes; or `up` or
    `down` where the sun does not cross it on that day (polar day and night).
    """
    lat = radians(latitude)
    sin_lat, cos_lat, cos_zenith = sin(lat), max(cos(lat), D(0)), cos(radians(zenith))
    # Noon of the mean sun, in the day nearest to `near`; the equation of time leads from it to the true one.
    base = D(720) - 4 * longitude
    days = ((near - base) / DAY).to_integral_value(rounding=ROUND_HALF_EVEN)
    mean_noon = base + days * DAY
    found = []
    for side in (-1, 1):
        moment = mean_noon
        for _ in range(_ROUNDS):
            sin_dec, time = _place(int(moment))
            half = _half_day(sin_dec, sin_lat, cos_lat, cos_zenith)
            if isinstance(half, str):
                return half
            moment = mean_noon - time + side * half
        found.append(int(moment.to_integral_value(rounding=ROUND_HALF_EVEN)))
    return found[0], found[1]

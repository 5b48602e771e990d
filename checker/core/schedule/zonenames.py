"""From the name of a time zone to its rule."""

from __future__ import annotations

import re
from datetime import date
from difflib import get_close_matches

from checker.core.errors import BadRequest, told
from checker.core.schedule.zone import Zone
from checker.core.schedule.zonedata import FIRST, LAST, REFUSED, RULES, SINCE, VERSION

_FIXED = re.compile(r"UTC(?:([+-])(\d\d):(\d\d))?\Z")
_FIXED_HELP = 'For a clock that never changes, write something like "UTC+02:00".'


def zone_of(name: object, first_day: date) -> Zone:
    """The zone of a plan that begins on `first_day`. Raises `BadRequest`."""
    where, why = "plan.zone", "The zone decides what the clock shows and when summer time begins."
    if not isinstance(name, str):
        what = "no time zone is named" if name is None else f"{told(name)} is not the name of a time zone"
        raise BadRequest(where, what, why, 'Write it as "Europe/London", or as "UTC+02:00" where clocks never change.')
    if not FIRST <= first_day.year < LAST:
        what = f"the clock changes of tzdata {VERSION} are checked only for {FIRST} to {LAST}"
        raise BadRequest("as_of", what, "Governments change the dates.", "Choose a date in those years.")
    fixed = _FIXED.match(name)
    if fixed:
        hours, minutes = int(fixed[2] or 0), int(fixed[3] or 0)
        if hours <= 14 and minutes < 60:
            sign = "-" if fixed[1] == "+" else "+"
            return Zone(name, f"<{name[3:] or 'UTC'}>{sign}{hours}:{minutes:02}")
    if name in REFUSED:
        raise BadRequest(where, f"the clock changes of {name} follow no yearly rule", REFUSED[name], _FIXED_HELP)
    rule = RULES.get(name)
    if rule is None:
        close = get_close_matches(name[:60], RULES, n=1)
        hint = f"Did you mean {close[0]}?" if close else 'Write it as "Europe/London".'
        raise BadRequest(where, f"tzdata {VERSION} has no time zone {told(name)}", why, f"{hint} {_FIXED_HELP}")
    since = SINCE.get(name, "")
    if first_day.isoformat() < since:
        what = f"the present clock rule of {name} starts on {since}"
        raise BadRequest(where, what, "Before that day, its clocks followed another rule.", "Choose a later date.")
    return Zone(name, rule, since)

"""From the name of a time zone to its rule."""

from __future__ import annotations

import re
from datetime import date
from difflib import get_close_matches

from checker.core.errors import BadRequest, told
from checker.core.schedule.zone import Zone
from checker.core.schedule.zonedata import FIRST, LAST, REFUSED, RULES, SINCE, VERSION

_FIXED = re.compile(r"UTC(?:([+-])(\d\d):(\d\d))?\Z")
_FIXED_HELP = 'A clock that is never changed is "UTC+02:00" and the like.'


def zone_of(name: object, first_day: date) -> Zone:
    """The zone of a plan that begins on `first_day`. Raises `BadRequest`."""
    where, why = "plan.zone", "The clock on the wall, and summer time with it, follow the zone."
    if not isinstance(name, str):
        what = "no time zone is named" if name is None else f"{told(name)} is not the name of a time zone"
        raise BadRequest(
            where, what, why, 'Write it as "Europe/London", or as "UTC+02:00" where no summer time is kept.'
        )
    if not FIRST <= first_day.year < LAST:
        what = f"the rules of tzdata {VERSION} were compared for {FIRST} to {LAST} only"
        raise BadRequest("as_of", what, "Governments change their clocks.", "Plan a year within that span.")
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
        what = f"the rule that {name} follows now holds from {since} only"
        raise BadRequest(where, what, "Before that day its clocks were set otherwise.", "Plan from a later day.")
    return Zone(name, rule, since)

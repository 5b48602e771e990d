"""`python -m checker.dev zones`: the yearly rule of every time zone, from tzdata, as data that ships with the core.

A time zone file ends in a rule for all years to come (RFC 9636, footer). Each is held against zoneinfo over
`FIRST` to `LAST`: a zone whose rule holds from some day on is shipped with that day; one that follows no yearly rule is
shipped as refused, with the reason.
"""

from __future__ import annotations

import io
import zoneinfo
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from importlib import resources

import tzdata

from checker.core.schedule.zone import DAY, Zone
from checker.dev.checkout import ROOT

OUT = ROOT / "checker" / "core" / "schedule" / "zonedata.py"
FIRST, LAST = 2024, 2035
NOT_YEARLY = "Its summer time is set anew each year, by a calendar of the moon or by decree."
FIRST_DAY, LAST_DAY = date(FIRST, 1, 1).toordinal(), date(LAST, 12, 31).toordinal()
NOON = time(12)
_LATEST = date(2028, 1, 1)  # a rule that holds only from a later day than this is no rule yet
_LEFT_OUT = ("Etc/", "SystemV/", "US/", "posix", "right", "Factory", "localtime")


def main(arguments: list[str]) -> int:
    text = written()
    OUT.write_text(text, encoding="utf-8")
    print(f"wrote {OUT.name}: tzdata {tzdata.IANA_VERSION}, {len(text)} bytes")
    return 0


def names() -> list[str]:
    """The zones named Area/Place, old names too."""
    with resources.files("tzdata").joinpath("zones").open("r") as held:
        every = [line.strip() for line in held]
    return sorted(name for name in every if "/" in name and not name.startswith(_LEFT_OUT))


def data_of(name: str) -> bytes:
    """The file of a zone, in the package: the machine may hold an older one, which zoneinfo would prefer."""
    return resources.files("tzdata.zoneinfo").joinpath(*name.split("/")).read_bytes()


def reference(name: str) -> zoneinfo.ZoneInfo:
    """The zone as the standard library reads it from the package."""
    return zoneinfo.ZoneInfo.from_file(io.BytesIO(data_of(name)), key=name)


def footer(name: str) -> str:
    """The rule in the last line of a zone's file."""
    return data_of(name).rstrip(b"\n").rpartition(b"\n")[2].decode("ascii")


def agrees_from(name: str, rule: str) -> date | None:
    """The first day from which the rule gives zoneinfo's offset up to the end of `LAST`; None if never."""
    theirs = reference(name)
    last_wrong = 0
    for ordinal, ours in enumerate(_offsets(rule), FIRST_DAY):
        noon = datetime.combine(date.fromordinal(ordinal), NOON, theirs)
        if timedelta(minutes=ours) != theirs.utcoffset(noon):
            last_wrong = ordinal
    if last_wrong >= LAST_DAY - 1:
        return None
    # The first noon that agrees may still be of a day that began by the old rule.
    return date.fromordinal(last_wrong + 2) if last_wrong else date(FIRST, 1, 1)


@lru_cache
def _offsets(rule: str) -> list[int]:
    """The rule's offset at noon of every day of the span, by the clock on the wall."""
    zone = Zone("", rule)
    walls = (day * DAY + 720 for day in range(FIRST_DAY, LAST_DAY + 1))
    return [wall - zone.moment(wall) for wall in walls]


def written() -> str:
    """The Python module that ships: zones by rule, days from which rules hold, and refused zones."""
    rules: dict[str, list[str]] = {}
    since: dict[str, str] = {}
    refused: dict[str, str] = {}
    seen: dict[bytes, date | None] = {}
    for name in names():
        rule = footer(name)
        data = data_of(name)
        if data not in seen:
            seen[data] = agrees_from(name, rule)
        good = seen[data]
        if good is None or good > _LATEST:
            refused[name] = NOT_YEARLY
            continue
        rules.setdefault(rule, []).append(name)
        if good > date(FIRST, 1, 1):
            since[name] = good.isoformat()
    lines = [
        '"""Made by `python -m checker.dev zones` from tzdata (public domain). Not edited by hand."""',
        "",
        "from __future__ import annotations",
        "",
        f'VERSION = "{tzdata.IANA_VERSION}"',
        "# The years in which every rule was held against the full data.",
        f"FIRST, LAST = {FIRST}, {LAST}",
        "# The zones that follow each rule.",
        "_BY_RULE = {",
        *(f'    "{rule}": "{" ".join(zones)}",' for rule, zones in sorted(rules.items())),
        "}",
        "RULES = {name: rule for rule, zones in _BY_RULE.items() for name in zones.split()}",
        "# Zones whose rule holds from a day on.",
        "SINCE = {",
        *(f'    "{name}": "{day}",' for name, day in since.items()),
        "}",
        "# Zones without a yearly rule, and why.",
        f"REFUSED: dict[str, str] = {refused!r}".replace("'", '"'),
    ]
    return "\n".join(lines) + "\n"

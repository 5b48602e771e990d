"""The quantities of a plan: what a year of its timetable comes to. Each takes a `Reader` of a `PlanSituation`."""

from __future__ import annotations

from bisect import bisect_left
from decimal import Decimal
from itertools import pairwise

from checker.core.quantities.load import COUNTED
from checker.core.schedule.situation import complete, planned
from checker.core.schedule.zone import DAY
from checker.core.values import no_cell

_HOUR = Decimal(60)


def _hours(minutes: int) -> Decimal:
    return Decimal(minutes) / _HOUR


def _table(read):
    return read.situation.timetable


@planned(choices=("fixed", "sun"))
def programme_kind(read) -> str:
    """Whether a programme follows the sun."""
    return "sun" if any(p.on.event or p.off.event for p in _table(read).programmes) else "fixed"


@planned(choices=("yes", "no"))
def summer_time(read) -> str:
    """Whether the clocks of the zone are changed in the year planned."""
    table = _table(read)
    return "yes" if table.zone.changes_between(table.begins, table.ends) else "no"


@planned(choices=("yes", "no"))
def run_hours_answered(read) -> str:
    """Whether the check was told how long the load runs."""
    return "no" if read.given("run_hours") is None else "yes"


@planned("h")
def hours_per_year(read) -> Decimal:
    """How long the load is switched on in the year planned, in h."""
    table = _table(read)
    return _hours(table.minutes_on(table.begins, table.ends))


@planned("1")
def starts_per_year(read) -> Decimal:
    """How often it is switched on in the year planned: each is one closing and one opening of the contact."""
    return Decimal(len(_table(read).starts()))


@planned("h")
def longest_run_h(read) -> Decimal:
    """The longest stretch on, in h."""
    return _hours(max((run.end - run.start for run in _table(read).runs), default=0))


@planned("min")
def shortest_run_min(read) -> Decimal:
    """The shortest stretch on, in min."""
    return Decimal(min((run.end - run.start for run in _table(read).runs), default=0))


@planned("h")
def longest_rest_h(read) -> Decimal:
    """The longest stretch off between two runs, in h; with fewer than two runs there is none."""
    return _hours(max((end - start for start, end in _rests(read)), default=0))


@planned("min")
def shortest_rest_min(read) -> Decimal:
    """The shortest stretch off between two runs, in min."""
    return Decimal(min(end - start for start, end in _rests(read)))


def _rests(read) -> list[tuple[int, int]]:
    rests = _table(read).rests()
    if not rests:
        raise no_cell("a rest between two runs")
    return rests


@planned("1")
def planned_starts(read) -> Decimal:
    """The most starts within one hour, by the programmes alone."""
    starts = _table(read).starts()
    return Decimal(max((bisect_left(starts, s + 60) - place for place, s in enumerate(starts)), default=0))


@planned("h")
def least_day_h(read) -> Decimal:
    """The least time on in a day, in h; the days on which the clock changes are left out."""
    return _hours(min(_days(read)))


@planned("h")
def most_day_h(read) -> Decimal:
    """The most time on in a day, in h; the days on which the clock changes are left out."""
    return _hours(max(_days(read)))


def _days(read) -> list[int]:
    table = _table(read)
    midnights = [table.midnight(day) for day in range(table.first.toordinal(), table.after.toordinal() + 1)]
    return [table.minutes_on(start, end) for start, end in pairwise(midnights) if end - start == DAY]


@planned("1")
def clashes(read) -> Decimal:
    """How often one programme switches off or on while another keeps the load on."""
    return Decimal(len(_table(read).clashes))


@planned("1")
def sunless_days(read) -> Decimal:
    """On how many days a programme waits for an event of the sun that does not come."""
    return Decimal(len({entry.day for entry in _table(read).sunless}))


@planned("1")
def commands_needed(read) -> Decimal:
    """How many switching commands the clock has to hold: one on and one off a programme, or one a programme and day."""
    programmes = _table(read).programmes
    if read("clock_day_groups"):
        return Decimal(2 * len(programmes))
    return Decimal(2 * sum(len(programme.days) for programme in programmes))


@planned("1")
def times_off_step(read) -> Decimal:
    """How many fixed times of the programmes do not fall on a step of the clock."""
    step = read("clock_step_min")
    times = [time for p in _table(read).programmes for time in (p.on, p.off) if time.event is None]
    return Decimal(sum(1 for time in times if Decimal(time.minutes) % step))


@planned("1")
def endurance_years(read) -> Decimal:
    """After how many years the contact has switched as often as its maker states."""
    cycles, starts = read.all("contact_cycles", "starts_per_year")
    if not starts:
        raise no_cell("a load that is never switched")
    return cycles / starts


@planned("W")
def switched_power_w(read) -> Decimal:
    """What the load draws while it runs, in W; at most this, where only volts and amperes are known."""
    power = read.given("load_power_w")
    if power is not None:
        return power
    if read("load_kind") in COUNTED:
        return read("lamp_load_w")
    if read.given("load_current_a") is not None:
        volts, amperes = read.all("supply_voltage_v", "load_current_a")
    else:
        volts, amperes = read.all("supply_voltage_v", "design_current_a")
    apparent = volts * amperes
    factor = read.given("power_factor")
    return apparent if factor is None else apparent * factor


@planned("h")
def turnover_hours(read) -> Decimal:
    """How long the pump takes to move the whole pool once, in h: volume / flow."""
    volume, flow = read.all("pool_m3", "pump_m3_per_h")
    return volume / flow


@planned("1")
def turnovers_a_day(read) -> Decimal:
    """How often the whole pool passes the filter on the day with the least time on."""
    hours, turnover = read.all("least_day_h", "turnover_hours")
    return hours / turnover


@planned("min")
def motor_rest_min(read) -> Decimal:
    """The rest a motor of this output needs between two starts, in min (table `motor-rest`, two poles: the strictest)."""
    return read.row("motor-rest") / _HOUR


complete()

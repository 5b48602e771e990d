"""The cheapest daily window that is long enough to heat a tank."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from checker.core.schedule.energy import money
from checker.core.schedule.programme import clock
from checker.core.schedule.situation import PlanSituation
from checker.core.schedule.zone import DAY

_STEP = 15  # minutes: finer windows would promise more than anybody knows of the draw
_WEEK = 7


def cheapest_window(situation: PlanSituation) -> dict | None:
    """Of all windows of the needed length that are alike on every day, the one that costs least in a week.

    Of equally cheap ones the last of a stretch, seen from noon on: water heated late loses less before it is drawn.
    None without a tariff, for other loads, and while the length is not known.
    """
    tariff, hours = situation.tariff, situation.number("needed_hours")
    power = situation.number("switched_power_w")
    if tariff is None or situation.answers.get("load_kind") != "water-heater" or hours is None or power is None:
        return None
    stated = situation.answers.get("clock_step_min")
    step = int(stated) if isinstance(stated, Decimal) and stated >= 1 and DAY % stated == 0 else 1
    step *= max(1, -(-_STEP // step))
    steps = int((hours * 60 / step).to_integral_value(rounding=ROUND_CEILING))
    length = max(steps, 1) * step
    if length > DAY:
        return None
    kilowatts = power / 1000
    costs = {start: _week_cost(tariff, start, length, kilowatts) for start in range(0, DAY, step)}
    least = min(costs.values())
    starts = sorted(costs, key=lambda start: (start - DAY // 2) % DAY)
    start = next((s for s in starts if costs[s] == least != costs[(s + step) % DAY]), starts[0])
    return {
        "from": clock(start),
        "until": clock((start + length) % DAY),
        "next_day": start + length >= DAY,
        "minutes": length,
        "cost_day": money(least / _WEEK),
        "dearest_cost_day": money(max(costs.values()) / _WEEK),
    }


def _week_cost(tariff, start: int, length: int, kilowatts: Decimal) -> Decimal:
    # Any week without a change of the clock will do: the bands go by the clock on the wall.
    totals = [0] * len(tariff.bands)
    for day in range(1, _WEEK + 1):
        first = day * DAY + start
        for band, minutes in enumerate(tariff.wall_minutes(first, first + length)):
            totals[band] += minutes
    return tariff.cost(totals, kilowatts)

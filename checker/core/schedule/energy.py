"""What a year of the plan takes and costs, and what being on all the time would."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, NamedTuple

from checker.core.bounds import Span
from checker.core.schedule.situation import PlanSituation
from checker.core.values import Unknown, plain, shown

# On all the time these do not run all the time: how much they would take, their thermostat alone knows.
_THERMOSTATS = ("heater", "water-heater")
_HUNDRED, _THOUSAND, _HOUR = Decimal(100), Decimal(1000), Decimal(60)


class Use(NamedTuple):
    """Energy in kWh, and minutes of full power by band of the tariff."""

    kwh: Decimal
    bands: list[Decimal]


def energy(situation: PlanSituation, currency: str) -> dict:
    """`year` of a plan's reply. What is not known stays out, with the reasons in `unknown`."""
    table = situation.timetable
    days = (table.after - table.first).days
    base = {
        "from": table.first.isoformat(),
        "until": table.after.isoformat(),
        "days": days,
        "hours": shown(situation.figure("hours_per_year")),
        "hours_all": shown(Decimal(table.ends - table.begins) / _HOUR),
        "starts": plain(situation.figure("starts_per_year")),
        "currency": currency,
        "model": "none",
        "at_most": False,
        "unknown": [],
    }
    power = situation.known("switched_power_w").value
    if isinstance(power, (Unknown, Span)):
        return {**base, "unknown": sorted({reason.id for reason in power.reasons})}
    kilowatts = situation.figure("switched_power_w") / _THOUSAND
    tank = _tank(situation)
    if tank is None:
        kind, share = (situation.answers.get(name) for name in ("load_kind", "running_share_percent"))
        share = share if isinstance(share, Decimal) else None
        drawn = kilowatts if share is None else kilowatts * (share / _HUNDRED)
        stretches = table.within(table.begins, table.ends)
        use = _plain(situation, stretches, drawn)
        known = _steady(situation) or (share is not None and kind not in _THERMOSTATS)
        always = _plain(situation, [(table.begins, table.ends)], drawn) if known else None
        base |= {"model": "power x time", "at_most": share is None and not _steady(situation)}
    else:
        use, always = _heated(situation, kilowatts, tank), _held(situation, kilowatts, tank)
        base |= {"model": "tank", "at_most": True}
    return base | _money(situation, use, always, kilowatts, days)


def _steady(situation: PlanSituation) -> bool:
    """Whether the load draws its power all the time it is on: no thermostat, nothing that pauses, a power that is stated."""
    kind = situation.answers.get("load_kind")
    stated = situation.answers.get("load_power_w")
    if kind in ("filament-lamps", "led-lamps", "discharge-lamps"):
        return True
    return kind in ("motor", "pool-pump", "electronics", "transformer") and isinstance(stated, Decimal)


def _tank(situation: PlanSituation) -> Decimal | None:
    """The heat a tank takes in a minute, in kWh, draw and losses spread evenly; None where it is not known."""
    if situation.answers.get("load_kind") != "water-heater":
        return None
    drawn, lost = situation.number("drawn_kwh_day"), situation.number("standing_loss_kwh")
    if drawn is None or lost is None or situation.number("heating_energy_kwh") is None:
        return None
    return (drawn + lost) / 1440


def _bands(situation: PlanSituation, first: int, last: int) -> list[Decimal]:
    tariff = situation.tariff
    if tariff is None:
        return []
    return [Decimal(minutes) for minutes in tariff.minutes(situation.timetable.zone, first, last)]


def _plus(total: list[Decimal], more: list[Decimal], share: Decimal = Decimal(1)) -> list[Decimal]:
    if not total:
        return [m * share for m in more]
    return [t + m * share for t, m in zip(total, more, strict=True)]


def _plain(situation: PlanSituation, stretches: list[tuple[int, int]], kilowatts: Decimal) -> Use:
    """A load that draws the same all the time it is on; the bands count kW-minutes."""
    minutes, bands = 0, list[Decimal]()
    for start, end in stretches:
        minutes += end - start
        bands = _plus(bands, _bands(situation, start, end), kilowatts)
    return Use(Decimal(minutes) * kilowatts / _HOUR, bands)


def _held(situation: PlanSituation, kilowatts: Decimal, need: Decimal) -> Use:
    """A tank that is on all the time: it takes what is drawn and lost, minute by minute."""
    table = situation.timetable
    rate = min(need * _HOUR, kilowatts)  # in kW
    return _plain(situation, [(table.begins, table.ends)], rate)


def _heated(situation: PlanSituation, kilowatts: Decimal, need: Decimal) -> Use:
    """A tank behind the timer: full power until what was missed is made up, then as `_held`.

    Draw and loss go on while it is off, at the same rate: a tank that cools loses less, which `timer_saves_kwh_year`
    tells. It never misses more than a tank full of cold water.
    """
    table = situation.timetable
    rate = need * _HOUR
    most = situation.figure("heating_energy_kwh")
    missed, kwh, bands, before = Decimal(0), Decimal(0), list[Decimal](), table.begins
    for start, end in table.within(table.begins, table.ends):
        missed = min(missed + need * (start - before), most)
        spare = kilowatts - rate
        length = Decimal(end - start)
        full = length if spare <= 0 else min(missed * _HOUR / spare, length)
        whole = int(full)  # whole minutes at full power; the part of a minute goes with the rest of the run
        taken = kilowatts * full / _HOUR
        rest = min(rate, kilowatts) * (length - full) / _HOUR
        kwh += taken + rest
        bands = _plus(bands, _bands(situation, start, start + whole), kilowatts)
        if end > start + whole:
            left = taken + rest - kilowatts * whole / _HOUR
            average = left * _HOUR / (end - start - whole)
            bands = _plus(bands, _bands(situation, start + whole, end), average)
        missed = max(missed - spare * full / _HOUR, Decimal(0))
        before = end
    return Use(kwh, bands)


def _money(situation: PlanSituation, use: Use, always: Use | None, kilowatts: Decimal, days: int) -> dict:
    made: dict[str, Any] = {
        "power_kw": shown(kilowatts),
        "kwh": shown(use.kwh),
        "kwh_day": shown(use.kwh / days),
        "always_kwh": None if always is None else shown(always.kwh),
        "cost": None,
        "cost_day": None,
        "always_cost": None,
        "bands": [],
    }
    saves = situation.known("timer_saves_kwh_year").value
    made["timer_saves_kwh_at_most"] = shown(saves) if isinstance(saves, Decimal) else None
    if situation.tariff is None:
        return made
    prices = [band.price for band in situation.tariff.bands]
    nothing = [Decimal(0)] * len(prices)
    cost = _cost(prices, use.bands or nothing)
    made |= {
        "cost": money(cost),
        "cost_day": money(cost / days),
        "always_cost": money(_cost(prices, always.bands or nothing)) if always else None,
        "bands": [
            {"name": band.name, "price": plain(band.price), "kwh": shown(kw_minutes / _HOUR)}
            for band, kw_minutes in zip(situation.tariff.bands, use.bands or nothing, strict=True)
        ],
    }
    return made


def _cost(prices: list[Decimal], kw_minutes: list[Decimal]) -> Decimal:
    parts = (price * part for price, part in zip(prices, kw_minutes, strict=True))
    return sum(parts, Decimal(0)) / _HOUR


def money(value: Decimal) -> str:
    """An amount with two places."""
    return f"{value.quantize(Decimal('0.01')):f}"

"""What a timer does to a tank of hot water: losses, cooling, and the time it takes to get hot again.

Physics: a tank loses heat in step with its rise over the room, so its temperature falls towards the room's by an
exponential (Newton's law of cooling). One litre counts as one kilogram. Stirred tank: real ones are hotter at the top.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.schedule.situation import complete, planned
from checker.core.values import no_cell

_HOURS, _KILOJOULES = Decimal(24), Decimal(3600)


@planned("kWh")
def standing_loss_kwh(read) -> Decimal:
    """What the tank loses in a day while it is kept hot and nobody draws, in kWh.

    As its label states it, else the table `standing-loss`; turned from the rise of the test to the rise of this tank.
    """
    if read.is_stated("standing_loss_kwh_day"):
        stated = read("standing_loss_kwh_day")
    else:
        stated = read.row("standing-loss")
    rise, tested = _rise(read), read("standing_loss_rise_k")
    return stated * rise / tested


def _rise(read) -> Decimal:
    """How much hotter the tank is than the room, in K."""
    hot, room = read.all("water_hot_c", "tank_room_c")
    return max(hot - room, Decimal(0))


def _capacity(read) -> Decimal:
    """Heat that warms the whole tank by one kelvin, in kWh."""
    litres, heat = read.all("tank_litres", "water_heat_kj")
    return litres * heat / _KILOJOULES


@planned("h")
def recovery_hours(read) -> Decimal:
    """How long the heater takes from a tank full of cold water to a hot one, losses while heating counted, in h."""
    energy, power = read.all("heating_energy_kwh", "load_power_w")
    net = power / 1000 - read("standing_loss_kwh") / _HOURS
    if net <= 0:
        raise no_cell("a heater that does not make up for the losses")
    return energy / net


@planned("h")
def needed_hours(read) -> Decimal:
    """How long the heater has to be on in a day, in h.

    For what is drawn and lost in a day, where somebody says how much is drawn; never longer than for a whole tank of
    cold water, which counts where nobody does.
    """
    whole = read("recovery_hours")
    if not read.is_stated("drawn_litres_day"):
        return whole
    daily = read("drawn_kwh_day") + read("standing_loss_kwh")
    return min(whole, daily * 1000 / read("load_power_w"))


@planned("C")
def coolest_c(read) -> Decimal:
    """How warm the tank still is at the end of the longest time off, if nobody draws, in °C."""
    room, hours = read.all("tank_room_c", "longest_rest_h")
    return room + _rise(read) * _kept(read, hours)


def _kept(read, hours: Decimal) -> Decimal:
    """The share of its rise that the tank keeps after some hours off."""
    rise = _rise(read)
    if not rise:
        return Decimal(1)
    rate = read("standing_loss_kwh") / _HOURS / rise  # kWh in an hour and kelvin
    return (-rate * hours / _capacity(read)).exp()


@planned("kWh")
def drawn_kwh_day(read) -> Decimal:
    """The heat in the hot water drawn in a day, in kWh."""
    litres, cold, hot, heat = read.all("drawn_litres_day", "water_cold_c", "water_hot_c", "water_heat_kj")
    rise = max(hot - cold, Decimal(0))
    return litres * heat * rise / _KILOJOULES


@planned("kWh")
def timer_saves_kwh_year(read) -> Decimal:
    """The most that switching off saves in the year planned, in kWh: losses that a cooler tank does not have.

    Kept hot, the tank loses rate x hours; left to cool, it loses the heat that is gone by the end, which is put back
    afterwards. The difference is saved, at most: whoever draws hot water early lets less cool.
    """
    read("standing_loss_kwh")
    total = Decimal(0)
    capacity, rise = _capacity(read), _rise(read)
    lengths: dict[int, int] = {}
    for start, end in read.situation.timetable.rests():
        lengths[end - start] = lengths.get(end - start, 0) + 1
    for minutes, times in lengths.items():
        hours = Decimal(minutes) / 60
        hot = read("standing_loss_kwh") / _HOURS * hours
        cooled = capacity * rise * (1 - _kept(read, hours))
        total += times * (hot - cooled)
    return max(total, Decimal(0))


complete()

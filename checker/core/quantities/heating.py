"""What heating a tank of water takes. Source: energy = mass x specific heat x rise of temperature (physics)."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import largest

_KILOJOULES_PER_KWH = Decimal(3600)
_WATTS_PER_KW = Decimal(1000)


@quantity("kWh")
def heating_energy_kwh(read) -> Decimal:
    """Energy to heat the whole tank from the inlet's to the thermostat's temperature, in kWh; losses come on top.

    One litre of water counts as one kilogram. A tank that is set no hotter than its inlet takes nothing.
    """
    litres, cold, hot, heat = read.all("tank_litres", "water_cold_c", "water_hot_c", "water_heat_kj")
    rise = largest(hot - cold, Decimal(0))
    return litres * heat * rise / _KILOJOULES_PER_KWH


@quantity("h")
def heating_hours(read) -> Decimal:
    """How long the heater takes for that at its rated power, in h; losses come on top."""
    energy, power = read.all("heating_energy_kwh", "load_power_w")
    return energy * _WATTS_PER_KW / power

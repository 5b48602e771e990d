"""What the load draws."""

from __future__ import annotations

from decimal import Decimal

from ..values import CONTEXT, NotKnown, Reason, Unknown
from .kind import quantity

MOTORS = ("motor", "pool-pump")
# Loads that come as a number of equal pieces.
COUNTED = ("filament-lamps", "led-lamps", "discharge-lamps", "electronics")
# A resistor draws its current in step with the voltage: power factor 1 is physics, not a figure of a region.
RESISTIVE = ("heater", "water-heater", "filament-lamps")


@quantity("A")
def design_current_a(read) -> Decimal:
    """The current of the whole load at its supply voltage, in A (IEC 60050-826: design current, Ib).

    The nameplate current wins. Otherwise electrical power / (voltage x power factor). A motor's shaft power is not
    electrical power: it is divided by efficiency and power factor too, or looked up in the table of motor currents,
    never divided by the voltage alone. Behind socket-outlets anything may be plugged in, so they count as the whole
    breaker. Source: the formulas are physics; IEC 60364-1 clause 311 asks for the current of the whole load.
    """
    kind = read("load_kind")
    if read("phases") != "single":
        # Power over voltage holds between line and neutral; nothing here knows how a load sits between several lines.
        raise NotKnown(Unknown([Reason("no-cell", f"{read('phases')}-phase load")]))
    if kind == "socket-outlets":
        return read("breaker_rating_a")
    if read.is_stated("load_current_a"):
        return _agreeing(read, read("load_current_a"))
    if kind in MOTORS and not read.is_stated("load_power_w"):
        return _motor_current(read)
    return CONTEXT.divide(_volt_amperes(read, kind), read("supply_voltage_v"))


def _agreeing(read, current: Decimal) -> Decimal:
    """The stated current, unless a stated power shows that one of the two is a slip: then nothing is known.

    A load cannot take more watts than volts x amperes, nor can a motor give them.
    """
    allowed = CONTEXT.multiply(current, read("supply_voltage_v"))
    for name in ("load_power_w", "motor_output_w"):
        power = read.given(name)
        if power is not None and CONTEXT.multiply(power, read("plate_tolerance")) > allowed:
            raise NotKnown(Unknown([Reason("contradiction", "load_current_a"), Reason("contradiction", name)]))
    return current


def _volt_amperes(read, kind: str) -> Decimal:
    """Apparent power of the load, in VA."""
    watts = read("lamp_load_w") if kind in COUNTED else read("load_power_w")
    if kind in RESISTIVE:
        return watts
    if kind == "discharge-lamps":
        # Lamp watts leave out the gear: the factor stands for its losses, its power factor and harmonics.
        return CONTEXT.multiply(watts, read("discharge_gear_factor"))
    return CONTEXT.divide(watts, read("power_factor"))


def _doubts(read) -> list[Reason]:
    """What would give a motor's current without the table."""
    values = (read.value(name) for name in ("load_current_a", "efficiency", "power_factor"))
    return [reason for value in values if isinstance(value, Unknown) for reason in value.reasons]


def _motor_current(read) -> Decimal:
    """From the shaft power: by efficiency and power factor where both were given, else by the table."""
    if not read.is_stated("motor_output_w"):
        # The plate's current is the better of the two facts, so it is named first.
        read.all("load_current_a", "motor_output_w")
    output = read("motor_output_w")
    given = [read.value(name) for name in ("efficiency", "power_factor")]
    if any(isinstance(v, Unknown) and any(r.kind == "dont-know" for r in v.reasons) for v in given):
        # "Don't know" could turn out worse than the table's typical motor, so the table may not stand in for it.
        read.all("efficiency", "power_factor")
    if any(isinstance(value, Unknown) for value in given):
        if read("supply_voltage_v") < read("motor_table_voltage_v"):
            # At a lower voltage the same motor draws more than the table says.
            raise NotKnown(Unknown([Reason("no-cell", "motor-current below its voltage"), *_doubts(read)]))
        return read.cell("motor-current", output)
    efficiency, factor = given
    return CONTEXT.divide(CONTEXT.divide(output, efficiency), CONTEXT.multiply(read("supply_voltage_v"), factor))


@quantity("W")
def lamp_load_w(read) -> Decimal:
    """The power that a contact's limit in watts is compared with, in W.

    As stated for the whole load, else lamps (or power supplies) x power of one.
    """
    if read("load_kind") not in COUNTED:
        return read("load_power_w")
    if not read.is_stated("load_power_w"):
        count, each = read.all("lamp_count", "lamp_power_w")
        return CONTEXT.multiply(count, each)
    power, count, each = read("load_power_w"), read.given("lamp_count"), read.given("lamp_power_w")
    if count is not None and each is not None:
        counted = CONTEXT.multiply(count, each)
        if CONTEXT.multiply(counted, read("plate_tolerance")) > power:
            raise NotKnown(Unknown([Reason("contradiction", "load_power_w"), Reason("contradiction", "lamp_count")]))
    return power


@quantity("A")
def sizing_current_a(read) -> Decimal:
    """The current that breaker, cable and contact are sized for, in A: design current x the region's continuous factor.

    The factor is the pack's parameter `continuous_load_factor` (1 where the code has none).
    """
    return CONTEXT.multiply(read("design_current_a"), read("continuous_load_factor"))

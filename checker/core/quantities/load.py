"""What the load draws."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, Reason, ReasonKind, Unknown, Value, contradiction, largest, no_cell

MOTORS = ("motor", "pool-pump")
# Loads that come as a number of equal pieces.
COUNTED = ("filament-lamps", "led-lamps", "discharge-lamps", "electronics")
# A resistor draws its current in step with the voltage: power factor 1 is physics, not a figure of a region.
RESISTIVE = ("heater", "water-heater", "filament-lamps")


def behaves_as(read) -> str:
    """The kind of load by what it does to contact, breaker and RCD: a motor behind an electronic drive is electronics."""
    kind = read("load_kind")
    return "electronics" if kind in MOTORS and read("electronic_drive") else kind


@quantity("A")
def design_current_a(read) -> Decimal:
    """The current of the whole load at its supply voltage, in A (IEC 60050-826: design current, Ib).

    The nameplate current wins. Otherwise electrical power / (voltage x power factor), where the load sits between two
    lines the voltage between them. A motor's shaft power is not electrical power: it is divided by efficiency and power
    factor too, or looked up in the table of motor currents, never divided by the voltage alone. Behind socket-outlets
    anything may be plugged in, so they count as the whole breaker. Source: the formulas are physics; IEC 60364-1
    clause 311 asks for the current of the whole load.
    """
    kind = read("load_kind")
    if read("phases") == "three":
        # Power over voltage holds for two wires; nothing here knows how a load divides over three lines.
        raise no_cell("three-phase load")
    if kind == "socket-outlets":
        return read("breaker_rating_a")
    if (
        kind in MOTORS
        and read.has("motor_output_hp")
        and read.is_stated("motor_output_hp")
        and not read("electronic_drive")
    ):
        # Such a code sizes by its own table, not by the plate's current. A drive has the input current of its plate.
        return read.row("motor-current")
    if read.is_stated("load_current_a"):
        return _agreeing(read, read("load_current_a"))
    if kind in MOTORS and not read.is_stated("load_power_w"):
        return _motor_current(read)
    power, supply = _volt_amperes(read, kind), read("supply_voltage_v")
    current = power / supply
    return largest(current, _of_a_resistance(read, power, supply)) if kind in RESISTIVE else current


def _of_a_resistance(read, power: Decimal, supply: Decimal) -> Decimal:
    """The current of a resistance whose plate gives `power` at the plate's voltage U, in A: power x supply / U^2 (Ohm).

    No current where the plate's voltage is not stated. The larger of this and power / supply counts: plates that name a
    range of voltages give one power for all of it.
    """
    if not read.is_stated("load_voltage_v"):
        return Decimal(0)
    plate = read("load_voltage_v")
    return power * supply / (plate * plate)


def _agreeing(read, current: Decimal) -> Decimal:
    """The stated current, unless a stated power shows that one of the two is a slip: then nothing is known.

    A load cannot take more watts than volts x amperes, nor can a motor give them.
    """
    allowed = current * read("supply_voltage_v")
    for name in ("load_power_w", "motor_output_w"):
        power = read.given(name)
        if power is not None and power * read("plate_tolerance") > allowed:
            raise contradiction("load_current_a", name)
    return current


def _volt_amperes(read, kind: str) -> Decimal:
    """Apparent power of the load, in VA; its bounds for LED lamps without a printed power factor."""
    watts = read("lamp_load_w") if kind in COUNTED else read("load_power_w")
    if kind in RESISTIVE:
        return watts
    if kind in MOTORS:
        _no_more_out_than_in(read, watts)
    if kind == "discharge-lamps":
        # Lamp watts leave out the gear: the factor stands for its losses, its power factor and harmonics.
        return watts * read("discharge_gear_factor")
    if kind == "led-lamps":
        printed = read.value("power_factor")
        if isinstance(printed, Unknown) and all(reason.kind == ReasonKind.NOT_STATED for reason in printed.reasons):
            # No lamp is better than 1 or worse than the floor: what holds for both ends holds for these lamps.
            return read.over_ratio(watts, "power_factor", read("lamp_power_factor_floor"))
    return watts / read("power_factor")


def _no_more_out_than_in(read, watts: Decimal) -> None:
    """A shaft that gives more than the motor takes shows that one of the two answers is a slip: then nothing is known."""
    output = read.given("motor_output_w")
    if output is not None and output * read("plate_tolerance") > watts:
        raise contradiction("load_power_w", "motor_output_w")


def _doubts(read) -> list[Reason]:
    """What would give a motor's current without the table."""
    values = (read.value(name) for name in ("load_current_a", "efficiency", "power_factor"))
    return [reason for value in values if isinstance(value, Unknown) for reason in value.reasons]


def _motor_current(read) -> Decimal:
    """From the shaft power: by efficiency and power factor where both were given, else by the table.

    The table is for motors straight on the mains: what a drive draws stands on its plate.
    """
    if read("electronic_drive"):
        read.all("load_current_a", "load_power_w")
    if read.has("motor_output_hp"):
        read.all("motor_output_hp", "load_current_a")
    if not read.is_stated("motor_output_w"):
        # The plate's current is the better of the two facts, so it is named first.
        read.all("load_current_a", "motor_output_w")
    output = read("motor_output_w")
    # While one is not known it could turn out worse than the table's typical motor, so the table may not stand in for it.
    stated = [read.is_stated(name) for name in ("efficiency", "power_factor")]
    if not all(stated):
        if read("supply_voltage_v") < read("motor_table_voltage_v"):
            # At a lower voltage the same motor draws more than the table says.
            raise NotKnown(Unknown([Reason(ReasonKind.NO_CELL, "motor-current below its voltage"), *_doubts(read)]))
        return read.row("motor-current")
    efficiency, factor = read.all("efficiency", "power_factor")
    return output / efficiency / (read("supply_voltage_v") * factor)


@quantity("W")
def lamp_load_w(read) -> Decimal:
    """The power that a contact's limit in watts is compared with, in W.

    As stated for the whole load, else lamps (or power supplies) x power of one.
    """
    if read("load_kind") not in COUNTED:
        return read("load_power_w")
    if not read.is_stated("load_power_w"):
        count, each = read.all("lamp_count", "lamp_power_w")
        return count * each
    power, count, each = read("load_power_w"), read.given("lamp_count"), read.given("lamp_power_w")
    if count is not None and each is not None:
        counted = count * each
        if counted * read("plate_tolerance") > power:
            raise contradiction("load_power_w", "lamp_count")
    return power


@quantity(choices=("continuous", "short"))
def duty(read) -> str:
    """Whether the load counts as running for `continuous_hours` or longer without a break.

    By its hours, unless the pack's table `load-duty` says "always" or "never" of its kind.
    """
    told = read.row("load-duty") if read.has("load-duty") else "by-hours"
    if told != "by-hours":
        return "continuous" if told == "always" else "short"
    return "continuous" if read("run_hours") >= read("continuous_hours") else "short"


@quantity("A")
def sizing_current_a(read) -> Decimal:
    """The current that breaker, cable and contact are sized for by this load, in A.

    Design current x the pack's parameter `continuous_load_factor` when the load runs for `continuous_hours` or longer.
    Where the code has no such factor (1), nobody is asked for the hours.
    """
    current, factor = read("design_current_a"), read("continuous_load_factor")
    if factor == 1 or read("duty") == "short":
        return current
    return current * factor


@quantity("A")
def circuit_current_a(read) -> Value:
    """What breaker and cable carry, in A: this load and everything else on the circuit (IEC 60364-1 clause 311)."""
    return _sum(read("sizing_current_a"), read.value("other_current_a"))


@quantity("A")
def running_current_a(read) -> Value:
    """What flows in the cable while everything on the circuit runs, in A: without the factor for long running.

    Voltage drop goes by it: the factor makes room for heat, it adds no current.
    """
    return _sum(read("design_current_a"), read.value("other_current_a"))


@quantity("A")
def switched_current_a(read) -> Value:
    """What the control device carries, in A: this load, and what else on the circuit is switched with it.

    The current itself: the factor for long running makes room in breaker and cable.
    """
    current, others = read("design_current_a"), read.value("other_current_a")
    if not isinstance(others, Unknown) and others == 0:
        return current
    switched = read.value("other_load_switched")
    if isinstance(switched, Unknown):
        return _sum(current, switched)
    return _sum(current, others) if switched else current


def _sum(current: Decimal, others: Value) -> Value:
    """Both together; while the others are not known, at least the one that is."""
    return Unknown(others.reasons, at_least=current) if isinstance(others, Unknown) else current + others  # type: ignore[operator]  # a number


@quantity("A")
def other_current_a(read) -> Value:
    """The current of everything else on the circuit, in A; none on a circuit of its own.

    Where something else hangs on it and no current is stated, the rule on what hangs on the circuit does not pass.
    """
    if read("load_kind") == "socket-outlets":
        return Decimal(0)  # they count as the whole breaker already
    if read.value("circuit_dedicated") is True:
        if read.given("other_load_a") is not None:
            raise contradiction("circuit_dedicated", "other_load_a")
        return Decimal(0)
    stated = read.stated("other_load_a")
    if isinstance(stated, Unknown):
        return stated
    return read("other_load_a") if stated else Decimal(0)


@quantity("A")
def upper_voltage_current_a(read) -> Value:
    """What a heater makes the circuit carry at the highest voltage the supply may have, in A: I grows with U (Ohm)."""
    return read("circuit_current_a") * read("supply_upper_factor")

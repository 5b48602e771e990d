"""Resistance of the cable and the voltage lost along it. Figures are the pack's tables (IEC 60228, IEC 60364-5-52).

The conductors count hot. Where the load's power factor is not stated, it counts as resistive: up to 16 mm2 the
reactance of a cable (about 0.08 ohm in 1000 m, IEC 60364-5-52 annex G) adds less than two parts in a thousand, while a
cable is seldom as hot as its insulation allows.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from checker.core.quantities.load import RESISTIVE
from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, Unknown, Value, largest, no_cell, smallest

# How much conductor a table of resistances is for, unless the pack's `resistance_length_m` says otherwise.
_METRES_OF_TABLE = Decimal(1000)
# Out and back: the current of a load between two conductors runs through both.
_WAYS = Decimal(2)
_HUNDRED = Decimal(100)
_MILLI = Decimal(1000)


def ohm_of(read, size: Decimal, length: Decimal) -> Decimal:
    """Resistance of `length` metres of one conductor of `size` mm2 at the table's temperature, in ohm.

    Table `conductor-resistance`: of 1000 m, or of the pack's `resistance_length_m`; at 20 °C, unless the pack has a
    `cold_resistance_factor`. Divided last, so that a whole length of the table comes out exact.
    """
    whole = read("resistance_length_m") if read.has("resistance_length_m") else _METRES_OF_TABLE
    return read.row("conductor-resistance", size_mm2=size) * length / whole


@quantity("1")
def hot_resistance_factor(read) -> Decimal:
    """Resistance of a conductor as hot as its insulation may get, over that of the table of resistances; a ratio.

    Table `hot-resistance`; a pack whose table of resistances is for hot conductors has none.
    """
    return read.row("hot-resistance") if read.has("hot-resistance") else Decimal(1)


def _heat(read) -> str:
    """The name that says how hot the conductors count: it is asked along with the rest."""
    return "cable_insulation" if read.has("cable-drop") else "hot_resistance_factor"


def _loop_ohm(read, size: Decimal, length: Decimal) -> Decimal:
    """Volts that one ampere loses over `length` metres of route with conductors of `size` mm2, out and back, hot.

    A region whose code prints them in mV/A/m has the table `cable-drop`; else they follow from the resistance.
    """
    if read.has("cable-drop"):
        return read.row("cable-drop", cable_size_mm2=size) * length / _MILLI
    loop = _WAYS * ohm_of(read, size, length)
    return loop * read("hot_resistance_factor")


def drop_over(read, size: Decimal, length: Decimal) -> Decimal:
    """Voltage lost over `length` metres of route with conductors of `size` mm2 at the circuit's current, both ways, hot, in V.

    A three-phase load has no drop here, for its current is not known (see `design_current_a`).
    """
    current, _ = read.all("running_current_a", _heat(read))
    loop = _loop_ohm(read, size, length)
    if not _power_factor_counts(read):
        return loop * current
    return loop * read("other_current_a") + _in_phase_ohm(read, loop, length) * read("design_current_a")


def _power_factor_counts(read) -> bool:
    """Whether the load states a power factor that is its own: a resistance has 1, and behind a socket nobody knows it."""
    kind = read("load_kind")
    if not read.has("cable_reactance_mv") or kind in RESISTIVE or kind == "socket-outlets":
        return False
    return read.is_stated("power_factor")


def _in_phase_ohm(read, loop: Decimal, length: Decimal) -> Decimal:
    """Volts that one ampere of this load loses, out and back: R cos(phi) + X sin(phi) (IEC 60364-5-52 annex G).

    The sine counts as 1, which errs to the high side, and never more than `loop` counts, that of a resistive load.
    """
    reactance = _WAYS * read("cable_reactance_mv") * length / _MILLI
    return smallest(loop, loop * read("power_factor") + reactance)


@quantity("V")
def voltage_drop_v(read) -> Decimal:
    """Voltage lost between board and load at the current of the whole circuit, in V: 2 x hot resistance x current,
    or the region's mV/A/m x current; where the load states its power factor, x that, and the reactance on top.

    What else hangs on the circuit may sit at its far end, so it counts whole. Source: IEC 60364-5-52 annex G.
    """
    length, size, *_ = read.all("run_length_m", "cable_size_mm2", "running_current_a", _heat(read))
    return drop_over(read, size, length)


@quantity("percent")
def voltage_drop_percent(read) -> Decimal:
    """The voltage lost between board and load, in percent of the supply voltage."""
    lost, supply = read.all("voltage_drop_v", "supply_voltage_v")
    return lost * _HUNDRED / supply


@quantity("percent")
def total_drop_percent(read) -> Value:
    """The drop from the origin of the installation to the load, in percent: before the board and behind it."""
    circuit, upstream = read.value("voltage_drop_percent"), read.value("upstream_drop_percent")
    if isinstance(upstream, Unknown) and not isinstance(circuit, Unknown):
        # What is lost before the board only adds.
        return Unknown(upstream.reasons, at_least=circuit)
    circuit, upstream = read.all("voltage_drop_percent", "upstream_drop_percent")
    return circuit + upstream


@quantity("percent")
def drop_limit_percent(read) -> Decimal:
    """The drop allowed from the origin of the installation to this kind of load, in percent (table `drop-limit`)."""
    return read.row("drop-limit")


@quantity("V")
def drop_left_v(read) -> Decimal:
    """What may still be lost behind the board, in V; never below zero."""
    # A code may limit what is lost behind the board alone: then nobody is asked what is lost before it.
    before = ("upstream_drop_percent",) if read.has("upstream_drop_percent") else ()
    limit, *upstream, supply = read.all("drop_limit_percent", *before, "supply_voltage_v")
    left = largest(limit - upstream[0] if upstream else limit, Decimal(0))
    return left * supply / _HUNDRED


@quantity("m")
def longest_run_m(read) -> Decimal:
    """The longest route, one way, on which this load stays within the drop allowed with this cable, in m."""
    left, size, *_ = read.all("drop_left_v", "cable_size_mm2", "running_current_a", _heat(read))
    return left / drop_over(read, size, Decimal(1))


@quantity("ft")
def longest_run_ft(read) -> Decimal:
    """As `longest_run_m`, in whole feet, rounded down. For reading only, and only where runs are measured in feet."""
    return _whole_feet(read, "longest_run_m", ROUND_FLOOR)


@quantity("ft")
def run_length_ft(read) -> Decimal:
    """The route from board to load, one way, in whole feet. For reading only, and only where runs are measured in feet."""
    return _whole_feet(read, "run_length_m", ROUND_HALF_EVEN)


def _whole_feet(read, name: str, rounding: str) -> Decimal:
    """A length in feet, by the parameter `foot_m` of a pack whose trade measures so; not known elsewhere."""
    if not read.has("foot_m"):
        raise no_cell("foot_m")
    feet = read(name) / read("foot_m")
    # A span that only tries answers keeps its ends.
    return feet.quantize(Decimal(1), rounding) if isinstance(feet, Decimal) else feet


def drops_too_much(read, size: Decimal) -> bool:
    """Whether a cable of `size` mm2 is known to lose too much on this route. Serves advice only: not known is no."""
    try:
        left, length = read.all("drop_left_v", "run_length_m")
        return drop_over(read, size, length) > left
    except NotKnown:
        return False

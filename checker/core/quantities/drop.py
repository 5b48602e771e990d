"""Resistance of the cable and the voltage lost along it. Figures are the pack's tables (IEC 60228, IEC 60364-5-52).

Only the resistance counts, hot, as if the load were resistive: up to 16 mm2 the reactance of a cable (about 0.08 ohm
in 1000 m, IEC 60364-5-52 annex G) adds less than two parts in a thousand, while a cable is seldom as hot as its
insulation allows.
"""

from __future__ import annotations

from decimal import Decimal

from ..values import CONTEXT, NotKnown, Reason, Unknown, Value
from .kind import quantity

_METRES_OF_TABLE = Decimal(1000)
# Out and back: the current of a load between two conductors runs through both.
_WAYS = Decimal(2)
_HUNDRED = Decimal(100)


def ohm_per_m(read, size: Decimal) -> Decimal:
    """Resistance of one conductor of `size` mm2 at 20 °C, in ohm per metre (table `conductor-resistance`: of 1000 m)."""
    return CONTEXT.divide(read.row("conductor-resistance", size_mm2=size), _METRES_OF_TABLE)


@quantity("1")
def hot_resistance_factor(read) -> Decimal:
    """Resistance of a conductor as hot as its insulation may get, over that at 20 °C (table `hot-resistance`); a ratio."""
    return read.row("hot-resistance")


def drop_per_m(read, size: Decimal) -> Decimal:
    """Voltage lost in one metre of route with conductors of `size` mm2 at the current of the circuit, both ways, hot, in V."""
    current, hot = read.all("running_current_a", "hot_resistance_factor")
    if read("phases") == "three":
        # How the current sits in three lines and a neutral decides; nothing here knows it.
        raise NotKnown(Unknown([Reason("no-cell", "three-phase load")]))
    loop = CONTEXT.multiply(CONTEXT.multiply(_WAYS, ohm_per_m(read, size)), hot)
    return CONTEXT.multiply(loop, current)


@quantity("V")
def voltage_drop_v(read) -> Decimal:
    """Voltage lost between board and load at the current of the whole circuit, in V: 2 x hot resistance x current.

    What else hangs on the circuit may sit at its far end, so it counts whole. Source: IEC 60364-5-52 annex G.
    """
    length, size, *_ = read.all("run_length_m", "cable_size_mm2", "running_current_a", "hot_resistance_factor")
    return CONTEXT.multiply(drop_per_m(read, size), length)


@quantity("percent")
def voltage_drop_percent(read) -> Decimal:
    """The voltage lost between board and load, in percent of the supply voltage."""
    lost, supply = read.all("voltage_drop_v", "supply_voltage_v")
    return CONTEXT.divide(CONTEXT.multiply(lost, _HUNDRED), supply)


@quantity("percent")
def total_drop_percent(read) -> Value:
    """The drop from the origin of the installation to the load, in percent: before the board and behind it."""
    circuit, upstream = read.value("voltage_drop_percent"), read.value("upstream_drop_percent")
    if isinstance(upstream, Unknown) and not isinstance(circuit, Unknown):
        # What is lost before the board only adds.
        return Unknown(upstream.reasons, at_least=circuit)
    return CONTEXT.add(*read.all("voltage_drop_percent", "upstream_drop_percent"))


@quantity("percent")
def drop_limit_percent(read) -> Decimal:
    """The drop allowed from the origin of the installation to this kind of load, in percent (table `drop-limit`)."""
    return read.row("drop-limit")


@quantity("V")
def drop_left_v(read) -> Decimal:
    """What may still be lost behind the board, in V; never below zero."""
    limit, upstream, supply = read.all("drop_limit_percent", "upstream_drop_percent", "supply_voltage_v")
    left = max(CONTEXT.subtract(limit, upstream), Decimal(0))
    return CONTEXT.divide(CONTEXT.multiply(left, supply), _HUNDRED)


@quantity("m")
def longest_run_m(read) -> Decimal:
    """The longest route, one way, on which this load stays within the drop allowed with this cable, in m."""
    left, size, *_ = read.all("drop_left_v", "cable_size_mm2", "running_current_a", "hot_resistance_factor")
    return CONTEXT.divide(left, drop_per_m(read, size))


def drops_too_much(read, size: Decimal) -> bool:
    """Whether a cable of `size` mm2 is known to lose too much on this route. Serves advice only: not known is no."""
    try:
        left, length = read.all("drop_left_v", "run_length_m")
        return CONTEXT.multiply(drop_per_m(read, size), length) > left
    except NotKnown:
        return False

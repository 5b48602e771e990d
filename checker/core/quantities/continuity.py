"""Continuity of the protective conductor, for rule sets that limit it by the breaker (table `earth-continuity`).

Elsewhere these quantities are not known. Source of the method: SANS 10142-1 clause 8.6.3; resistance as in `drop`.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.drop import ohm_of
from checker.core.quantities.quantity import quantity
from checker.core.values import no_cell

_TABLE = "earth-continuity"


def _needs_table(read) -> None:
    if not read.has(_TABLE):
        raise no_cell(_TABLE)


@quantity(choices=("yes", "no"))
def earth_continuity_limited(read) -> str:
    """Whether the rule set holds a limit for this breaker: `yes` or `no`."""
    _needs_table(read)
    return "no" if read.peek(_TABLE) is None else "yes"


@quantity("ohm")
def earth_continuity_ohm(read) -> Decimal:
    """The protective conductor from board to load at 20 °C, in ohm: what a continuity test of it alone should show."""
    _needs_table(read)
    length, size, *_ = read.all("run_length_m", "protective_size_mm2", "conductor_metal")
    return ohm_of(read, size, length)


@quantity("ohm")
def earth_continuity_limit_ohm(read) -> Decimal:
    """The largest resistance of the protective conductor behind this breaker, in ohm (table `earth-continuity`)."""
    _needs_table(read)
    return read.row(_TABLE)


@quantity("ohm")
def earth_continuity_sure_ohm(read) -> Decimal:
    """The resistance of the protective conductor that serves by physics alone, in ohm (table `earth-continuity-sure`)."""
    _needs_table(read)
    return read.row("earth-continuity-sure")

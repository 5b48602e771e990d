"""What a meter should show on this very circuit once the work is done."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import smallest


@quantity("ohm")
def measured_loop_limit_ohm(read) -> Decimal:
    """The largest earth fault loop impedance that a meter may read on cold conductors, in ohm.

    The limit for hot conductors / the pack's `measured_loop_factor`. Source: IEC 60364-6, guidance on measuring the
    loop impedance.
    """
    limit, factor = read.all("loop_limit_ohm", "measured_loop_factor")
    return limit / factor


@quantity("ohm")
def expected_loop_ohm(read) -> Decimal:
    """What a meter should read as the earth fault loop at the load, cold, in ohm: loop at the board + R1 + R2 at 20 °C."""
    outside, circuit = read.all("external_impedance_ohm", "expected_r1_r2_ohm")
    return outside + circuit


@quantity("ohm")
def rcd_reading_limit_ohm(read) -> Decimal:
    """The largest loop that a meter may read where the RCD has to cut off a fault, in ohm, as `measured_loop_limit_ohm`."""
    limit, factor = read.all("electrode_limit_ohm", "measured_loop_factor")
    return limit / factor


@quantity("ohm")
def electrode_reading_limit_ohm(read) -> Decimal:
    """The largest loop through an earth rod that a meter may read, in ohm: so that the RCD opens and the rod stays steady."""
    return smallest(*read.all("rcd_reading_limit_ohm", "electrode_steady_ohm"))

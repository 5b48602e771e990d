"""What a meter should show on this very circuit once the work is done."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity


@quantity("ohm")
def measured_loop_limit_ohm(read) -> Decimal:
    """The largest earth fault loop impedance that a meter may read on cold conductors, in ohm.

    The limit for hot conductors / the pack's `measured_loop_factor`. Source: IEC 60364-6, guidance on measuring the
    loop impedance.
    """
    limit, factor = read.all("loop_limit_ohm", "measured_loop_factor")
    return limit / factor

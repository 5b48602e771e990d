"""The quantities: what can be computed from answers, parameters and tables.

One function a quantity, named like it. A function takes a `Reader`; `read("name")` gives a value in the unit of that
name or leaves the quantity unknown. No figure of any region stands here: those are read.
"""

from __future__ import annotations

from checker.core.quantities import (
    board,
    breaker,
    cable,
    continuity,
    control,
    device,
    drop,
    factors,
    fault,
    heating,
    law,
    load,
    rcd,
    starting,
    terminals,
    testing,
)
from checker.core.quantities.quantity import QUANTITIES, Quantity

__all__ = [
    "QUANTITIES",
    "Quantity",
    "board",
    "breaker",
    "cable",
    "continuity",
    "control",
    "device",
    "drop",
    "factors",
    "fault",
    "heating",
    "law",
    "load",
    "rcd",
    "starting",
    "terminals",
    "testing",
]

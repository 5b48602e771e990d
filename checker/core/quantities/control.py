"""The circuit that works a contactor: the coil, what switches it, and the wires to both.

It carries the coil's current only, so nothing in it is sized by the load. What may flow in a fault is bounded by the fuse
or breaker ahead of it. Source of the method: IEC 60364-4-43 clauses 433 and 434, for these conductors too.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.breaker import breaker_allowed
from checker.core.quantities.cable import carried_by_link
from checker.core.quantities.quantity import quantity


@quantity("mm2")
def control_size_mm2(read) -> Decimal:
    """Cross-section of the wires to clock and coil, in mm2."""
    return read.area("control_size")


@quantity("A")
def control_breaker_a(read) -> Decimal:
    """The rating of what protects the wires to clock and coil, in A: the circuit's breaker, or a fuse of their own."""
    return read("breaker_rating_a" if read("clock_supply") == "same-breaker" else "control_fuse_a")


@quantity("A")
def control_capacity_a(read) -> Decimal:
    """What the wires to clock and coil may carry, in A: as link wires of their size would."""
    return carried_by_link(read, *read.all("control_size", "control_size_mm2"))


@quantity("A")
def control_most_a(read) -> Decimal:
    """The most that may be ahead of the wires to clock and coil, in A: what they carry.

    A pack whose table `small-conductor-breaker` bounds thin conductors bounds these too. Source: NFPA 70, 240.4(D).
    """
    capacity, size = read.all("control_capacity_a", "control_size")
    if not read.has("small-conductor-breaker"):
        return capacity
    return breaker_allowed(read, capacity, conductor_metal="copper", cable_size=size)

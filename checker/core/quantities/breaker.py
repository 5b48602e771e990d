"""Which standard breakers would do. Source: IEC 60364-4-43 clause 433.1 (Ib <= In <= Iz)."""

from __future__ import annotations

from decimal import Decimal

from ..values import NotKnown, Reason, Unknown
from .kind import quantity

_TABLE = "breaker-ratings"


def _standard(read) -> list:
    return list(read.situation.pack.tables[_TABLE].cells.values())


@quantity("A")
def breaker_minimum_a(read) -> Decimal:
    """The smallest standard breaker that carries everything on the circuit, in A."""
    current = read("circuit_current_a")
    for cell in sorted(_standard(read), key=lambda cell: cell.value):
        if cell.value >= current:
            read.rest_on(cell)
            return cell.value
    raise NotKnown(Unknown([Reason("no-cell", _TABLE)]))


@quantity("A")
def breaker_maximum_a(read) -> Decimal:
    """The largest standard breaker that still protects this cable, in A."""
    capacity = read("cable_capacity_a")
    for cell in sorted(_standard(read), key=lambda cell: cell.value, reverse=True):
        if cell.value <= capacity:
            read.rest_on(cell)
            return cell.value
    raise NotKnown(Unknown([Reason("no-cell", _TABLE)]))

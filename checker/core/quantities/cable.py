"""What cable and link wires may carry. Source of the method: IEC 60364-5-52 clause 523; figures are the pack's tables."""

from __future__ import annotations

from decimal import Decimal

from ..values import CONTEXT, NotKnown, Reason, Unknown
from .kind import quantity


def _area(size: str) -> Decimal:
    """The cross-section in a size choice such as "2.5 mm2", in mm2."""
    return Decimal(size.removesuffix(" mm2"))


@quantity("mm2")
def cable_size_mm2(read) -> Decimal:
    """Cross-section of the circuit's cable, in mm2."""
    return _area(read("cable_size"))


@quantity("mm2")
def link_size_mm2(read) -> Decimal:
    """Cross-section of the wires between breaker and device, in mm2."""
    return _area(read("link_size"))


def _cable_row(read) -> tuple:
    """The keys of the cable's row in `cable-current`, but for the size."""
    return read.all("conductor_metal", "cable_insulation", "method", "loaded_conductors")


@quantity("A")
def cable_tabulated_a(read) -> Decimal:
    """Tabulated current-carrying capacity at the reference temperature, alone, in A (table `cable-current`)."""
    return read.cell("cable-current", *_cable_row(read), read("cable_size_mm2"))


@quantity("1")
def ambient_factor(read) -> Decimal:
    """Correction for the temperature around the cable (table `ambient-factor`); a ratio."""
    return read.cell("ambient-factor", *read.all("cable_insulation", "ambient_c"))


@quantity("1")
def grouping_factor(read) -> Decimal:
    """Correction for circuits running together, this one counted (table `grouping-factor`); a ratio."""
    return read.cell("grouping-factor", read("grouped_circuits"))


@quantity("1")
def cable_factor(read) -> Decimal:
    """All correction factors multiplied; a ratio."""
    ambient, grouping = read.all("ambient_factor", "grouping_factor")
    return CONTEXT.multiply(ambient, grouping)


@quantity("A")
def cable_capacity_a(read) -> Decimal:
    """What this cable may carry where it lies, in A (Iz): tabulated capacity x all correction factors."""
    tabulated, factor = read.all("cable_tabulated_a", "cable_factor")
    return CONTEXT.multiply(tabulated, factor)


@quantity("A")
def link_capacity_a(read) -> Decimal:
    """What the link wires between breaker and device may carry, in A (table `link-current`), at reference temperature."""
    return read.cell("link-current", read("link_size_mm2"))


@quantity("mm2")
def practice_minimum_mm2(read) -> Decimal:
    """The thinnest copper the trade puts behind this breaker, in mm2 (table `practice-minimum-size`)."""
    return read.cell("practice-minimum-size", read("breaker_rating_a"))


@quantity(choices=())
def smallest_cable(read) -> str:
    """The smallest size that carries the breaker's current here and that code and trade allow, such as "4 mm2"."""
    breaker, factor, *least = read.all("breaker_rating_a", "cable_factor", "minimum_copper_mm2", "practice_minimum_mm2")
    return _smallest(read, "cable_size", ("cable-current", *_cable_row(read)), factor, breaker, max(least))


@quantity(choices=())
def smallest_link(read) -> str:
    """The smallest size of link wire that carries the breaker's current, such as "2.5 mm2"."""
    return _smallest(read, "link_size", ("link-current",), Decimal(1), read("breaker_rating_a"), Decimal(0))


def _smallest(read, question: str, row: tuple, factor: Decimal, current: Decimal, least: Decimal) -> str:
    """The first size of `question` whose cell in `row` (a table and all keys but the size), times `factor`, carries `current`."""
    for size in read.sizes(question):
        cell = read.peek(*row, _area(size))
        if cell is not None and _area(size) >= least and CONTEXT.multiply(cell.value, factor) >= current:
            read.rest_on(cell)
            return size
    raise NotKnown(Unknown([Reason("no-cell", "/".join(row))]))

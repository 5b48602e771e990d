"""The moment of switching on: what the load draws, and what the breaker lets pass without tripping.

Source of the method: IEC 60898-1, instantaneous tripping as multiples of the rated current; figures are the pack's tables.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

from checker.core.quantities.load import behaves_as
from checker.core.quantities.quantity import quantity


@quantity("A")
def starting_current_a(read) -> Decimal:
    """The current at the start, in A: as the maker states it, else design current x the typical multiple.

    The multiple is from the table `inrush-multiple`; a kind of load without one leaves the quantity unknown.
    """
    if read.is_stated("inrush_current_a"):
        return read("inrush_current_a")
    return read("design_current_a") * read.row("inrush-multiple", load_kind=behaves_as(read))


def _multiple(read, bound: str) -> Decimal:
    """The breaker's rating x its multiple for `bound`, in A."""
    rating, _ = read.all("breaker_rating_a", "breaker_curve")
    return rating * read.row("breaker-trip", bound=bound)


@quantity("A")
def breaker_holds_a(read) -> Decimal:
    """The current up to which the breaker does not trip at once, in A."""
    return _multiple(read, "holds")


@quantity("A")
def breaker_trips_a(read) -> Decimal:
    """The current from which the breaker trips at once, in A."""
    return _multiple(read, "trips")


@quantity("1")
def drivers_allowed(read) -> Decimal:
    """How many LED drivers may start together on this breaker: the maker's count for C16 x the breaker's share, cut down.

    The share is from the table `driver-share`, in percent of C16.
    """
    count, *_ = read.all("drivers_per_c16", "breaker_curve", "breaker_rating_a")
    share = count * read.row("driver-share")
    return (share / 100).to_integral_value(rounding=ROUND_FLOOR)


@quantity("1")
def starts_allowed(read) -> Decimal:
    """The most starts in an hour for a motor of this output (table `motor-starts`, two poles: the strictest)."""
    return read.row("motor-starts")

"""Which RCD the load asks for, and how fast it has to open when it is tested."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.load import MOTORS
from checker.core.quantities.quantity import quantity
from checker.core.values import no_cell

# A choice such as "30-ma" carries its figure in its name.
_MILLIAMPERES = "-ma"


@quantity(choices=("ac", "a", "f", "b"))
def rcd_type_needed(read) -> str:
    """The simplest type of RCD that this kind of load leaves able to trip (table `rcd-type`).

    A motor behind an electronic drive has a table of its own, `drive-rcd-type`.


    The types build on one another: AC for alternating residual current, A for pulsating too, F for mixed frequencies
    too, B for smooth direct current too. Source: IEC 60364-5-53 clause 531.3.3.
    """
    if read("load_kind") in MOTORS and read("electronic_drive"):
        return read.row("drive-rcd-type")
    return read.row("rcd-type")


@quantity("mA")
def rcd_test_ma(read) -> Decimal:
    """The rated residual current at which the RCD of this circuit is tested, in mA."""
    given = read("rcd")
    if given == "other":
        return read("rcd_rating_ma")
    if not given.endswith(_MILLIAMPERES):
        raise no_cell("residual current of a circuit without an RCD")
    return Decimal(given.removesuffix(_MILLIAMPERES))


@quantity("ms")
def rcd_trip_ms(read) -> Decimal:
    """The longest time an RCD of the general type may take at its rated residual current, in ms."""
    return read.row("rcd-trip-time", delay="general", limit="longest", multiple=Decimal(1))


@quantity("ms")
def rcd_trip_five_ms(read) -> Decimal:
    """As `rcd_trip_ms`, at five times the rated residual current."""
    return read.row("rcd-trip-time", delay="general", limit="longest", multiple=Decimal(5))


@quantity("ms")
def rcd_trip_selective_ms(read) -> Decimal:
    """As `rcd_trip_ms`, for the delayed type marked S."""
    return read.row("rcd-trip-time", delay="selective", limit="longest", multiple=Decimal(1))


@quantity("ms")
def rcd_hold_selective_ms(read) -> Decimal:
    """How long an RCD of the delayed type S has to hold at its rated residual current, in ms."""
    return read.row("rcd-trip-time", delay="selective", limit="shortest", multiple=Decimal(1))

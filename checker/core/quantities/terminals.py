"""Screws, ferrules and terminals. Figures are the pack's tables; what the device itself marks always wins."""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, ReasonKind, Unknown, no_cell

# A ferrule goes on strands that would spread; a solid or seven-strand wire stands by itself.
FLEXIBLE = "fine"


@quantity("Nm")
def screw_torque_nm(read) -> Decimal:
    """The torque for the terminal screws, in N·m: as marked on the device, else the standard's for that screw.

    The standard's figure (table `screw-torque`) is a test torque: it serves only where the maker marks none.
    "Don't know" about the mark leaves it unknown, for a mark would win.
    """
    marked = read.value("device_torque_nm")
    if not isinstance(marked, Unknown):
        return marked
    if any(reason.kind != ReasonKind.NOT_STATED for reason in marked.reasons):
        raise NotKnown(marked)
    return read.row("screw-torque")


@quantity(choices=())
def ferrule_colour(read) -> str:
    """The collar colour of a ferrule for the link wires after DIN 46228-4; unknown where the wire needs no ferrule."""
    if read("link_strands") != FLEXIBLE:
        raise no_cell("ferrule-colour")
    return read.row("ferrule-colour")


def _breaker_terminal(read, limit: str) -> Decimal:
    """`smallest` or `largest` wire, in mm2, that the standard asks this breaker's terminals to take."""
    strands = "flexible" if read("link_strands") == FLEXIBLE else "rigid"
    return read.row("breaker-terminal-range", strands=strands, limit=limit)


@quantity("mm2")
def breaker_terminal_min_mm2(read) -> Decimal:
    """The thinnest wire that the terminals of such a breaker have to take, in mm2 (IEC 61009-1, table 8)."""
    return _breaker_terminal(read, "smallest")


@quantity("mm2")
def breaker_terminal_max_mm2(read) -> Decimal:
    """The thickest wire that the terminals of such a breaker have to take, in mm2 (IEC 61009-1, table 8)."""
    return _breaker_terminal(read, "largest")

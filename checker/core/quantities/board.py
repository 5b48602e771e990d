"""Space and warmth in the board.

Space: IEC 60715 (rail), module of 17.5 to 18 mm: common practice, no source. Warmth: the pack's tables, from makers and
IEC 61439-3.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, ReasonKind, Unknown, no_cell


@quantity("modules")
def modules_needed(read) -> Decimal:
    """Width of everything that goes on the rail, in modules: a fuse for clock and coil counts too."""
    kind = read("device_kind")
    names = ["device_modules"] if kind != "contactor" else []
    names += ["contactor_modules"] if kind != "time-switch" else []
    fused = read("clock_supply") == "own-fuse"
    return sum(read.all(*names, *(["control_fuse_modules"] if fused else [])))


@quantity("modules")
def modules_with_gap(read) -> Decimal:
    """Width of what goes on the rail and of the gap that lets a contactor cool, in modules."""
    needed, gap = read.all("modules_needed", "contactor_gap_modules")
    return needed + gap


@quantity("in3")
def wires_need_in3(read) -> Decimal:
    """Room that the wires of an enclosure take, in cubic inches: their number, and one for all grounds, x that of one.

    The thicker of circuit and link wires counts (table `conductor-volume`). Source: NFPA 70, 314.16(B).
    """
    if not read.has("conductor-volume"):
        raise no_cell("conductor-volume")
    count, link, link_area, cable, cable_area = read.all(
        "enclosure_conductors", "link_size", "link_size_mm2", "cable_size", "cable_size_mm2"
    )
    thicker = link if link_area >= cable_area else cable
    return (count + 1) * read.row("conductor-volume", cable_size=thicker)


def _loaded_together(read) -> Decimal:
    """How many loaded breakers stand side by side, this one counted."""
    # Where a device gets an enclosure of its own, nobody is asked for neighbours.
    return read("breaker_neighbours") + 1 if read.has("breaker_neighbours") else Decimal(1)


@quantity("C")
def board_inside_c(read) -> Decimal:
    """How warm the air inside the closed board gets, in °C: that around it + the rise (table `board-rise`).

    Breaker and device live in it. The rise goes by the circuits loaded together.
    """
    around, *_ = read.all("board_ambient_c", *_neighbours(read))
    return around + read.row("board-rise", circuits=_loaded_together(read))


def _neighbours(read) -> tuple[str, ...]:
    return ("breaker_neighbours",) if read.has("breaker_neighbours") else ()


@quantity("A")
def breaker_warm_a(read) -> Decimal:
    """What the breaker carries for hours in this warmth, in A: rating x factor for the air inside the board x factor for its neighbours.

    Makers' figures (tables `breaker-ambient-factor`, `side-by-side-factor`): above it the breaker may open early.
    """
    rating, *_ = read.all("breaker_rating_a", "board_inside_c", "breaker_neighbours")
    air = read.row("breaker-ambient-factor")
    beside = read.row("side-by-side-factor", count=_loaded_together(read))
    return rating * air * beside


@quantity("A")
def board_share_a(read) -> Decimal:
    """What a circuit may load its breaker with while its neighbours are loaded too, in A (table `rated-diversity`).

    The factor on the board's plate wins. Source of the method: IEC 61439-1 and -3, rated diversity factor.
    """
    declared = read.value("board_diversity")
    if not isinstance(declared, Unknown):
        return read("breaker_rating_a") * declared
    if any(reason.kind != ReasonKind.NOT_STATED for reason in declared.reasons):
        raise NotKnown(declared)
    rating, _ = read.all("breaker_rating_a", "breaker_neighbours")
    return rating * read.row("rated-diversity", circuits=_loaded_together(read))


@quantity("A")
def contactor_warm_a(read) -> Decimal:
    """What the contactor carries in the air inside the board, in A: plain figure x factor (`contactor-ambient-factor`)."""
    rating, _ = read.all("contactor_resistive_a", "board_inside_c")
    return rating * read.row("contactor-ambient-factor")

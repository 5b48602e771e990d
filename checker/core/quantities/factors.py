"""Correction factors of cable and link wires: warmth, circuits together, thermal insulation, harmonics.

Source of the method: IEC 60364-5-52 clause 523; figures are the pack's tables.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.quantity import quantity
from checker.core.values import smallest

# What the letters of the reference methods mean (IEC 60364-5-52 Table B.52.1): in a thermally insulating wall; in the ground.
_IN_INSULATION = ("A1", "A2")
_IN_GROUND = ("D1", "D2")


def _surround(read) -> str:
    """What the method lays the cable in: "insulation", "ground" or "air".

    A region with methods of its own says it in the table `method-surround`.
    """
    method = read("method")
    if read.has("method-surround"):
        return read.row("method-surround")
    return "insulation" if method in _IN_INSULATION else "ground" if method in _IN_GROUND else "air"


@quantity("1")
def ambient_factor(read) -> Decimal:
    """Correction for the warmth around the cable: of the air, or of the ground around a buried cable; a ratio."""
    read.all("method", "cable_insulation", "ambient_c")
    return read.row("ground-factor" if _surround(read) == "ground" else "ambient-factor")


@quantity("1")
def grouping_factor(read) -> Decimal:
    """Correction for circuits running together, this one counted (table `grouping-factor`); a ratio.

    The table is for cables in air: for more than one circuit in the ground there is no figure, but none above 1.
    """
    if read.has("grouped_circuits"):  # a code may count conductors in place of circuits
        _, circuits = read.all("method", "grouped_circuits")
        if _surround(read) == "ground" and circuits > 1:
            return read.at_most(Decimal(1), f"{circuits} circuits in the ground")
    return read.row("grouping-factor")


@quantity("1")
def insulation_factor(read) -> Decimal:
    """Correction for a piece of cable with thermal insulation all around it (table `insulation-factor`); a ratio.

    A region whose methods hold the insulation already has no such table. Never for a method whose table is for
    insulation already (A1 and A2). A cable in the ground has none.
    """
    if not read.has("insulation-factor") or _surround(read) != "air":
        return Decimal(1)
    return read.row("insulation-factor") if read("insulation_length_mm") > 0 else Decimal(1)


@quantity("1")
def harmonic_factor(read) -> Decimal:
    """Correction for the neutral of a three-phase circuit that third harmonics load (table `harmonic-factor`); a ratio.

    Above `harmonic_neutral_percent` the neutral carries more than a line (three times the third harmonic), so the
    factor is for its current. Source: IEC 60364-5-52 annex E. Two loaded conductors already hold the neutral.
    """
    if not read.has("harmonic-factor") or read("loaded_conductors") != "three":
        return Decimal(1)
    share = read("third_harmonic_percent")
    factor = read.row("harmonic-factor")
    if share <= read("harmonic_neutral_percent"):
        return factor
    neutral = 3 * share / 100
    return factor / neutral


@quantity("1")
def cable_factor(read) -> Decimal:
    """All correction factors multiplied; a ratio."""
    ambient, grouping, insulation, harmonic = read.all(
        "ambient_factor", "grouping_factor", "insulation_factor", "harmonic_factor"
    )
    return ambient * grouping * insulation * harmonic


@quantity("1")
def cable_end_factor(read) -> Decimal:
    """As `cable_factor`, for the cable where it ends in terminals made for PVC; a ratio, at most 1.

    The warmth of the board counts there in place of that around the cable. Only read for cable with hotter insulation.
    """
    board, grouping, insulation, harmonic = read.all(
        "board_ambient_c", "grouping_factor", "insulation_factor", "harmonic_factor"
    )
    air = read.row("ambient-factor", cable_insulation=_LINK_INSULATION, ambient_c=board)
    return smallest(air, Decimal(1)) * grouping * insulation * harmonic


# Link wires are insulated with PVC, unless the pack asks what they are insulated with.
_LINK_INSULATION = "pvc"


@quantity("1")
def link_factor(read) -> Decimal:
    """Correction for the temperature around the board (table `ambient-factor`), at most 1; a ratio.

    Devices warm the air inside, so a cold room never lets a link wire carry more than the table. A region whose own
    factors start from another temperature than the table of link wires has `link-ambient-factor` for them.
    """
    if read.has("link-ambient-factor"):
        factor = read.row("link-ambient-factor")
    else:
        insulation = read("link_insulation") if read.has("link_insulation") else _LINK_INSULATION
        factor = read.row("ambient-factor", cable_insulation=insulation, ambient_c=read("board_ambient_c"))
    return smallest(factor, Decimal(1))

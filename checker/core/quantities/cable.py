"""What cable and link wires may carry. Source of the method: IEC 60364-5-52 clause 523; figures are the pack's tables."""

from __future__ import annotations

from decimal import Decimal

from ..values import CONTEXT, NotKnown, Reason, Unknown
from .drop import drops_too_much
from .kind import quantity


@quantity("mm2")
def cable_size_mm2(read) -> Decimal:
    """Cross-section of the circuit's cable, in mm2."""
    return read.area("cable_size")


@quantity("mm2")
def link_size_mm2(read) -> Decimal:
    """Cross-section of the wires between breaker and device, in mm2."""
    return read.area("link_size")


# What the letters of the reference methods mean (IEC 60364-5-52 Table B.52.1): in a thermally insulating wall; in the ground.
_IN_INSULATION = ("A1", "A2")
_IN_GROUND = ("D1", "D2")


@quantity("A")
def cable_tabulated_a(read) -> Decimal:
    """Tabulated current-carrying capacity at the reference temperature, alone, in A (table `cable-current`)."""
    return read.row("cable-current")


@quantity("1")
def ambient_factor(read) -> Decimal:
    """Correction for the warmth around the cable: of the air, or of the ground around a buried cable; a ratio."""
    method, *_ = read.all("method", "cable_insulation", "ambient_c")
    return read.row("ground-factor" if method in _IN_GROUND else "ambient-factor")


@quantity("1")
def grouping_factor(read) -> Decimal:
    """Correction for circuits running together, this one counted (table `grouping-factor`); a ratio.

    The table is for cables in air: for more than one circuit in the ground there is no figure.
    """
    method, circuits = read.all("method", "grouped_circuits")
    if method in _IN_GROUND and circuits > 1:
        raise NotKnown(Unknown([Reason("no-cell", f"{circuits} circuits in the ground")]))
    return read.row("grouping-factor")


@quantity("1")
def insulation_factor(read) -> Decimal:
    """Correction for a piece of cable with thermal insulation all around it (table `insulation-factor`); a ratio.

    Never for methods A1 and A2: their table is for an insulating wall already. A cable in the ground has none.
    """
    if read("method") in (*_IN_INSULATION, *_IN_GROUND):
        return Decimal(1)
    return read.row("insulation-factor") if read("insulation_length_mm") > 0 else Decimal(1)


@quantity("1")
def harmonic_factor(read) -> Decimal:
    """Correction for the neutral of a three-phase circuit that third harmonics load (table `harmonic-factor`); a ratio.

    Above `harmonic_neutral_percent` the neutral carries more than a line (three times the third harmonic), so the
    factor is for its current. Source: IEC 60364-5-52 annex E. Two loaded conductors already hold the neutral.
    """
    if read("loaded_conductors") != "three":
        return Decimal(1)
    share = read("third_harmonic_percent")
    factor = read.row("harmonic-factor")
    if share <= read("harmonic_neutral_percent"):
        return factor
    neutral = CONTEXT.divide(CONTEXT.multiply(Decimal(3), share), Decimal(100))
    return CONTEXT.divide(factor, neutral)


@quantity("1")
def cable_factor(read) -> Decimal:
    """All correction factors multiplied; a ratio."""
    product = Decimal(1)
    for factor in read.all("ambient_factor", "grouping_factor", "insulation_factor", "harmonic_factor"):
        product = CONTEXT.multiply(product, factor)
    return product


@quantity("A")
def cable_capacity_a(read) -> Decimal:
    """What this cable may carry where it lies, in A (Iz): tabulated capacity x all correction factors."""
    tabulated, factor = read.all("cable_tabulated_a", "cable_factor")
    return CONTEXT.multiply(tabulated, factor)


@quantity("1")
def link_factor(read) -> Decimal:
    """Correction for the temperature around the board (table `ambient-factor`, PVC wires), at most 1; a ratio.

    Devices warm the air inside, so a cold room never lets a link wire carry more than the table.
    """
    return min(read.row("ambient-factor", cable_insulation="pvc", ambient_c=read("board_ambient_c")), Decimal(1))


@quantity("A")
def link_capacity_a(read) -> Decimal:
    """What the link wires between breaker and device may carry, in A: table `link-current` x `link_factor`."""
    _, factor = read.all("link_size_mm2", "link_factor")
    return CONTEXT.multiply(read.row("link-current"), factor)


@quantity("mm2")
def practice_minimum_mm2(read) -> Decimal:
    """The thinnest copper the trade puts behind this breaker, in mm2 (table `practice-minimum-size`)."""
    return read.row("practice-minimum-size")


@quantity("A")
def conventional_trip_a(read) -> Decimal:
    """The current that surely opens breaker or fuse within its conventional time, in A (I2; table `conventional-trip`)."""
    _, rating = read.all("breaker_kind", "breaker_rating_a")
    return CONTEXT.multiply(read.row("conventional-trip"), rating)


@quantity("A")
def overload_limit_a(read) -> Decimal:
    """The overload a cable may carry until breaker or fuse opens, in A: `overload_factor` x what it may carry for ever."""
    return CONTEXT.multiply(*read.all("overload_factor", "cable_capacity_a"))


@quantity("A")
def cable_needed_a(read) -> Decimal:
    """What the cable has to carry so that breaker or fuse protects it, in A. Source: IEC 60364-4-43 clause 433.1."""
    rating, trip, factor = read.all("breaker_rating_a", "conventional_trip_a", "overload_factor")
    return max(rating, CONTEXT.divide(trip, factor))


@quantity(choices=())
def smallest_cable(read) -> str:
    """The smallest size that breaker or fuse protects here, that code and trade allow, such as "4 mm2".

    A size known to lose too much voltage on this route is passed over.
    """
    needed, factor, *least = read.all("cable_needed_a", "cable_factor", "minimum_copper_mm2", "practice_minimum_mm2")

    def serves(area: Decimal) -> bool:
        return not drops_too_much(read, area)

    return _smallest(read, "cable_size", "cable-current", factor, needed, max(least), serves)


@quantity(choices=())
def smallest_link(read) -> str:
    """The smallest size of link wire that carries the breaker's current in this board, such as "2.5 mm2"."""
    breaker, factor = read.all("breaker_rating_a", "link_factor")
    return _smallest(read, "link_size", "link-current", factor, breaker, Decimal(0))


def _smallest(
    read, question: str, table: str, factor: Decimal, current: Decimal, least: Decimal, serves=lambda area: True
) -> str:
    """The first size of `question` (at least `least` mm2) whose cell in `table`, times `factor`, carries `current`,
    and that `serves` besides."""
    for size, area in read.sizes(question).items():
        cell = read.peek(table, **{question: size, f"{question}_mm2": area})
        if cell is not None and area >= least and CONTEXT.multiply(cell.value, factor) >= current and serves(area):
            read.rest_on(cell)
            return size
    raise NotKnown(Unknown([Reason("no-cell", table)]))

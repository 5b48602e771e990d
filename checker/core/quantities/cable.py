"""What cable and link wires may carry. Source of the method: IEC 60364-5-52 clause 523; figures are the pack's tables."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from checker.core.quantities.breaker import breaker_allowed, excepted
from checker.core.quantities.drop import drops_too_much
from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, ReasonKind, Unknown, contradiction, largest, merged, no_cell, smallest


@quantity("mm2")
def cable_size_mm2(read) -> Decimal:
    """Cross-section of the circuit's cable, in mm2."""
    return read.area("cable_size")


@quantity("mm2")
def link_size_mm2(read) -> Decimal:
    """Cross-section of the wires between breaker and device, in mm2."""
    return read.area("link_size")


@quantity("A")
def cable_tabulated_a(read) -> Decimal:
    """Tabulated current-carrying capacity at the reference temperature, alone, in A (table `cable-current`).

    Where a region's table could not be filled, its question `code_current_a` takes what the reader's own copy of the
    code prints. It stands in for a missing cell or a bound; beside a printed cell the lower of the two counts. Alone it
    counts only while it is no less than the bound, and no more than some table could give such a cable (table
    `code-current-most`); else the answers contradict. A new region has no such table yet; nor does it give a pass.
    """
    if not read.has("code_current_a"):
        return read.row("cable-current")
    held, stated = read.peek("cable-current"), read.is_stated("code_current_a")
    bound = held is None or held.most is not None
    if not stated:
        own = read.value("code_current_a")
        if bound and isinstance(own, Unknown) and any(reason.kind == ReasonKind.NOT_ASKED for reason in own.reasons):
            raise NotKnown(own)
        return read.row("cable-current")
    printed = read("code_current_a")
    if bound:
        least = printed if held is None else held.value
        if printed < least or (read.has("code-current-most") and printed > read.row("code-current-most")):
            raise contradiction("code_current_a", "cable_size", "cable_insulation", "method")
        return printed
    read.rest_on(held)
    return smallest(printed, held.value)


@quantity("A")
def cable_most_a(read) -> Decimal:
    """More than this no published figure gives a cable of this size, however well it cools, in A (table `cable-most`).

    For regions whose table could not be filled: it can show that a breaker is too large, never that one is small enough.
    """
    if not read.has("cable-most"):
        raise no_cell("cable-most")
    return read.row("cable-most")


@quantity("C")
def end_temperature_c(read) -> Decimal:
    """The temperature that bounds what the conductor may carry at its ends, in °C."""
    return _end_temperature(read, "cable_insulation")


@quantity("C")
def link_end_temperature_c(read) -> Decimal:
    """As `end_temperature_c`, for the wires between breaker and device."""
    return _end_temperature(read, "link_insulation")


def _end_temperature(read, insulation: str) -> Decimal:
    """The lower of what the terminals stand and what the code allows a conductor of this insulation to reach, in °C.

    Terminals that are marked with no temperature count as `terminal_unmarked_c`. Only in packs with a table
    `terminal-current`. Source: NFPA 70, 110.14(C) and 334.80.
    """
    if not read.has("terminal-current"):
        raise no_cell("terminal-current")
    marked = read("terminal_c") if read.is_stated("terminal_c") else read("terminal_unmarked_c")
    return smallest(marked, read.row("insulation-limit", cable_insulation=read(insulation)))


def _carried(read, tabulated: Decimal, factor: Decimal, **size) -> Decimal:
    """What a conductor may carry: `tabulated` x `factor`, and no more than its ends allow where the pack has a table."""
    product = tabulated * factor
    return smallest(product, read.row("terminal-current", **size)) if read.has("terminal-current") else product


@quantity("A")
def cable_capacity_a(read) -> Decimal:
    """What this cable may carry where it lies, in A (Iz): tabulated capacity x all correction factors.

    No more than the ends of the conductor allow: by the table `terminal-current`, or by `terminal-insulation`.
    """
    carried = _carried(read, *read.all("cable_tabulated_a", "cable_factor"))
    cooler = _cooler_insulation(read)
    if cooler is None:
        return carried
    try:
        bound = read.row("cable-current", cable_insulation=cooler)
    except NotKnown as missing:  # then a mark on the terminals settles it
        marked = read.value("terminal_c")
        raise NotKnown(merged(missing.unknown, marked)) from None
    return smallest(carried, bound * read("cable_end_factor"))


def _cooler_insulation(read) -> str | None:
    """The insulation whose figures bound the cable at its terminals, None where that is its own.

    A conductor warms the terminal it ends in. Terminals that are marked with no temperature count as
    `terminal_unmarked_c` (table `terminal-insulation`). Source: IEC 60364-5-52 clause 523.1.
    """
    if not read.has("terminal-insulation"):
        return None
    own, unmarked = read.all("cable_insulation", "terminal_unmarked_c")
    counts = read.row("terminal-insulation", terminal_c=unmarked)
    if counts != own and read.is_stated("terminal_c"):
        counts = read.row("terminal-insulation")
    return None if counts == own else counts


@quantity("A")
def cable_uncorrected_a(read) -> Decimal:
    """What this cable is good for before warmth and company count, in A: tabulated, and no more than its ends allow.

    Some codes hold the factor for long running against this. Source: NFPA 70, 210.19(A)(1).
    """
    return _carried(read, read("cable_tabulated_a"), Decimal(1))


def _link_keys(read, size: str, area: Decimal) -> dict:
    """The keys under which tables of cables hold a copper link wire of this size."""
    if not read.has("link_insulation"):
        return {"link_size": size, "link_size_mm2": area}
    return {
        "conductor_metal": "copper",
        "cable_insulation": read("link_insulation"),
        "end_temperature_c": read("link_end_temperature_c"),
        "cable_size": size,
        "cable_size_mm2": area,
    }


def _link_table(read) -> str:
    """A pack without a table of its own for link wires takes them for conductors of a cable."""
    return "link-current" if read.has("link-current") else "cable-current"


@quantity("A")
def link_capacity_a(read) -> Decimal:
    """What the link wires between breaker and device may carry, in A: table `link-current` x `link_factor`.

    In a pack without that table they are conductors like those of the cable, ends included.
    """
    return carried_by_link(read, *read.all("link_size", "link_size_mm2"))


def carried_by_link(read, size: str, area: Decimal) -> Decimal:
    """What a new wire of this size inside the board may carry, in A."""
    factor = read("link_factor")
    keys = _link_keys(read, size, area)
    return _carried(read, read.row(_link_table(read), **keys), factor, **keys)


@quantity("mm2")
def practice_minimum_mm2(read) -> Decimal:
    """The thinnest copper the trade puts behind this breaker, in mm2 (table `practice-minimum-size`)."""
    return read.row("practice-minimum-size")


@quantity("A")
def conventional_trip_a(read) -> Decimal:
    """The current that surely opens breaker or fuse within its conventional time, in A (I2; table `conventional-trip`)."""
    _, rating = read.all("breaker_kind", "breaker_rating_a")
    return read.row("conventional-trip") * rating


@quantity("A")
def overload_limit_a(read) -> Decimal:
    """The overload a cable may carry until breaker or fuse opens, in A: `overload_factor` x what it may carry for ever."""
    factor, capacity = read.all("overload_factor", "cable_capacity_a")
    return factor * capacity


@quantity("A")
def cable_needed_a(read) -> Decimal:
    """What the cable has to carry so that breaker or fuse protects it, in A. Source: IEC 60364-4-43 clause 433.1."""
    rating, trip, factor = read.all("breaker_rating_a", "conventional_trip_a", "overload_factor")
    return largest(rating, trip / factor)


@quantity(choices=())
def smallest_cable(read) -> str:
    """The smallest size that breaker or fuse protects here, that code and trade allow, such as "4 mm2".

    A size known to lose too much voltage on this route is passed over.
    """
    if read.has("next_size_up_most_a"):
        current, factor, least = read.all("circuit_current_a", "cable_factor", "minimum_copper_mm2")
        allowed = _breaker_allows(read, current)
    else:
        needed, factor, *least = read.all(
            "cable_needed_a", "cable_factor", "minimum_copper_mm2", "practice_minimum_mm2"
        )
        if read.has("socket_conductor_a") and read("load_kind") == "socket-outlets":
            needed = largest(needed, read("socket_conductor_a"))  # the code's own, whatever the breaker
        least, allowed = largest(*least), _at_least(needed)
    for size, area in read.sizes("cable_size").items():
        keys = {"cable_size": size, "cable_size_mm2": area}
        if (
            area >= least
            and _ends_serve(read, keys, allowed)
            and _serves(read, "cable-current", keys, factor, allowed)
            and not drops_too_much(read, area)
        ):
            return size
    raise no_cell("cable-current")


@quantity(choices=())
def smallest_link(read) -> str:
    """The smallest size of link wire that carries the breaker's current in this board, such as "2.5 mm2"."""
    breaker, factor = read.all("breaker_rating_a", "link_factor")
    up = read.has("next_size_up_most_a")
    allowed = _breaker_allows(read, read("circuit_current_a")) if up else _at_least(breaker)
    for size, area in read.sizes("link_size").items():
        if _serves(read, _link_table(read), _link_keys(read, size, area), factor, allowed):
            return size
    raise no_cell(_link_table(read))


def _ends_serve(read, keys: dict, allowed: _Allowed) -> bool:
    """Whether the terminals let a cable of the size under `keys` carry what is `allowed`."""
    cooler = _cooler_insulation(read)
    if cooler is None:
        return True
    return _serves(read, "cable-current", {**keys, "cable_insulation": cooler}, read("cable_end_factor"), allowed)


# Whether a conductor will do, by its capacity (A) and its keys in tables.
_Allowed = Callable[[Decimal, dict], bool]


def _at_least(needed: Decimal) -> _Allowed:
    """Whether a conductor carries `needed` (A)."""
    return lambda capacity, keys: capacity >= needed


def _breaker_allows(read, current: Decimal) -> _Allowed:
    """Whether a conductor carries `current` (A) and may have the breaker there is.

    The factor for long running counts against the corrected capacity too: a size named as enough errs to the thick side.
    """
    rating, free = read("breaker_rating_a"), excepted(read)

    def allowed(capacity: Decimal, keys: dict) -> bool:
        return capacity >= current and (free or rating <= breaker_allowed(read, capacity, **keys))

    return allowed


def _serves(read, table: str, keys: dict, factor: Decimal, allowed: _Allowed) -> bool:
    """Whether the size under `keys` has a cell in `table` and what it carries is `allowed`; rests on the cell then."""
    cell = read.peek(table, **keys)
    if cell is None or not allowed(_carried(read, cell.value, factor, **keys), keys):
        return False
    read.rest_on(cell)
    return True

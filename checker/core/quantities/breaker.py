"""Which standard breakers would do: the smallest that carries the load, the largest that conductors and load allow.

Source of the method: IEC 60364-4-43 clause 433.1 (Ib <= In <= Iz). Where a pack has the parameter `next_size_up_most_a`,
the rating above the conductor's capacity may serve, as NFPA 70, 240.4, lets it, with its caps and its exceptions.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from checker.core.bounds import Span
from checker.core.quantities.load import MOTORS
from checker.core.quantities.quantity import quantity
from checker.core.tables import Cell
from checker.core.values import NotKnown, Reason, ReasonKind, Unknown, largest, no_cell, smallest

_TABLE = "breaker-ratings"
# Loads that some codes keep on general circuits of moderate size.
GENERAL = ("socket-outlets", "filament-lamps", "led-lamps", "discharge-lamps")


def _standard(read) -> list[Cell]:
    return sorted(read.situation.pack.tables[_TABLE].cells.values(), key=lambda cell: cell.value)


def _least(read, current: Decimal) -> Decimal:
    """The smallest standard rating that is at least `current`, in A."""
    if isinstance(current, Span):
        return _at_both_ends(_least, read, current)
    for cell in _standard(read):
        if cell.value >= current:
            read.rest_on(cell)
            return cell.value
    raise no_cell(_TABLE)


def _most(read, current: Decimal) -> Decimal:
    """The largest standard rating that is at most `current`, in A."""
    if isinstance(current, Span):
        return _at_both_ends(_most, read, current)
    for cell in reversed(_standard(read)):
        if cell.value <= current:
            read.rest_on(cell)
            return cell.value
    raise no_cell(_TABLE)


def _at_both_ends(rating: Callable, read, current: Span) -> Span | Decimal:
    """What carries nothing gets no breaker; a bound without end has no largest rating."""
    if current.high.is_infinite():
        raise current.open(None)
    low = rating(read, current.low) if current.low else Decimal(0)
    high = rating(read, current.high)
    return low if low == high else Span(low, high, current.reasons)


def excepted(read) -> bool:
    """Whether something else guards the conductors against overload: a motor's own protection (NFPA 70, 240.4(G))."""
    return read.has("motor-breaker-factor") and read("load_kind") in MOTORS and read("motor_overload")


def breaker_allowed(read, capacity: Decimal, **conductor) -> Decimal:
    """The largest standard breaker ahead of a conductor of this capacity (A), in A; `conductor` are its keys in tables.

    The next rating up is not for circuits of several outlets that anything may be plugged into, nor above
    `next_size_up_most_a`; the table `small-conductor-breaker` bounds thin conductors whatever they carry.
    """
    up = read.has("next_size_up_most_a") and read("load_kind") != "socket-outlets"
    up = up and capacity <= read("next_size_up_most_a")
    rating = _least(read, capacity) if up else _most(read, capacity)
    if read.has("small-conductor-breaker"):
        cap = read.peek("small-conductor-breaker", **conductor)
        if cap is not None and (capped := smallest(rating, cap.value)) is not rating:
            read.rest_on(cap)
            return capped
    return rating


@quantity("A")
def breaker_minimum_a(read) -> Decimal:
    """The smallest standard breaker that carries everything on the circuit, in A."""
    return _least(read, read("circuit_current_a"))


@quantity("A")
def cable_breaker_a(read) -> Decimal:
    """The largest standard breaker that this cable allows by itself, in A."""
    capacity, size = read.all("cable_capacity_a", "cable_size")
    return breaker_allowed(read, capacity, cable_size=size)


@quantity("A")
def link_breaker_a(read) -> Decimal:
    """The largest standard breaker that the wires between breaker and device allow by themselves, in A."""
    capacity, size = read.all("link_capacity_a", "link_size")
    return breaker_allowed(read, capacity, conductor_metal="copper", cable_size=size)


@quantity("A")
def motor_breaker_a(read) -> Decimal:
    """The largest breaker or fuse ahead of a motor with overload protection of its own, in A.

    Current x the table `motor-breaker-factor`, and up to the next standard rating (NFPA 70, 430.52). A motor of at most
    `small_motor_a` and `small_motor_hp` may be behind any breaker up to the table `small-motor-breaker` that cable and
    link wires allow by themselves (430.53(A)).
    """
    if not read.has("motor-breaker-factor") or read("load_kind") not in MOTORS:
        raise no_cell("motor-breaker-factor")
    current = read("design_current_a")
    alone = _least(read, current * read.row("motor-breaker-factor"))
    if current > read("small_motor_a") or read("motor_output_hp") > read("small_motor_hp"):
        return alone
    shared = read.row("small-motor-breaker")
    if shared <= alone:
        return alone
    return largest(alone, smallest(shared, *read.all("cable_breaker_a", "link_breaker_a")))


@quantity("A")
def load_breaker_a(read) -> Decimal:
    """The largest breaker that the load itself allows, in A: as marked on it, else by the rule for heaters of water.

    That rule: `appliance_breaker_a` up to `appliance_small_a`, above it the current x `appliance_breaker_factor` and up
    to the next standard rating. Source: NFPA 70, 422.11(E).
    """
    if not read.has("appliance_breaker_factor"):
        raise no_cell("appliance_breaker_factor")
    if read.is_stated("load_breaker_marked_a"):
        return read("load_breaker_marked_a")
    if read("load_kind") != "water-heater":
        raise NotKnown(Unknown([Reason(ReasonKind.NOT_STATED, "load_breaker_marked_a")]))
    current = read("design_current_a")
    if current <= read("appliance_small_a"):
        return read("appliance_breaker_a")
    return _least(read, current * read("appliance_breaker_factor"))


@quantity("A")
def breaker_maximum_a(read) -> Decimal:
    """The largest standard breaker that cable, load and device all allow, in A.

    The breaker of a motor with overload protection of its own goes by the motor alone (see `motor_breaker_a`). What is
    not known of the device bounds nothing here: the rule for it says so.
    """
    free = excepted(read)
    most = read("motor_breaker_a") if free else read("cable_breaker_a")
    limits = _of_the_load(read)
    device = read.value("device_backup_a")
    if isinstance(device, Unknown) and not free:
        device = read.value("device_thermal_a")
    if isinstance(device, Decimal):
        limits.append(device)
    for limit in limits:
        if limit < most:
            most = _most(read, limit)
    return most


def _of_the_load(read) -> list[Decimal]:
    """The largest breakers that loads of this kind allow, in A: as far as the pack knows such limits."""
    kind, limits = read("load_kind"), []
    if read.has("appliance_breaker_factor") and (kind == "water-heater" or read.is_stated("load_breaker_marked_a")):
        limits.append(read("load_breaker_a"))
    if read.has("motor-breaker-factor") and kind in MOTORS:
        limits.append(read("motor_breaker_a"))
    if read.has("socket_breaker_a") and kind == "socket-outlets":
        limits.append(read("socket_breaker_a"))
    if read.has("general_circuit_a") and kind in GENERAL:
        limits.append(read("general_circuit_a"))
    return limits

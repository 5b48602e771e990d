"""What the label of the control device allows for this kind of load.

Source of the categories: IEC 60730-1 (plain and bracketed figure), IEC 61095 and IEC 60947-4-1 (AC-7a, AC-7b, ...).
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.load import behaves_as
from checker.core.quantities.quantity import quantity
from checker.core.values import NotKnown, Reason, ReasonKind, Unknown, Value, largest, no_cell, smallest

RATINGS = ("resistive", "motor", "inductive", "filament", "led", "discharge")
_LAMP_LIMIT = {"filament": "device_filament_w", "led": "device_led_w", "discharge": "device_discharge_w"}


@quantity(choices=RATINGS)
def contact_rating(read) -> str:
    """Which figure of the label serves this kind of load; from the pack's table `contact-rating`.

    A motor behind an electronic drive counts as electronics.
    """
    return read.row("contact-rating", load_kind=behaves_as(read))


@quantity("A")
def device_limit_a(read) -> Value:
    """The most current the contact may switch for this kind of load, in A.

    Resistive loads use the plain figure. Inductive loads use the bracketed figure. Motors use the stated motor rating and
    the bracketed figure: of both, the lower. A contactor serves a transformer with a share of its motor figure. A figure
    that is not stated is unknown: the plain figure never stands in for it. Lamps are limited in watts, see
    `device_limit_w`.
    """
    rating = read("contact_rating")
    carries_contactor = read("device_kind") != "time-switch"
    if rating == "resistive":
        return read("device_thermal_a")
    if carries_contactor and not (rating == "motor" and read.has("contactor_motor_hp")):
        # A contactor label has no bracket: AC-7b (or AC-3) is its figure for windings.
        return _transformer_limit(read) if read("load_kind") == "transformer" else read("contactor_motor_a")
    if rating == "inductive":
        return read("device_inductive_a")
    if rating == "motor":
        return _motor_limit(read)
    raise NotKnown(Unknown([Reason(ReasonKind.NOT_STATED, _LAMP_LIMIT[rating])]))


def _motor_limit(read) -> Value:
    if read.has("device_motor_hp"):
        raise no_cell("amperes of a rating in horsepower")
    names = ("device_inductive_a", "device_motor_a")
    # "Don't know" about one of them leaves the limit open: it may be the lower.
    stated = [name for name in names if read.is_stated(name)]
    return smallest(*read.all(*(stated or names)))


def _transformer_limit(read) -> Decimal:
    """What a contactor may switch of a transformer, in A: share x motor figure, and less where the inrush is stated higher.

    AC-6a = 0.45 x AC-3 up to an inrush of 30 times the rated current; above, x 30 / (inrush / rated current). Source:
    IEC 60947-4-1, AC-6a from the AC-3 rating.
    """
    return read("contactor_motor_a") * _transformer_share(read)


def _transformer_share(read) -> Decimal:
    share = read("transformer_contact_share")
    if not (read.has("inrush_current_a") and read.is_stated("inrush_current_a")):
        return share
    allowed_for = read("design_current_a") * read("transformer_contact_inrush")
    return smallest(share, share * allowed_for / read("inrush_current_a"))


@quantity("W")
def device_limit_w(read) -> Decimal:
    """The most lamp power the contact may switch for this kind of lamp, in W, as its maker states it."""
    rating = read("contact_rating")
    if rating not in _LAMP_LIMIT:
        raise NotKnown(Unknown([Reason(ReasonKind.NOT_STATED, "device_filament_w")]))
    return read(_LAMP_LIMIT[rating])


@quantity("A")
def device_thermal_a(read) -> Decimal:
    """The plain (resistive, thermal) current of what carries the load, in A."""
    return read("device_resistive_a" if read("device_kind") == "time-switch" else "contactor_resistive_a")


@quantity("A")
def device_needed_a(read) -> Decimal:
    """The smallest plain figure that what carries the load may have here, in A.

    It carries the switched load, a contactor in the air inside the board too, and stands behind this breaker: where the
    maker allows none in so many words, the breaker may be no larger than the figure. Compare `breaker-within-device`.
    """
    needed = read("switched_current_a")
    if read("device_kind") != "time-switch":
        read("board_inside_c")
        needed = needed / read.row("contactor-ambient-factor")
    return needed if read.is_stated("device_backup_a") else largest(needed, read("breaker_rating_a"))


@quantity("A")
def contact_needed_a(read) -> Decimal:
    """The smallest figure for this kind of load that a contact may have here, in A.

    The plain figure for a resistance, that for windings for motors and other inductive loads, a contactor's for motors
    where it serves a transformer. Lamps are limited in watts, and some codes rate motors in horsepower: then it is unknown.
    """
    rating = read("contact_rating")
    if rating == "resistive":
        return read("device_needed_a")
    if rating not in ("motor", "inductive"):
        raise no_cell("amperes for lamps")
    if rating == "motor" and (read.has("device_motor_hp") or read.has("contactor_motor_hp")):
        raise no_cell("amperes of a rating in horsepower")
    current = read("switched_current_a")
    if read("load_kind") == "transformer" and read("device_kind") != "time-switch":
        return current / _transformer_share(read)
    return current


CATEGORY_USES = ("resistive", "motor", "filament", "led", "discharge", "coil")


@quantity(choices=CATEGORY_USES)
def category_use(read) -> str:
    """What the category beside the contactor's figure is made for; from the pack's table `category-use`."""
    return read.row("category-use")


@quantity("A")
def category_limit_a(read) -> Decimal:
    """The largest rated current the category goes to, in A (table `category-limit`); unknown where it has none."""
    return read.row("category-limit")


@quantity("V")
def contact_voltage_v(read) -> Decimal:
    """The lowest rated voltage among the contacts that the supply meets, in V: a clock that works a coil counts too."""
    kind = read("device_kind")
    if kind == "time-switch" or not read.is_stated("contactor_voltage_v"):
        return read("device_voltage_v")
    if kind == "time-switch-and-contactor":
        return smallest(*read.all("device_voltage_v", "contactor_voltage_v"))
    return read("contactor_voltage_v")


@quantity("V")
def clock_rated_v(read) -> Decimal:
    """The voltage the clock is made for, in V: its own where the label states one, else that of the whole device."""
    return read("clock_voltage_v" if read.is_stated("clock_voltage_v") else "device_voltage_v")

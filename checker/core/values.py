"""The values answers, quantities and expressions are made of.

A value is a `Decimal`, a `str` (a choice), a `bool`, or `Unknown`. There is no other "no value": a fact that is missing
is always an `Unknown` that says why, so that doubt reaches the report instead of turning into a pass.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, Context, Decimal
from typing import NamedTuple


class Exact(Context):
    """A context whose four operations take a `Span` (see `spans`) too, in place of a number.

    Anything that is not a Decimal ends in the second branch, so that plain numbers pay nothing for it.
    """

    def add(self, a, b):
        try:
            return _add(self, a, b)
        except TypeError:
            return _other(a, b).combined(self, _add, a, b)

    def subtract(self, a, b):
        try:
            return _subtract(self, a, b)
        except TypeError:
            return _other(a, b).combined(self, _subtract, a, b)

    def multiply(self, a, b):
        try:
            return _multiply(self, a, b)
        except TypeError:
            return _other(a, b).combined(self, _multiply, a, b)

    def divide(self, a, b):
        try:
            return _divide(self, a, b)
        except TypeError:
            return _other(a, b).combined(self, _divide, a, b)


_add, _subtract, _multiply, _divide = Context.add, Context.subtract, Context.multiply, Context.divide


def _other(a, b):
    """Of two operands the one that is not a Decimal."""
    return b if isinstance(a, Decimal) else a


# One context for every calculation, in CPython and in Pyodide alike. 34 digits is IEEE 754 decimal128: a quotient is
# off by less than one part in 10**33, while no answer carries more than 12 decimal places.
CONTEXT = Exact(prec=34, rounding=ROUND_HALF_EVEN)


class Reason(NamedTuple):
    """Why something is not known.

    `kind`: not-asked, dont-know, not-stated (about a question), no-cell (about a table), confirm, conflict (about a
    cell, parameter or rule). `id` names that question, table cell, parameter or rule.
    """

    kind: str
    id: str


class Unknown:
    """A value that is not known, with the reasons in the order in which it is best to settle them.

    `at_least` (a Decimal, in the unit of the value) may give a lower bound that holds whatever the answer turns out to
    be; only comparisons use it.
    """

    __slots__ = ("at_least", "reasons")

    def __init__(self, reasons: Iterable[Reason], at_least: Decimal | None = None) -> None:
        self.reasons: tuple[Reason, ...] = tuple(dict.fromkeys(reasons))
        self.at_least = at_least

    def __bool__(self) -> bool:
        # `if value:` on an unknown would silently pick a branch: exactly the fault this class exists to prevent.
        raise TypeError("an unknown value has no truth")

    def __repr__(self) -> str:
        return f"Unknown({', '.join(f'{r.kind} {r.id}' for r in self.reasons)})"


Value = Decimal | str | bool | Unknown


class NotKnown(Exception):
    """Raised inside a quantity when something it needs is unknown; becomes the quantity's `Unknown`."""

    def __init__(self, unknown: Unknown) -> None:
        super().__init__(repr(unknown))
        self.unknown = unknown


def largest(*values):
    """The largest of several numbers, also where one of them is a `Span`."""
    try:
        return max(values)
    except NotKnown:
        return next(value for value in values if not isinstance(value, Decimal)).extreme(max, values)


def smallest(*values):
    """The smallest of several numbers, also where one of them is a `Span`."""
    try:
        return min(values)
    except NotKnown:
        return next(value for value in values if not isinstance(value, Decimal)).extreme(min, values)


def merged(*values: Value) -> Unknown:
    """The unknown that carries the reasons of every unknown among `values` (at least one must be)."""
    return Unknown(reason for value in values if isinstance(value, Unknown) for reason in value.reasons)


def plain(value: Decimal) -> str:
    """A Decimal as digits without exponent and without idle zeros: 4E+1 gives 40, 2.50 gives 2.5."""
    text = format(value, "f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


_TWO_PLACES, _ONE_PLACE, _NO_PLACE = Decimal("0.01"), Decimal("0.1"), Decimal(1)


def shown(value: Decimal) -> str:
    """`value` rounded for the eye: two places below 100, one below 1000, none above. Never used in a comparison."""
    size = abs(value)
    return plain(CONTEXT.quantize(value, _TWO_PLACES if size < 100 else _ONE_PLACE if size < 1000 else _NO_PLACE))

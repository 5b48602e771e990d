"""The values answers, quantities and expressions are made of.

A value is a `Decimal`, a `str` (a choice), a `bool`, or `Unknown`. There is no other "no value": a fact that is missing
is always an `Unknown` that says why, so that doubt reaches the report instead of turning into a pass.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import AbstractContextManager
from decimal import ROUND_HALF_EVEN, ROUND_UP, Context, Decimal, localcontext
from enum import StrEnum
from typing import NamedTuple

# One context for every calculation, in CPython and in Pyodide alike: `api.handle` sets it, and formulas use the plain
# operators. 34 digits is IEEE 754 decimal128: a quotient is off by less than one part in 10**33, while no answer
# carries more than 12 decimal places.
CONTEXT = Context(prec=34, rounding=ROUND_HALF_EVEN)


def rounded_up() -> AbstractContextManager[Context]:
    """Rounds away from zero what is computed inside, for what must not be taken for less than it is."""
    return localcontext(CONTEXT, rounding=ROUND_UP)


class ReasonKind(StrEnum):
    """Why something is not known, or is decided all the same."""

    # about a question
    NOT_ASKED = "not-asked"
    DONT_KNOW = "dont-know"
    NOT_STATED = "not-stated"  # the label leaves it out
    CONTRADICTION = "contradiction"  # two answers cannot both be right
    ANY_ANSWER = "any-answer"  # every answer decides it alike
    TRIED = "tried"  # an answer we are only trying, so that it is never mistaken for a real doubt
    # about a table, or a figure that the method has no place for
    NO_CELL = "no-cell"
    BOUND = "bound"  # only a lower bound is known, and it does not decide
    # about a cell, parameter or rule
    CONFIRM = "confirm"
    CONFLICT = "conflict"


class Reason(NamedTuple):
    """Why something is not known: `id` names the question, table cell, parameter or rule that `kind` is about."""

    kind: ReasonKind
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


def no_cell(name: str) -> NotKnown:
    """To raise where the rule set has no figure: `name` is the table, the cell, or what a figure would be needed for."""
    return NotKnown(Unknown([Reason(ReasonKind.NO_CELL, name)]))


def contradiction(*questions: str) -> NotKnown:
    """To raise where these answers cannot all be right."""
    return NotKnown(Unknown(Reason(ReasonKind.CONTRADICTION, name) for name in questions))


def largest(*values):
    """The largest of several numbers, also where one of them is a `Span`."""
    return _extreme(max, values)


def smallest(*values):
    """The smallest of several numbers, also where one of them is a `Span`."""
    return _extreme(min, values)


def _extreme(which, values):
    try:
        return which(values)
    except NotKnown:  # spans that overlap: the extreme is a span too
        return next(value for value in values if not isinstance(value, Decimal)).extreme(which, values)


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


def shown(value: Decimal, rounding: str | None = None) -> str:
    """`value` rounded for the eye: two places below 100, one below 1000, none above. Never used in a comparison.

    A limit is rounded to its careful side: `rounding` is one of the modes of `decimal`.
    """
    size = abs(value)
    return plain(value.quantize(_TWO_PLACES if size < 100 else _ONE_PLACE if size < 1000 else _NO_PLACE, rounding))

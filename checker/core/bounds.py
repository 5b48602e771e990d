"""A number of which only the bounds are known, to judge a rule for all its values at once.

Bounds are computed with the rounding of the number itself, and rounding keeps the order: whatever value the number
has, the result lies between the bounds. A comparison that the bounds leave open raises `NotKnown`; it is never guessed.
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from checker.core.values import NotKnown, Reason, ReasonKind, Unknown


class Span:
    """Some number from `low` to `high`, both included; `high` may be infinite. `reasons` say why no more is known.

    It takes part in `+ - * /` like a `Decimal`.
    """

    __slots__ = ("high", "low", "reasons")
    __hash__ = None  # type: ignore[assignment]  # how Python says that a class has no hash

    def __init__(self, low: Decimal, high: Decimal, reasons: tuple[Reason, ...]) -> None:
        self.low, self.high, self.reasons = low, high, reasons

    def __repr__(self) -> str:
        return f"Span({self.low}, {self.high})"

    def open(self, other: object) -> NotKnown:
        """What to raise where the bounds do not decide.

        A span that reaches beyond the numbers being tried, on both sides, leaves it open for each of them alike.
        """
        if not isinstance(other, Span):
            return NotKnown(Unknown(self.reasons))
        for tried, held in ((self, other), (other, self)):
            if held.low < tried.low and tried.high < held.high and tried.only_tried():
                return NotKnown(Unknown(held.reasons))
        return NotKnown(Unknown((*self.reasons, *other.reasons)))

    def only_tried(self) -> bool:
        return all(reason.kind is ReasonKind.TRIED for reason in self.reasons)

    # What stays the same number stays the same span: only then a comparison sees that both sides are one.

    def __add__(self, other: Any) -> Any:
        return self if _is(other, 0) else _over_the_corners(operator.add, self, other)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Any:
        return self if _is(other, 0) else _over_the_corners(operator.sub, self, other)

    def __rsub__(self, other: Any) -> Any:
        return _over_the_corners(operator.sub, other, self)

    def __mul__(self, other: Any) -> Any:
        return self if _is(other, 1) else _over_the_corners(operator.mul, self, other)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        return self if _is(other, 1) else _over_the_corners(operator.truediv, self, other)

    def __rtruediv__(self, other: Any) -> Any:
        return _over_the_corners(operator.truediv, other, self)

    def extreme(self, which: Callable, values: tuple) -> Span | Decimal:
        """The largest or smallest of `values`: bounds by bounds."""
        low = which(value.low if isinstance(value, Span) else value for value in values)
        high = which(value.high if isinstance(value, Span) else value for value in values)
        reasons = dict.fromkeys(r for value in values if isinstance(value, Span) for r in value.reasons)
        return low if low == high else Span(low, high, tuple(reasons))

    def to_integral_value(self, rounding: str) -> Span:
        return Span(
            self.low.to_integral_value(rounding=rounding), self.high.to_integral_value(rounding=rounding), self.reasons
        )

    def __lt__(self, other: Any) -> bool:
        if other is self:
            return False
        low, high = (other.low, other.high) if isinstance(other, Span) else (other, other)
        if self.high < low:
            return True
        if self.low >= high:
            return False
        raise self.open(other)

    def __le__(self, other: Any) -> bool:
        if other is self:
            return True
        low, high = (other.low, other.high) if isinstance(other, Span) else (other, other)
        if self.high <= low:
            return True
        if self.low > high:
            return False
        raise self.open(other)

    def __gt__(self, other: Any) -> bool:
        return not self <= other

    def __ge__(self, other: Any) -> bool:
        return not self < other

    def __eq__(self, other: Any) -> bool:
        if other is self:
            return True
        if isinstance(other, (str, bool)):
            return False
        low, high = (other.low, other.high) if isinstance(other, Span) else (other, other)
        if self.high < low or self.low > high:
            return False
        if self.low == self.high == low == high:
            return True
        raise self.open(other)


def _is(other: Any, number: int) -> bool:
    return not isinstance(other, Span) and other == number


def _over_the_corners(operation: Callable, a: Any, b: Any) -> Span | Decimal:
    """`operation` of `a` and `b`, at least one of them a span.

    All four operations are monotone in each operand, so over a box they take their extremes in its corners.
    """
    reasons = tuple(dict.fromkeys(r for value in (a, b) if isinstance(value, Span) for r in value.reasons))
    if operation is operator.truediv and isinstance(b, Span) and b.low <= 0 <= b.high:
        raise NotKnown(Unknown(reasons))
    try:
        corners = [operation(x, y) for x in _ends(a) for y in _ends(b)]
    except InvalidOperation:  # a bound without end, against nothing or another one
        raise NotKnown(Unknown(reasons)) from None
    low, high = min(corners), max(corners)
    return low if low == high else Span(low, high, reasons)


def _ends(value: Any) -> tuple:
    return (value.low, value.high) if isinstance(value, Span) else (value,)

"""A number of which only the bounds are known, to judge a rule for all its values at once.

Bounds are computed with the rounding of the number itself, and rounding keeps the order: whatever value the number
has, the result lies between the bounds. A comparison that the bounds leave open raises `NotKnown`; it is never guessed.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Context, Decimal
from typing import Any

from checker.core.values import NotKnown, Reason, Unknown

_ZERO, _ONE = Decimal(0), Decimal(1)


class Span:
    """Some number from `low` to `high`, both included; `reasons` name the questions it hangs on."""

    __slots__ = ("high", "low", "reasons")
    __hash__ = None  # type: ignore[assignment]  # how Python says that a class has no hash

    def __init__(self, low: Decimal, high: Decimal, reasons: tuple[Reason, ...]) -> None:
        self.low, self.high, self.reasons = low, high, reasons

    def __repr__(self) -> str:
        return f"Span({self.low}, {self.high})"

    def open(self, other: object) -> NotKnown:
        """What to raise where the bounds do not decide."""
        return NotKnown(Unknown((*self.reasons, *(other.reasons if isinstance(other, Span) else ()))))

    def combined(self, context: Context, operation: Callable, a: Any, b: Any) -> Span | Decimal:
        """`operation` of `a` and `b`, at least one of them a span: all four operations are monotone in each operand."""
        # What stays the same number stays the same span: only then a comparison sees that both sides are one.
        neutral = _ONE if operation in (Context.multiply, Context.divide) else _ZERO
        if isinstance(b, Decimal) and b == neutral:
            return a
        if operation in (Context.multiply, Context.add) and isinstance(a, Decimal) and a == neutral:
            return b
        a_low, a_high = (a.low, a.high) if isinstance(a, Span) else (a, a)
        b_low, b_high = (b.low, b.high) if isinstance(b, Span) else (b, b)
        if operation is Context.divide and b_low <= _ZERO <= b_high:
            raise self.open(b)
        # (x + y, x - y, x * y, x / y over a box take their extremes in its corners.)
        corners = [operation(context, x, y) for x in {a_low, a_high} for y in {b_low, b_high}]
        reasons = [*(a.reasons if isinstance(a, Span) else ()), *(b.reasons if isinstance(b, Span) else ())]
        low, high = min(corners), max(corners)
        return low if low == high else Span(low, high, tuple(dict.fromkeys(reasons)))

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

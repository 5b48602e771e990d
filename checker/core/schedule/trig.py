"""Sine, cosine and arc cosine in Decimal: the same digits in every build of Python, which floats do not give.

Taylor's series after folding the argument into a range where it converges fast; off by less than 1E-20.
"""

from __future__ import annotations

from decimal import Decimal

PI = Decimal("3.1415926535897932384626433833")
_TURN, _QUARTER = PI * 2, PI / 2
_ENOUGH = Decimal("1E-26")


def radians(degrees: Decimal) -> Decimal:
    return degrees * PI / 180


def degrees(radians_: Decimal) -> Decimal:
    return radians_ * 180 / PI


def sin(x: Decimal) -> Decimal:
    """The sine of `x`, in radians."""
    x = x.remainder_near(_TURN)  # -pi to pi
    if abs(x) > _QUARTER:
        x = PI.copy_sign(x) - x
    square, term, total, n = x * x, x, x, 1
    while abs(term) > _ENOUGH:
        n += 2
        term = -term * square / (n * (n - 1))
        total += term
    return total


def cos(x: Decimal) -> Decimal:
    """The cosine of `x`, in radians."""
    return sin(x + _QUARTER)


def arccos(c: Decimal) -> Decimal:
    """The angle between 0 and pi whose cosine is `c`, in radians; `c` from -1 to 1."""
    if c <= -1:
        return PI
    ratio = (1 - c) / (1 + c)
    return 2 * _arctan(ratio.sqrt())


def _arctan(x: Decimal) -> Decimal:
    """The angle whose tangent is `x`, for `x` of 0 or more: halved four times, then the series."""
    for _ in range(4):
        x = x / (1 + (1 + x * x).sqrt())
    square, power, total, n = x * x, x, x, 1
    while abs(power) > _ENOUGH:
        n += 2
        power = -power * square
        total += power / n
    return 16 * total

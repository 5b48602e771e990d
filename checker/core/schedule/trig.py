"""Sine, cosine and arc cosine in Decimal: the same digits in every build of Python, which floats do not give.

Taylor's series after folding the argument into a range where it converges fast; off by less than 1E-20.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal

WORK = Context(prec=28, rounding=ROUND_HALF_EVEN)
PI = Decimal("3.1415926535897932384626433833")
_TURN, _QUARTER = PI * 2, PI / 2
_ENOUGH = Decimal("1E-26")


def radians(degrees: Decimal) -> Decimal:
    return WORK.divide(WORK.multiply(degrees, PI), Decimal(180))


def degrees(radians_: Decimal) -> Decimal:
    return WORK.divide(WORK.multiply(radians_, Decimal(180)), PI)


def sin(x: Decimal) -> Decimal:
    """The sine of `x`, in radians."""
    x = WORK.remainder_near(x, _TURN)  # -pi to pi
    if abs(x) > _QUARTER:
        x = WORK.subtract(PI.copy_sign(x), x)
    square, term, total, n = WORK.multiply(x, x), x, x, 1
    while abs(term) > _ENOUGH:
        n += 2
        term = WORK.divide(WORK.multiply(-term, square), Decimal(n * (n - 1)))
        total = WORK.add(total, term)
    return total


def cos(x: Decimal) -> Decimal:
    """The cosine of `x`, in radians."""
    return sin(WORK.add(x, _QUARTER))


def arccos(c: Decimal) -> Decimal:
    """The angle between 0 and pi whose cosine is `c`, in radians; `c` from -1 to 1."""
    if c <= -1:
        return PI
    ratio = WORK.divide(WORK.subtract(Decimal(1), c), WORK.add(Decimal(1), c))
    return WORK.multiply(Decimal(2), _arctan(WORK.sqrt(ratio)))


def _arctan(x: Decimal) -> Decimal:
    """The angle whose tangent is `x`, for `x` of 0 or more: halved four times, then the series."""
    for _ in range(4):
        x = WORK.divide(x, WORK.add(Decimal(1), WORK.sqrt(WORK.add(Decimal(1), WORK.multiply(x, x)))))
    square, power, total, n = WORK.multiply(x, x), x, x, 1
    while abs(power) > _ENOUGH:
        n += 2
        power = WORK.multiply(-power, square)
        total = WORK.add(total, WORK.divide(power, Decimal(n)))
    return WORK.multiply(Decimal(16), total)

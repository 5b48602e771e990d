"""The nearest number at which a judgement changes: exact on the grid of the question's `step`, and none is overlooked.

A whole stretch of numbers is judged at once (see `spans`); only where that leaves it open the stretch is cut in two.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import NamedTuple

from checker.core.bounds import Span
from checker.core.pack import Pack
from checker.core.values import Reason, ReasonKind

# What may be said of a number or of a stretch of them; None where numbers of the stretch may differ.
Judge = Callable[[Decimal | Span], Hashable | None]
Guess = Callable[[Decimal, Decimal], Decimal | None]
# A search that needs more than this says nothing, rather than something it has not made sure of.
MOST_LOOKS = 200


class Edge(NamedTuple):
    """`holds` is the last number, walking away from the answer, with the same judgement; `breaks` the first without."""

    holds: Decimal
    breaks: Decimal


def next_row(rows: list, near: Decimal, far: Decimal, step: Decimal) -> Decimal | None:
    """The end of the row of a table that holds `near`, on the way to `far`, when `rows` were looked up by this number."""
    between = [row for row in rows if min(near, far) <= row < max(near, far)]
    if not between:
        return None
    return min(between) if near < far else max(between) + step


class _TooFar(Exception):
    pass


def nearest(
    pack: Pack, name: str, now: Decimal, upward: bool, judge: Judge, base: Hashable, guess: Guess
) -> Edge | None:
    """Where the judgement stops being `base` on the way from `now` to the end of the question's range; None if nowhere.

    `guess(a, b)` may name a number between two others near which something happens; it only makes the search shorter.
    """
    question = pack.questions[name]
    step, reasons = Decimal(question["step"]), (Reason(ReasonKind.TRIED, name),)
    places = now / step
    if upward:
        first = int(places.to_integral_value(rounding=ROUND_FLOOR)) + 1
        last = int((Decimal(question["maximum"]) / step).to_integral_value(rounding=ROUND_FLOOR))
    else:
        first = int(places.to_integral_value(rounding=ROUND_CEILING)) - 1
        last = int((Decimal(question["minimum"]) / step).to_integral_value(rounding=ROUND_CEILING))
    way = 1 if upward else -1
    looks = 0

    def judge_stretch(near: int, far: int) -> Hashable | None:
        nonlocal looks
        looks += 1
        if looks > MOST_LOOKS:
            raise _TooFar
        a, b = near * step, far * step
        return judge(a if a == b else Span(min(a, b), max(a, b), reasons))

    def seek(near: int, far: int, depth: int) -> int | None:
        """The first place from `near` to `far` whose judgement is another."""
        found = judge_stretch(near, far)
        if found == base:
            return None
        if found is not None:
            return near
        if near == far:
            raise _TooFar
        middle = (near + far) // 2 if upward else -((-near - far) // 2)
        if depth % 3 != 2 and (hint := guess(near * step, far * step)) is not None:
            place = int((hint / step).to_integral_value(rounding=ROUND_FLOOR if upward else ROUND_CEILING))
            middle = max(near, min(place, far - 1)) if upward else min(near, max(place, far + 1))
        before = seek(near, middle, depth + 1)
        return before if before is not None else seek(middle + way, far, depth + 1)

    if (last - first) * way < 0:
        return None
    try:
        place = seek(first, last, 0)
    except _TooFar:
        return None
    if place is None:
        return None
    return Edge(now if place == first else (place - way) * step, place * step)

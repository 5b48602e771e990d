"""The search for the nearest number at which a judgement changes, held against trying every number in turn."""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from checker.core.bounds import Span
from checker.core.whatif.nearest import MOST_LOOKS, Edge, nearest

STEP = Decimal("0.5")
FITS, CHANGE, STOP = "fits", "change", "stop"


def line(judgements: list) -> Any:
    """A pack with one question: each step of it has one of these judgements, None where even one number is not told."""
    most = STEP * (len(judgements) - 1)
    return SimpleNamespace(questions={"n": {"step": str(STEP), "minimum": "0", "maximum": str(most)}})


def places(value: Decimal | Span) -> range:
    low, high = (value.low, value.high) if isinstance(value, Span) else (value, value)
    return range(int(low / STEP), int(high / STEP) + 1)


def one_by_one(judgements: list, now: int, upward: bool) -> Edge | None:
    """What `nearest` has to find; nothing where a number on the way is not told."""
    way = 1 if upward else -1
    at = now + way
    while 0 <= at < len(judgements):
        if judgements[at] != FITS:
            return Edge((at - way) * STEP, at * STEP) if judgements[at] else None
        at += way
    return None


lines = st.lists(st.sampled_from([FITS, FITS, FITS, CHANGE, STOP, None]), min_size=1, max_size=30)


@given(lines, st.booleans(), st.data())
def test_the_first_change_is_found_and_none_is_overlooked(judgements, upward, data):
    """Also where a stretch cannot be judged at once, and whatever the hints say."""
    now = data.draw(st.integers(0, len(judgements) - 1))
    blind, hints = data.draw(st.randoms(use_true_random=False)), data.draw(st.randoms(use_true_random=False))

    def judge(value: Decimal | Span) -> str | None:
        found = {judgements[at] for at in places(value)}
        return None if len(found) > 1 or (len(places(value)) > 1 and blind.random() < 0.3) else found.pop()

    def guess(near: Decimal, far: Decimal) -> Decimal | None:
        return None if hints.random() < 0.5 else min(near, far) + abs(far - near) * Decimal(hints.randint(-1, 5)) / 4

    found = nearest(line(judgements), "n", now * STEP, upward, judge, FITS, guess)
    assert found == one_by_one(judgements, now, upward)


def test_a_single_number_that_is_not_told_ends_the_search_at_once():
    """It cannot be cut in two: looking again would only use up the looks."""
    looked = []

    def judge(value: Decimal | Span) -> str | None:
        looked.append(value)
        return None

    assert nearest(line([FITS, None, CHANGE]), "n", Decimal(0), True, judge, FITS, lambda near, far: None) is None
    assert len(looked) == len({str(value) for value in looked}) < MOST_LOOKS


def test_a_search_that_takes_too_many_looks_says_nothing():
    """Every stretch is left open: then each number has to be looked at by itself, and there are too many."""
    judgements = [FITS] * MOST_LOOKS + [CHANGE]

    def judge(value: Decimal | Span) -> str | None:
        return None if isinstance(value, Span) else judgements[int(value / STEP)]

    assert nearest(line(judgements), "n", Decimal(0), True, judge, FITS, lambda near, far: None) is None

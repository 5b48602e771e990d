"""A number known by its bounds alone: what is said of it holds for every number it may be, and nothing is guessed."""

from __future__ import annotations

import operator
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from itertools import product
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from checker.core.bounds import Span
from checker.core.errors import PackFault
from checker.core.expressions import compile_tree
from checker.core.values import NotKnown, Reason, Unknown, largest, smallest

LEFT, RIGHT = Reason("tried", "left"), Reason("tried", "right")
ORDERS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
COMPARISONS = {**ORDERS, "==": operator.eq, "!=": operator.ne}
OPERATIONS = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
GRID = range(-2, 4)


def span(low: Any, high: Any, reason: Reason = LEFT) -> Span:
    return Span(Decimal(low), Decimal(high), (reason,))


def points(value: Span | Decimal) -> list[Decimal]:
    """The whole numbers that a span with whole bounds may be; a plain number is itself."""
    if isinstance(value, Decimal):
        return [value]
    return [Decimal(n) for n in range(int(value.low), int(value.high) + 1)]


def operands() -> list[tuple[Any, Any]]:
    """Every pair of spans and numbers on a small grid, at least one of them a span; those of one number among them."""
    bounds = [(low, high) for low, high in product(GRID, repeat=2) if low <= high]
    numbers = [Decimal(n) for n in GRID]
    spans = [(span(*a), span(*b, RIGHT)) for a, b in product(bounds, repeat=2)]
    mixed = [(span(*a), n) for a in bounds for n in numbers] + [(n, span(*a, RIGHT)) for a in bounds for n in numbers]
    return spans + mixed


PAIRS = operands()


def outcome(function: Any, *values: Any) -> Any:
    """What comes of it, or the exception that stands for "open"."""
    try:
        return function(*values)
    except NotKnown as between:
        return between


@pytest.mark.parametrize("symbol", COMPARISONS)
def test_a_comparison_is_decided_exactly_where_all_numbers_agree(symbol):
    """One that the bounds decide agrees with every point; one that two points decide differently is left open."""
    compare = COMPARISONS[symbol]
    for a, b in PAIRS:
        single = {compare(x, y) for x, y in product(points(a), points(b))}
        found = outcome(compare, a, b)
        assert isinstance(found, NotKnown) if len(single) == 2 else {found} == single, (a, symbol, b)


@pytest.mark.parametrize("symbol", COMPARISONS)
def test_a_number_compared_with_itself_is_one_number(symbol):
    """Two spans of equal bounds may differ; the same answer read twice does not."""
    one = span(1, 3)
    assert COMPARISONS[symbol](one, one) is COMPARISONS[symbol](Decimal(2), Decimal(2))


@pytest.mark.parametrize(
    ("symbol", "neutral", "either_side"), [("+", 0, True), ("-", 0, False), ("*", 1, True), ("/", 1, False)]
)
def test_what_changes_nothing_leaves_the_same_number(symbol, neutral, either_side):
    """A load that counts as the whole breaker, and nothing else beside it, is the breaker's rating: not more, not less."""
    one = span(1, 3)
    assert OPERATIONS[symbol](one, Decimal(neutral)) is one
    assert not either_side or OPERATIONS[symbol](Decimal(neutral), one) is one


@pytest.mark.parametrize("word", ["heater", "not-stated", True])
def test_a_number_equals_no_word(word):
    assert span(1, 1) != word


def test_what_is_left_open_hangs_on_both_numbers():
    with pytest.raises(NotKnown) as between:
        assert span(1, 3) < span(2, 4, RIGHT)
    assert between.value.unknown.reasons == (LEFT, RIGHT)


@pytest.mark.parametrize("symbol", OPERATIONS)
def test_every_result_lies_between_the_bounds(symbol):
    """And the bounds are results themselves: they are no wider than they have to be."""
    operate = OPERATIONS[symbol]
    for a, b in PAIRS:
        if symbol == "/" and Decimal(0) in points(b):
            continue
        found = operate(a, b)
        single = [operate(x, y) for x, y in product(points(a), points(b))]
        low, high = (found.low, found.high) if isinstance(found, Span) else (found, found)
        assert (low, high) == (min(single), max(single)), (a, symbol, b)


@pytest.mark.parametrize("bounds", [(0, 2), (-2, 0), (-1, 1)])
def test_division_by_what_may_be_zero_is_left_open_and_names_both_numbers(bounds):
    with pytest.raises(NotKnown) as between:
        span(1, 3) / span(*bounds, RIGHT)
    assert between.value.unknown.reasons == (LEFT, RIGHT)


@pytest.mark.parametrize(("single", "whole"), [(max, largest), (min, smallest)])
def test_the_extreme_of_several_lies_between_the_bounds(single, whole):
    for a, b in PAIRS:
        found = whole(Decimal(1), a, b)
        every = [single(Decimal(1), x, y) for x, y in product(points(a), points(b))]
        low, high = (found.low, found.high) if isinstance(found, Span) else (found, found)
        assert (low, high) == (min(every), max(every)), (a, b)


@pytest.mark.parametrize("rounding", [ROUND_FLOOR, ROUND_CEILING, ROUND_HALF_EVEN])
def test_rounding_keeps_the_bounds(rounding):
    tenths = [Decimal(n) / 10 for n in range(-12, 26, 3)]
    for low, high in [(low, high) for low, high in product(tenths, repeat=2) if low <= high]:
        found = span(low, high).to_integral_value(rounding)
        every = [n.to_integral_value(rounding=rounding) for n in tenths if low <= n <= high]
        assert (found.low, found.high) == (every[0], every[-1])


# --- whole expressions: judged once for a stretch, and at numbers of it ---

figures = st.decimals(-20, 20, places=2)
NUMBERS = st.sampled_from([["name", "left"], ["name", "right"], ["name", "dark"]]) | figures.map(
    lambda number: ["number", str(number)]
)
TRUTHS = st.sampled_from([["name", "yes"], ["name", "darkness"], ["truth", True], ["truth", False]])


def _wider(trees: tuple[st.SearchStrategy, st.SearchStrategy]) -> tuple[st.SearchStrategy, st.SearchStrategy]:
    number, truth = trees
    numbers = st.one_of(
        number,
        st.tuples(st.sampled_from("+-*/"), number, number).map(list),
        st.tuples(st.sampled_from(("min", "max")), number, number).map(list),
        st.tuples(st.just("if"), number, truth, number).map(list),
    )
    truths = st.one_of(
        truth,
        st.tuples(st.sampled_from(tuple(COMPARISONS)), number, number).map(list),
        st.tuples(st.sampled_from(("and", "or")), truth, truth).map(list),
        st.tuples(st.just("not"), truth).map(list),
    )
    return numbers, truths


_two = _wider(_wider((NUMBERS, TRUTHS)))
EXPRESSIONS = st.one_of(*_wider(_two))


class TwoNames:
    """Stands in for a reader: names and their values."""

    def __init__(self, left: Any, right: Any) -> None:
        dark = Unknown([Reason("not-asked", "dark")])
        self.held = {"left": left, "right": right, "dark": dark, "darkness": dark, "yes": True}

    def value(self, name: str) -> Any:
        return self.held[name]


@given(EXPRESSIONS, figures, figures, figures, st.data())
def test_an_expression_over_a_stretch_holds_at_every_number_of_it(tree, first, second, right, data):
    """What is found for the stretch holds for the number; what is left open though a number decides it names the stretch."""
    low, high = sorted((first, second))
    here = data.draw(st.sampled_from([low, high, (low + high) / 2]) | st.decimals(low, high))
    run = compile_tree(tree)
    try:
        there = run(TwoNames(span(low, high), right))
        at = run(TwoNames(here, right))
    except PackFault:  # a constant zero below a stroke, which a rule may not have
        assume(False)
    if isinstance(there, Unknown):
        assert isinstance(at, Unknown) or LEFT in there.reasons
    elif isinstance(there, Span):
        assert there.low <= at <= there.high
    else:
        assert at == there


@pytest.mark.parametrize(
    "tree",
    [
        pytest.param(["==", ["name", "left"], ["name", "right"]], id="equality"),
        pytest.param(["<", ["name", "left"], ["name", "right"]], id="order"),
        pytest.param(["/", ["name", "right"], ["-", ["name", "left"], ["name", "right"]]], id="division"),
        pytest.param(["max", ["name", "left"], ["name", "right"]], id="extreme"),
        pytest.param(["if", ["name", "left"], ["name", "darkness"], ["name", "right"]], id="choice"),
    ],
)
def test_what_the_bounds_leave_open_is_not_known_and_no_fault(tree):
    found = compile_tree(tree)(TwoNames(span(1, 3), Decimal(2)))
    assert isinstance(found, Unknown)
    assert LEFT in found.reasons


@pytest.mark.parametrize("branches", [("left", "darkness"), ("darkness", "left")])
def test_a_choice_with_a_dark_branch_is_not_known_and_no_fault(branches):
    then, otherwise = (["name", name] for name in branches)
    found = compile_tree(["if", then, ["name", "darkness"], otherwise])(TwoNames(span(1, 3), Decimal(2)))
    assert isinstance(found, Unknown)


def test_an_unknown_number_has_no_truth():
    """`if value:` would pick a branch for what nobody knows."""
    with pytest.raises(TypeError, match="no truth"):
        bool(Unknown([LEFT]))

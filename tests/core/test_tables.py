"""A look-up with a key of which only the bounds are known tells what every key between them would be told."""

from __future__ import annotations

from decimal import Decimal
from itertools import product
from typing import Any

import pytest

from checker.core.bounds import Span
from checker.core.pack import Pack
from checker.core.situation import Reader, Situation
from checker.core.tables import Table
from checker.core.values import NotKnown, Reason
from tests.core import asking, expression_rows

ROWS = (2, 4, 6)
TRIED = Reason("tried", "metres")
STANDING = {"source": "a book", "clause": "1", "status": "opened", "checked": "2026-01-01", "stale_after": "2030-01-01"}


def table(values: tuple[Any, ...], value: str = "number", **ways: str) -> dict[str, Any]:
    """A compiled table over metres, a row each at 2, 4 and 6 m; None leaves a row out."""
    axis = {
        "name": "metres",
        "kind": "number",
        "between": "none",
        "below": "absent",
        "above": "absent",
        "trend": "",
    } | ways
    cells = [
        {"keys": [str(row)], "value": held, **STANDING}
        for row, held in zip(ROWS, values, strict=True)
        if held is not None
    ]
    return {"id": "by-length", "unit": "", "value": value, "axes": [axis], "cells": cells}


def asked(content: dict[str, Any], metres: Any) -> Situation:
    question = {"id": "metres", "kind": "number", "unanswered": "unknown"}
    return Situation(
        Pack({**expression_rows.EMPTY, "questions": [question], "tables": [content]}, ""), {"metres": metres}
    )


def looked_up(content: dict[str, Any], metres: Any) -> Any:
    """What a rule reads in the table, or the exception that says it is not known."""
    try:
        return Reader(asked(content, metres)).row("by-length")
    except NotKnown as missing:
        return missing


def span(low: Any, high: Any) -> Span:
    return Span(Decimal(low), Decimal(high), (TRIED,))


WAYS = [
    {"between": between, "below": below, "above": above}
    for between, below, above in product(("none", "next-up", "next-down"), ("absent", "first"), ("absent", "last"))
]


@pytest.mark.parametrize("ways", WAYS, ids=lambda ways: " ".join(ways.values()))
def test_bounds_are_told_what_every_number_between_them_is_told(ways):
    """Where one of the numbers has no figure none is told; what is told runs from the least figure to the largest."""
    content = table(("30", "20", "10"), **ways)
    for low, high in [(low, high) for low, high in product(range(9), repeat=2) if low <= high]:
        single = [looked_up(content, Decimal(n) / 2) for n in range(2 * low, 2 * high + 1)]
        found = looked_up(content, span(low, high))
        without = [isinstance(value, NotKnown) for value in single]
        if isinstance(found, NotKnown):
            # A table that answers at its rows alone is asked for one number, or left open.
            assert any(without) or (ways["between"] == "none" and low < high), (low, high)
            assert all(without) or TRIED in found.unknown.reasons, (low, high)
        else:
            assert not any(without), (low, high)
            at = (found.low, found.high) if isinstance(found, Span) else (found, found)
            assert at == (min(single), max(single)), (low, high)


@pytest.mark.parametrize(
    ("trend", "figures", "low", "high"),
    [("falls", ("30", "20", "10"), "0", "10"), ("rises", ("10", "20", "30"), "30", "Infinity"),
     ("never-rises", ("20", "10", "10"), "0", "10"), ("falls", ("30", "20", None), "0", "20")],
)  # fmt: skip
@pytest.mark.parametrize("metres", [Decimal(7), span(7, 9)], ids=["a number", "a stretch of numbers"])
def test_beyond_its_last_row_a_table_says_what_no_figure_there_can_be(trend, figures, low, high, metres):
    """It goes on as it went, so the last figure is a bound, which lets nothing pass that needs more than the bound."""
    found = looked_up(table(figures, between="next-up", trend=trend), metres)
    assert (found.low, found.high) == (Decimal(low), Decimal(high))
    assert [reason.kind for reason in found.reasons] == ["no-cell"]


@pytest.mark.parametrize(
    "ways",
    [{"between": "next-up", "trend": ""}, {"between": "next-down", "trend": "falls"}, {"between": "none", "trend": "falls"}],
    ids=["a table that says nowhere it goes", "one whose next lower row counts", "one for its rows alone"],
)  # fmt: skip
def test_beyond_its_last_row_other_tables_say_nothing(ways):
    assert isinstance(looked_up(table(("30", "20", "10"), **ways), Decimal(7)), NotKnown)


def test_a_stretch_across_the_last_row_is_left_open():
    assert looked_up(table(("30", "20", "10"), between="next-up", trend="falls"), span(5, 7)).unknown.reasons == (
        TRIED,
    )


@pytest.mark.parametrize(("bounds", "told"), [((1, 3), None), ((3, 5), "thick"), ((3, 4), "thick")])
def test_words_are_told_only_where_they_are_the_same(bounds, told):
    """There is nothing between two words."""
    content = table(("thin", "thick", "thick"), value="choice", between="next-up", below="first")
    found = looked_up(content, span(*bounds))
    assert found == told if told else found.unknown.reasons == (TRIED,)


def test_a_look_up_that_rests_on_several_cells_says_between_which_rows():
    """Only one cell at a time tells whether a figure is weak: whoever tried the stretch has to cut it there."""
    case = asked(table(("30", "20", "10"), between="next-up"), span(3, 6))
    Reader(case).row("by-length")
    assert case.spread == [Decimal(4), Decimal(6)]


def test_a_pack_lists_and_counts_its_tables_without_making_one():
    """A case looks at a third of them: making the others would cost every start."""
    content = asking.contents()["iec"]
    tables = Pack(content, "").tables
    assert list(tables) == [table["id"] for table in content["tables"]]
    assert len(tables) == len(content["tables"])
    assert not tables._made
    assert isinstance(tables["cable-current"], Table)

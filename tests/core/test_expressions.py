"""The rule language does what its table says, and the table leaves nothing out."""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from checker.core.errors import PackFault
from checker.core.expressions import compile_tree
from checker.dev.rulebook import expressions
from checker.dev.rulebook.expressions import MOST_CHARACTERS, ExpressionFault, parse, parse_truth
from tests.core import expression_rows

TABLE = tomllib.loads(Path(expressions.__file__).with_suffix(".toml").read_text("utf-8"), parse_float=Decimal)
ROWS = expression_rows.rows(TABLE)
REFUSED = [row for row in expression_rows.every(TABLE) if "refused" in row]
NAMES = expression_rows.vocabulary(TABLE)
PAIRS = ("+", "-", "*", "/", "<", "<=", ">", ">=", "==", "!=", "and", "or")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_gives_what_the_table_says(row):
    got = expression_rows.run(json.loads(json.dumps(row)))
    if "fault" in row["expected"]:
        assert all(words in got["fault"] for words in row["expected"]["fault"])
    else:
        assert got == row["expected"]


@pytest.mark.parametrize("row", REFUSED, ids=lambda row: row["id"])
def test_is_refused_with_words_that_help(row):
    with pytest.raises(ExpressionFault) as fault:
        parse(row["is"], NAMES)
    missing = [words for words in row["refused"] if words not in str(fault.value)]
    assert not missing, str(fault.value)


def test_every_row_says_one_thing():
    for row in expression_rows.every(TABLE):
        assert len({"gives", "unknown", "refused", "fault"} & row.keys()) == 1, row["id"]
        assert set(row) <= {"id", "is", "with", "gives", "unknown", "refused", "fault"}, row["id"]
    said = [(row["is"], json.dumps(row.get("with", {}), default=str)) for row in expression_rows.every(TABLE)]
    assert len(set(said)) == len(said), "a row stands in the table twice"


def unknown_sides(rows: list[dict]) -> set[tuple[str, str]]:
    """(operator, side) for each side of an operator at the top of a row that is unknown there: left, right, both.

    Rows with a lower bound do not count: they show the bound.
    """
    found = set()
    for row in (row for row in rows if not row["bounds"]):
        operator, *parts = row["tree"]
        if operator in PAIRS and len(parts) == 2:
            dark = [i for i, part in enumerate(parts) if "unknown" in expression_rows.run({**row, "tree": part})]
            if dark:
                found.add((operator, "both" if len(dark) == 2 else ("left", "right")[dark[0]]))
    return found


def test_every_pair_operator_is_shown_with_the_unknown_on_each_side():
    every = {(operator, side) for operator in PAIRS for side in ("left", "right", "both")}
    assert every - unknown_sides(ROWS) == set()


def test_a_side_that_is_not_shown_would_be_noticed():
    kept = [row for row in ROWS if not (row["tree"][0] == "<" and "unknown" in row["expected"])]
    assert {("<", "left"), ("<", "right"), ("<", "both")} & unknown_sides(kept) == set()


def test_every_kind_of_node_the_core_runs_is_shown():
    def heads(tree: list) -> set[str]:
        inner = [heads(part) for part in tree[1:] if isinstance(part, list) and tree[0] != "in"]
        return {tree[0]}.union(*inner, heads(tree[1]) if tree[0] == "in" else set())

    shown = set().union(*(heads(row["tree"]) for row in ROWS))
    assert shown == {*PAIRS, "name", "stated", "number", "text", "truth", "in", "not", "if", "min", "max"}


def test_a_tree_the_build_never_makes_is_a_fault_of_ours():
    with pytest.raises(PackFault, match="unknown expression node"):
        compile_tree(["**", ["name", "load_a"], ["number", "1"]])


def test_a_rule_has_to_be_true_or_false():
    with pytest.raises(ExpressionFault, match="not yes or no"):
        parse_truth("load_a + breaker_a", NAMES)


def test_the_longest_expression_is_read_and_one_character_more_is_not():
    just = "lock and " * 44 + "lock"
    assert len(just) == MOST_CHARACTERS
    assert parse(just, NAMES)
    with pytest.raises(ExpressionFault, match="split the rule"):
        parse(f"{just} ", NAMES)


@pytest.mark.parametrize(
    "text",
    [
        "-" * 399 + "1",
        "~" * 399 + "1",
        "(" * 199 + "load_a" + ")" * 195,
        "[" * 199 + "]" * 199,
        "load_a if " * 40,
        "(" * 400,
    ],
    ids=lambda text: text[:12],
)
def test_deep_nesting_is_refused_and_breaks_nothing(text):
    with pytest.raises(ExpressionFault):
        parse(text, NAMES)


@pytest.mark.parametrize("text", ["not " * 98 + "lock", "(" * 99 + "lock" + ")" * 99])
def test_nesting_that_fits_is_still_worked_out(text):
    """98 times `not`, or brackets that mean nothing: true stays true."""
    row = {**ROWS[0], "tree": parse(text, NAMES)[0], "answers": {"lock": {"truth": True}}}
    assert expression_rows.run(row) == {"truth": True}

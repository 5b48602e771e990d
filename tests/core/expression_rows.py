"""The rows of `expressions.toml` as plain JSON data, and what runs one.

`rows` needs the build (it parses); `run` needs the core alone, so it works in the browser's Python too: there, for each
row, `run(row) == row["expected"]` must hold.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from checker.core.errors import PackFault
from checker.core.expressions import compile_tree
from checker.core.pack import Pack
from checker.core.situation import Known, Reader, Situation
from checker.core.values import Reason, Unknown, plain

EMPTY = {
    "format": 1, "pack": {"id": "table"}, "stages": [], "phrases": {}, "words": {}, "units": {},
    "sources": [], "parameters": [], "tables": [], "rules": [], "texts": {}, "pictures": [],
}  # fmt: skip


def rows(table: dict[str, Any]) -> list[dict[str, Any]]:
    """Every row of the table that the build accepts, as `{id, tree, questions, answers, bounds, expected}`."""
    from checker.dev.rulebook.expressions import parse

    known = vocabulary(table)
    questions = [{"id": name, "unanswered": "unknown", **about} for name, about in table["names"].items()]
    made = []
    for row in every(table):
        if "refused" in row:
            continue
        given = {
            name: value if isinstance(value, dict) else encoded(_value(value))
            for name, value in row.get("with", {}).items()
        }
        made.append(
            {
                "id": row["id"],
                "tree": parse(row["is"], known)[0],
                "questions": questions,
                "answers": {name: value for name, value in given.items() if "at_least" not in value},
                "bounds": {
                    name: {**value, "at_least": str(value["at_least"])}
                    for name, value in given.items()
                    if "at_least" in value
                },
                "expected": _expected(row),
            }
        )
    return made


def every(table: dict[str, Any]) -> list[dict[str, Any]]:
    """All rows, each with an `id` that says what it is."""
    found = []
    for group in table["group"]:
        for number, row in enumerate(group["rows"], 1):
            found.append({**row, "id": f"{group['title'].partition(':')[0]} {number}: {row['is']}"})
    return found


def vocabulary(table: dict[str, Any]):
    """The names of the table as the build sees them."""
    from checker.dev.rulebook import units
    from checker.dev.rulebook.expressions import Choice, Names, Number, Truth

    types = {
        name: Number(units.parse(about["unit"]))
        if about["kind"] == "number"
        else Choice(tuple(about["choices"]))
        if about["kind"] == "choice"
        else Truth()
        for name, about in table["names"].items()
    }
    return Names(types, frozenset(name for name, about in table["names"].items() if "unanswered" in about))


def run(row: dict[str, Any]) -> dict[str, Any]:
    """The value of one row, encoded as its `expected` is."""
    answers = {name: decoded(value) for name, value in row["answers"].items()}
    situation = Situation(Pack({**EMPTY, "questions": row["questions"]}, ""), answers)
    for name, bound in row["bounds"].items():
        # Only quantities have a bound; here one stands in for a question of the same name.
        unknown = Unknown([Reason(bound["unknown"], name)], Decimal(bound["at_least"]))
        situation.memory[name] = Known(unknown, {}, ())
    try:
        return encoded(compile_tree(row["tree"])(Reader(situation)))
    except PackFault as fault:
        return {"fault": str(fault)}


def encoded(value: Any) -> dict[str, Any]:
    if isinstance(value, Unknown):
        return {"unknown": [f"{reason.kind} {reason.id}" for reason in value.reasons]}
    if isinstance(value, bool):
        return {"truth": value}
    return {"number": plain(value)} if isinstance(value, Decimal) else {"text": value}


def decoded(value: dict[str, Any]) -> Any:
    ((kind, held),) = value.items()
    return Decimal(held) if kind == "number" else held


def _value(value: Any) -> Any:
    return Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _expected(row: dict[str, Any]) -> dict[str, Any]:
    if "gives" in row:
        return encoded(_value(row["gives"]))
    return {key: row[key] for key in ("unknown", "fault") if key in row}

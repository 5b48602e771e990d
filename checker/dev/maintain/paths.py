"""Boundary paths: a worked case with one answer moved to, just below and just above where something changed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any


def boundary_paths(
    answers: dict[str, Any], old: dict, new: dict, changes: list, most: int
) -> Iterator[tuple[str, dict[str, Any]]]:
    """The case as it stands, then with one answer on each boundary: (what was changed, all answers).

    At most `most` of them, spread evenly over all there are.
    """
    yield "", answers
    questions = {q["id"]: q for q in old["questions"]} | {q["id"]: q for q in new["questions"]}
    every = [
        (name, value)
        for name, values in _boundaries(old, new, changes, questions).items()
        if name in answers
        for value in values
        if str(answers[name]) != value
    ]
    for name, value in every[:: max(1, -(-len(every) // max(most, 1)))]:
        yield f"{name} = {value}", {**answers, name: value}


def _boundaries(old: dict, new: dict, changes: list, questions: dict[str, dict]) -> dict[str, list[str]]:
    """The values to try of each question."""
    found: dict[str, dict[str, None]] = {}
    touched = {c.id.partition("/")[0] for c in changes if c.kind in ("cell", "table")}
    for content in (old, new):
        for table in content["tables"]:
            if table["id"] in touched:
                for place, axis in enumerate(table["axes"]):
                    keys = dict.fromkeys(cell["keys"][place] for cell in table["cells"])
                    _along(axis["name"], list(keys), questions, found)
    units = {**old["units"], **new["units"]}
    for change in changes:
        figures = [item["value"] for item in (change.old, change.new) if item and change.kind in ("cell", "parameter")]
        table = next((t for t in new["tables"] if t["id"] == change.id.partition("/")[0]), {})
        unit = table.get("unit") if change.kind == "cell" else units.get(change.id)
        for name, question in questions.items():
            if question["kind"] == "number" and question.get("unit") == unit:
                _around([f for f in figures if _number(f) is not None], question, found.setdefault(name, {}))
    return {name: list(values) for name, values in found.items()}


def _along(axis: str, keys: list[str], questions: dict[str, dict], found: dict[str, dict[str, None]]) -> None:
    sizes = questions.get(axis.removesuffix("_mm2"), {})
    if axis in questions and questions[axis]["kind"] == "number":
        _around(keys, questions[axis], found.setdefault(axis, {}))
    elif axis in questions:
        found.setdefault(axis, {}).update(dict.fromkeys(keys))
    elif sizes.get("choices"):
        found.setdefault(sizes["id"], {}).update(dict.fromkeys(choice["value"] for choice in sizes["choices"]))


def _around(figures: list[str], question: dict, values: dict[str, None]) -> None:
    step, low, high = (Decimal(str(question[key])) for key in ("step", "minimum", "maximum"))
    for figure in figures:
        for value in (Decimal(figure) - step, Decimal(figure), Decimal(figure) + step):
            if low <= value <= high:
                values[format(value.normalize(), "f")] = None


def _number(text: str) -> Decimal | None:
    try:
        return Decimal(text)
    except ArithmeticError:
        return None

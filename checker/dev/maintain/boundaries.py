"""Boundary paths: a case with one answer moved to, just below and just above where something changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from checker.dev.cases.every_case import Judged, NamedRequest
from checker.dev.maintain.changed import Change
from checker.dev.rulebook.reads import rule_names

# Values to try of each question, in the order found: a number as text, yes and no as they are.
Values = dict[str, dict[Any, None]]


def boundary_paths(
    case: NamedRequest,
    old: dict[str, Any],
    new: dict[str, Any],
    changes: Sequence[Change],
    known: Sequence[Judged],
    most: int,
) -> Iterator[NamedRequest]:
    """The case with one answer on each boundary; at most `most` of them, spread evenly over all there are.

    `known` is what the two rule sets make of the case as it stands.
    """
    if case.request.get("ask") == "plan":
        return  # a year's timetable for each step would take minutes
    answers = case.request["answers"]
    questions = {q["id"]: q for q in old["questions"]} | {q["id"]: q for q in new["questions"]}
    found: Values = {}
    _at_rules(old, new, changes, known, questions, found)
    _at_figures(old, new, changes, questions, found)
    every = [
        (name, value)
        for name, values in found.items()
        if name in answers
        for value in values
        if value != (answers[name] if isinstance(value, bool) else str(answers[name]))
    ]
    for name, value in every[:: max(1, -(-len(every) // max(most, 1)))]:
        request = {**case.request, "answers": {**answers, name: value}}
        yield NamedRequest(case.id, request, ", ".join(filter(None, (case.boundary, f"{name} = {value}"))))


def _at_rules(
    old: dict, new: dict, changes: Sequence[Change], known: Sequence[Judged], questions: dict[str, dict], found: Values
) -> None:
    """Where a changed rule may turn: each answer it names itself, and where the two sides it compares are equal."""
    rules = {change.id: change for change in changes if change.kind == "rule"}
    for change in rules.values():
        for item in filter(None, (change.old, change.new)):
            for name in sorted(rule_names(item)):
                question = questions.get(name, {})
                if question.get("kind") == "yes-no":
                    found.setdefault(name, {}).update({True: None, False: None})
                else:
                    found.setdefault(name, {}).update(dict.fromkeys(c["value"] for c in question.get("choices", ())))
    for judged in known:
        for rule in judged.compared.keys() & rules.keys():
            left, right = judged.compared[rule]
            for one, other in ((left, right), (right, left)):
                if questions.get(one["name"], {}).get("kind") == "number" and _number(str(other["exact"])) is not None:
                    _around([str(other["exact"])], questions[one["name"]], found)


def _at_figures(old: dict, new: dict, changes: Sequence[Change], questions: dict[str, dict], found: Values) -> None:
    """The keys along a table that changed, and the numbers in the unit of a figure that changed, around both figures."""
    touched = {c.id.partition("/")[0] for c in changes if c.kind in ("cell", "table")}
    for content in (old, new):
        for table in content["tables"]:
            if table["id"] in touched:
                for place, axis in enumerate(table["axes"]):
                    keys = dict.fromkeys(cell["keys"][place] for cell in table["cells"])
                    _along(axis["name"], list(keys), questions, found)
    units = {**old["units"], **new["units"]}
    of_table = {table["id"]: table["unit"] for content in (old, new) for table in content["tables"]}
    for change in changes:
        if change.kind in ("cell", "parameter"):
            figures = [item["value"] for item in (change.old, change.new) if item]
            unit = of_table.get(change.id.partition("/")[0]) if change.kind == "cell" else units.get(change.id)
            for question in questions.values():
                if question["kind"] == "number" and question["unit"] == unit:
                    _around([figure for figure in figures if _number(figure) is not None], question, found)


def _along(axis: str, keys: list[str], questions: dict[str, dict], found: Values) -> None:
    sizes = questions.get(axis.removesuffix("_mm2"), {})
    if axis in questions and questions[axis]["kind"] == "number":
        _around(keys, questions[axis], found)
    elif axis in questions:
        found.setdefault(axis, {}).update(dict.fromkeys(keys))
    elif sizes.get("choices"):
        found.setdefault(sizes["id"], {}).update(dict.fromkeys(choice["value"] for choice in sizes["choices"]))


def _around(figures: list[str], question: dict, found: Values) -> None:
    """On the question's step: the last value at or below each figure, and its neighbours."""
    step, low, high = (Decimal(str(question[key])) for key in ("step", "minimum", "maximum"))
    for figure in figures:
        at = Decimal(figure) // step * step
        for value in (at - step, at, Decimal(figure), at + step):
            if low <= value <= high and len(value.as_tuple().digits) <= 12:
                found.setdefault(question["id"], {})[format(value.normalize(), "f")] = None


def _number(text: str) -> Decimal | None:
    try:
        number = Decimal(text)
    except ArithmeticError:
        return None
    return number if number.is_finite() else None

"""Small mistakes in a pack, one at a time: a digit, a factor of ten, a neighbour's figure, `<` for `<=`, a clause left out.

Only what a pack brings itself is mutated (`origin`): what it inherits is the business of the pack it comes from.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, NamedTuple

from checker.core.values import plain


class Mutant(NamedTuple):
    """`kind` is cell, parameter, rule or override; `item` the table, parameter or rule; `changed` its compiled form with
    the mistake (None: the item is left out); `what` tells it in words; `at` the cell's keys."""

    kind: str
    item: str
    what: str
    changed: dict[str, Any]
    at: tuple[str, ...] = ()
    rows: int = 0  # the cells of the table without the mistake

    @property
    def cell(self) -> str:
        return "/".join((self.item, *self.at))

    @property
    def id(self) -> str:
        return f"{self.kind} {self.cell}: {self.what}"


def mutants(
    content: dict[str, Any], inherited: dict[str, Any] | None, sibling: dict[str, Any] | None = None
) -> Iterator[Mutant]:
    """Every mutant of a compiled pack; `inherited` is the pack it extends, `sibling` the edition in force, for another."""
    shared = {(part, item["id"]): _judges(item) for part in _PARTS for item in (sibling or {}).get(part, ())}

    def mine(item: dict[str, Any]) -> bool:
        if inherited is not None and item["origin"] == "base":
            return False
        return not any(shared.get((part, item["id"])) == _judges(item) for part in _PARTS)

    for table in content["tables"]:
        if mine(table):
            yield from _cells(table)
    for parameter in content["parameters"]:
        if mine(parameter):
            for what, value in _slips(parameter["value"]):
                yield Mutant(
                    "parameter",
                    parameter["id"],
                    f"{parameter['value']} -> {value} ({what})",
                    {**parameter, "value": value},
                )
    for rule in content["rules"]:
        if mine(rule):
            yield from _rule(rule)
    if inherited is not None:
        for kind, part in (("rule", "rules"), ("parameter", "parameters"), ("table", "tables")):
            base = {item["id"]: item for item in inherited[part]}
            for item in content[part]:
                inner = base.get(item["id"])
                if mine(item) and inner is not None and _judges(item) != _judges(inner):
                    yield Mutant("override", item["id"], f"the {kind} of the pack it extends", inner, (kind,))


_PARTS = ("tables", "parameters", "rules")


def _judges(item: dict[str, Any]) -> tuple:
    """The part of an item that a verdict can rest on; words and sources of its own change none."""
    rows = [(cell["keys"], cell["value"]) for cell in item.get("cells", ())]
    return (*(item.get(key) for key in ("applies", "requires", "weight", "value", "axes")), rows)


def _slips(value: str) -> Iterator[tuple[str, str]]:
    """Wrong figures a tired hand writes."""
    number = Decimal(value)
    digit = Decimal(1).scaleb(int(number.as_tuple().exponent))
    yield "last digit up", plain(number + digit)
    yield "last digit down", plain(number - digit)
    if number:
        yield "times ten", plain(number * 10)


def _cells(table: dict[str, Any]) -> Iterator[Mutant]:
    cells = table["cells"]
    words = sorted({cell["value"] for cell in cells}) if table["value"] != "number" else []
    for place, cell in enumerate(cells):
        keys = tuple(cell["keys"])
        if words:
            for word in words:
                if word != cell["value"]:
                    yield _with(table, place, f"{cell['value']} -> {word}", word)
        else:
            taken = {cell["value"]}
            following = cells[(place + 1) % len(cells)]["value"]
            for what, value in (*_slips(cell["value"]), ("the next row's", following)):
                if value not in taken:
                    taken.add(value)
                    yield _with(table, place, f"{cell['value']} -> {value} ({what})", value)
        yield Mutant(
            "cell", table["id"], "left out", {**table, "cells": cells[:place] + cells[place + 1 :]}, keys, len(cells)
        )


def _with(table: dict[str, Any], place: int, what: str, value: str) -> Mutant:
    cells = list(table["cells"])
    cells[place] = {**cells[place], "value": value}
    return Mutant("cell", table["id"], what, {**table, "cells": cells}, tuple(cells[place]["keys"]), len(cells))


_ORDER = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}
_WEIGHTS = {"law": "advice", "standard": "advice", "practice": "advice", "advice": "practice"}


def _rule(rule: dict[str, Any]) -> Iterator[Mutant]:
    for part in ("applies", "requires"):
        for what, tree in _trees(rule[part]):
            yield Mutant("rule", rule["id"], f"{part}: {what}", {**rule, part: tree})
    weight = rule["weight"]
    yield Mutant("rule", rule["id"], f"weight {weight} -> {_WEIGHTS[weight]}", {**rule, "weight": _WEIGHTS[weight]})


def _trees(tree: list) -> Iterator[tuple[str, list]]:
    """An expression with one slip anywhere in it."""
    head = tree[0]
    if head in _ORDER:
        yield f"{head} -> {_ORDER[head]}", [_ORDER[head], *tree[1:]]
        yield f"{head} turned round", [head, tree[2], tree[1]]
    elif head in ("==", "!="):
        yield f"{head} turned over", ["!=" if head == "==" else "==", *tree[1:]]
    elif head in ("and", "or"):
        yield f"{head} -> {'or' if head == 'and' else 'and'}", ["or" if head == "and" else "and", *tree[1:]]
        for place in range(1, len(tree)):
            rest = tree[1:place] + tree[place + 1 :]
            yield f"clause {place} of {head} dropped", [head, *rest] if len(rest) > 1 else rest[0]
    elif head == "not":
        yield "not dropped", tree[1]
    elif head == "in":
        for member in tree[2]:
            if len(tree[2]) > 1:
                yield f"{member} dropped", ["in", tree[1], [m for m in tree[2] if m != member]]
    elif head == "truth":
        yield "always -> never", ["truth", not tree[1]]
    elif head == "number":
        for what, value in _slips(tree[1]):
            yield f"{tree[1]} -> {value} ({what})", ["number", value]
    elif head in ("name", "stated"):
        return
    if head == "in":
        return
    for place, part in enumerate(tree[1:], 1):
        if isinstance(part, list):
            for what, inner in _trees(part):
                changed = copy.copy(tree)
                changed[place] = inner
                yield what, changed

"""Which questions a rule can ever read, followed through the source of the quantities.

An upper bound is all that is needed (for "at most N more questions" and for the reference pages), so it is enough to
see which names a function and its helpers mention.
"""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from checker.core.schedule.reply import plan  # noqa: F401  (it registers what the rules of a plan name)
from checker.core.schedule.situation import PlanSituation

_HOMES = ("checker.core.quantities", "checker.core.schedule")
_QUANTITIES = PlanSituation.quantities


@cache
def mentioned(quantity: str) -> frozenset[str]:
    """Every string that the function of a quantity mentions, its helpers and constants included."""
    function = _QUANTITIES[quantity].work_out
    seen: set[tuple[str, str]] = set()
    waiting, strings = [(function.__module__, function.__name__)], set()
    while waiting:
        module, name = waiting.pop()
        module, name = helper(module, name) or (module, name)
        if (module, name) in seen or name not in tops(module):
            continue
        seen.add((module, name))
        for node in ast.walk(tops(module)[name]):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                strings.add(node.value)
            elif isinstance(node, ast.Name):
                waiting.append((module, node.id))
    return frozenset(strings)


def helper(module: str, name: str) -> tuple[str, str] | None:
    """The module and the name of the function that `module` calls `name`, be it imported from another topic."""
    found = getattr(sys.modules[module], name, None)
    if inspect.isfunction(found) and found.__module__.startswith(_HOMES) and found.__name__ in tops(found.__module__):
        return found.__module__, found.__name__
    return None


@cache
def tops(module: str) -> dict[str, ast.stmt]:
    """What a module defines at its top, by name: functions and assignments."""
    return {name: node for node in ast.parse(inspect.getsource(sys.modules[module])).body for name in _defines(node)}


def _defines(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.FunctionDef):
        return [node.name]
    if isinstance(node, ast.Assign):
        return [target.id for target in node.targets if isinstance(target, ast.Name)]
    return []


def tree_names(tree: list) -> set[str]:
    """The names an expression tree reads itself."""
    if tree[0] in ("name", "stated"):
        return {tree[1]}
    return set().union(
        *(tree_names(part) for part in tree[1:] if isinstance(part, list) and part and isinstance(part[0], str)), set()
    )


def rule_names(rule: Mapping[str, Any]) -> set[str]:
    """The names that the two expression trees of a rule read themselves."""
    return tree_names(rule["applies"]) | tree_names(rule["requires"])


def axes_of(tables: Iterable[Mapping[str, Any]]) -> dict[str, list[str]]:
    """The names of the axes of each table, by its id."""
    return {table["id"]: [axis["name"] for axis in table["axes"]] for table in tables}


def closure(names: set[str], axes: Mapping[str, Iterable[str]]) -> set[str]:
    """`names` with all that the quantities among them mention, transitively; `axes` are the axes' names by table."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        if name in _QUANTITIES:
            waiting.extend(mentioned(name))
        waiting.extend(axes.get(name, ()))
    return found

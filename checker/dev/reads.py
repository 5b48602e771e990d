"""Which questions a rule can ever read, followed through the source of the quantities.

An upper bound is all that is needed (for "at most N more questions" and for the reference pages), so it is enough to
see which names a function and its helpers mention.
"""

from __future__ import annotations

import ast
import inspect
import sys
from functools import cache

from ..core.quantities import QUANTITIES


@cache
def mentioned(quantity: str) -> frozenset[str]:
    """Every string that the function of a quantity mentions, its helpers and constants in the same module included."""
    function = QUANTITIES[quantity].work_out
    module = sys.modules[function.__module__]
    tops = {name: node for node in ast.parse(inspect.getsource(module)).body for name in _defines(node)}
    seen: set[str] = set()
    waiting, strings = [function.__name__], set()
    while waiting:
        name = waiting.pop()
        if name in seen or name not in tops:
            continue
        seen.add(name)
        for node in ast.walk(tops[name]):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                strings.add(node.value)
            elif isinstance(node, ast.Name):
                waiting.append(node.id)
    return frozenset(strings)


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


def closure(names: set[str]) -> set[str]:
    """`names` with all that the quantities among them mention, transitively."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        if name in QUANTITIES:
            waiting.extend(mentioned(name))
    return found

"""The source of the quantities, followed with some answers given: what they may mention then.

Where `reads` takes down all that stands there, a branch that the answers rule out is left aside here, and what comes
behind the read of a value that stays unknown.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from itertools import pairwise
from typing import Any

from .reach_given import UNKNOWN, Given
from .reads import helper, tops


class Walk:
    """One walk through the source of functions: `strings` holds what they may mention, given some answers."""

    def __init__(self, given: Given) -> None:
        self.given = given
        self.strings: set[str] = set()
        self._seen: set[tuple] = set()
        self._left = False  # whether the statement at hand reads, without condition, what stays unknown
        self._maybe = 0  # how many conditions stand around it

    @contextmanager
    def _perhaps(self) -> Iterator[None]:
        """What is walked meanwhile may never run."""
        self._maybe += 1
        yield
        self._maybe -= 1

    def function(self, module: str, name: str, given: dict[str, str]) -> None:
        """Walks through a function whose arguments `given` are known for certain."""
        key = (module, name, tuple(sorted(given.items())))
        if key in self._seen:
            return
        self._seen.add(key)
        before = self._left, self._maybe
        self._left, self._maybe = False, 0
        self.block(_function(module, name).body, dict(given), module)
        self._left, self._maybe = before

    def block(self, body: list[ast.stmt], env: dict[str, Any], module: str) -> bool:
        """Whether every way through `body` leaves the function."""
        for node in body:
            self._left = False
            if self.statement(node, env, module) or self._left:
                self._left = False
                return True
        return False

    def statement(self, node: ast.stmt, env: dict[str, Any], module: str) -> bool:
        if isinstance(node, ast.If):
            self.visit(node.test, env, module)
            if self._left:
                return True
            test = self.value(node.test, env, module)
            if test is not UNKNOWN:
                return self.block(node.body if test else node.orelse, env, module)
            ends = [self.block(part, dict(env), module) for part in (node.body, node.orelse)]
            _forget(node, env)
            return all(ends) and bool(node.orelse)
        if isinstance(node, (ast.For, ast.Try, ast.With, ast.While)):
            _forget(node, env)
            with self._perhaps():
                for child in ast.iter_child_nodes(node):
                    if isinstance(child, ast.stmt):
                        self.statement(child, dict(env), module)
                    elif isinstance(child, ast.ExceptHandler):
                        self.block(child.body, dict(env), module)
                    else:
                        self.visit(child, env, module)
            self._left = False
            return False
        for child in ast.iter_child_nodes(node):
            self.visit(child, env, module)
        if isinstance(node, ast.Assign):
            self.assign(node, env, module)
        elif not isinstance(node, (ast.Return, ast.Raise, ast.Expr)):
            _forget(node, env)
        return isinstance(node, (ast.Return, ast.Raise))

    def assign(self, node: ast.Assign, env: dict[str, Any], module: str) -> None:
        (target,) = node.targets
        _forget(node, env)
        if isinstance(target, ast.Name):
            env[target.id] = self.value(node.value, env, module)
        elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Call) and _called(node.value) == "read.all":
            for part, name in zip(target.elts, node.value.args, strict=False):
                if not isinstance(part, ast.Name):
                    break
                env[part.id] = self.given.value(self.value(name, env, module))

    def visit(self, node: ast.AST, env: dict[str, Any], module: str) -> None:
        """Takes down every text that `node` may come to mention."""
        if isinstance(node, ast.IfExp):
            self.visit(node.test, env, module)
            test = self.value(node.test, env, module)
            with self._perhaps():
                for part, taken in ((node.body, True), (node.orelse, False)):
                    if test is UNKNOWN or bool(test) is taken:
                        self.visit(part, env, module)
        elif isinstance(node, ast.BoolOp):
            self.visit(node.values[0], env, module)
            with self._perhaps():
                for before, part in pairwise(node.values):
                    value = self.value(before, env, module)
                    if value is not UNKNOWN and bool(value) is isinstance(node.op, ast.Or):
                        break
                    self.visit(part, env, module)
        elif isinstance(node, ast.Constant):
            if isinstance(node.value, str):
                self.strings.add(node.value)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and (found := helper(module, node.func.id)):
            for argument in (*node.args, *node.keywords):
                self.visit(argument, env, module)
            home, name = found
            names = [argument.arg for argument in _function(home, name).args.args]
            given = {key: self.value(part, env, module) for key, part in zip(names, node.args, strict=False)}
            self.function(home, name, {key: value for key, value in given.items() if isinstance(value, str)})
        elif isinstance(node, ast.Name):
            if node.id in env and env[node.id] is not UNKNOWN:
                if isinstance(env[node.id], str):
                    self.strings.add(env[node.id])
            elif found := helper(module, node.id):
                self.function(*found, {})
            elif isinstance(top := tops(module).get(node.id), ast.Assign) and node.id not in env:
                self.visit(top.value, {}, module)
        elif isinstance(node, ast.Lambda):
            with self._perhaps():
                self.visit(node.body, env, module)
        else:
            for child in ast.iter_child_nodes(node):
                self.visit(child, env, module)
            if isinstance(node, ast.Call) and _called(node) in ("read", "read.all") and not self._maybe:
                self._left = self._left or any(self.given.never(self.value(a, env, module)) for a in node.args)

    def value(self, node: ast.AST, env: dict[str, Any], module: str) -> Any:
        """What `node` is for certain, or `UNKNOWN`."""
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            if node.id in env:
                return env[node.id]
            held = getattr(sys.modules[module], node.id, UNKNOWN) if node.id in tops(module) else UNKNOWN
            return held if isinstance(held, (str, tuple, dict, Decimal)) else UNKNOWN
        if isinstance(node, ast.Call) and _called(node) in ("read", "read.has") and len(node.args) == 1:
            name = self.value(node.args[0], env, module)
            return self.given.value(name) if _called(node) == "read" else self.given.has(name)
        if isinstance(node, ast.IfExp):
            test = self.value(node.test, env, module)
            return UNKNOWN if test is UNKNOWN else self.value(node.body if test else node.orelse, env, module)
        if isinstance(node, ast.Subscript):
            held, key = self.value(node.value, env, module), self.value(node.slice, env, module)
            return held.get(key, UNKNOWN) if isinstance(held, dict) and key is not UNKNOWN else UNKNOWN
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            inner = self.value(node.operand, env, module)
            return UNKNOWN if inner is UNKNOWN else not inner
        if isinstance(node, ast.BoolOp):
            parts = [self.value(part, env, module) for part in node.values]
            decisive = isinstance(node.op, ast.Or)
            if any(part is not UNKNOWN and bool(part) is decisive for part in parts):
                return decisive
            return UNKNOWN if UNKNOWN in parts else not decisive
        if isinstance(node, ast.Tuple):
            parts = [self.value(p.value if isinstance(p, ast.Starred) else p, env, module) for p in node.elts]
            if UNKNOWN in parts:
                return UNKNOWN
            each = zip(node.elts, parts, strict=True)
            return tuple(x for p, v in each for x in (v if isinstance(p, ast.Starred) else (v,)))
        if isinstance(node, ast.Compare) and len(node.ops) == 1:
            left, right = self.value(node.left, env, module), self.value(node.comparators[0], env, module)
            if left is UNKNOWN or right is UNKNOWN:
                return UNKNOWN
            return _COMPARE[type(node.ops[0])](left, right) if type(node.ops[0]) in _COMPARE else UNKNOWN
        return UNKNOWN


_COMPARE = {
    ast.Eq: lambda a, b: a == b,
    ast.NotEq: lambda a, b: a != b,
    ast.In: lambda a, b: a in b,
    ast.NotIn: lambda a, b: a not in b,
}


def _function(module: str, name: str) -> ast.FunctionDef:
    node = tops(module)[name]
    assert isinstance(node, ast.FunctionDef), f"{module}.{name} is no function"
    return node


def _called(node: ast.AST) -> str:
    return ast.unparse(node.func) if isinstance(node, ast.Call) else ""


def _forget(node: ast.AST, env: dict[str, Any]) -> None:
    """What `node` assigns is not known after it."""
    for name in ast.walk(node):
        if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store):
            env[name.id] = UNKNOWN

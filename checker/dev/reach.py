"""Which questions a rule can read once the kind of load and the kind of device are known.

`reads` follows every name that a quantity's source mentions. Here the same source is followed with some answers known:
a branch that they rule out is left aside. The bound on the questions still to come is made from it, so it may mention
too much, never too little.
"""

from __future__ import annotations

import ast
import inspect
import itertools
import sys
from collections.abc import Iterable, Mapping
from decimal import Decimal, localcontext
from typing import Any

from ..core.errors import PackFault
from ..core.expressions import compile_tree
from ..core.pack import Pack
from ..core.quantities import QUANTITIES
from ..core.situation import DONT_KNOW, Situation
from ..core.values import CONTEXT, Reason, Unknown, Value
from .reads import _HOMES, _tops, tree_names

UNKNOWN = object()
# How many questions are told apart, those first that most rules read.
HUBS = 2


def add_reach(content: dict[str, Any]) -> None:
    """Puts `hubs` into a pack's content and `reach` into its rules: for every mix of hub answers a mask of questions.

    The mixes go through the hubs' choices in order, the last hub fastest; the last place of each hub stands for an
    answer that is not known. Bit n of a mask is question n of the pack.
    """
    hubs = _hubs(content)
    content["hubs"] = [hub["id"] for hub in hubs]
    pack = Pack(content, "")
    places = {question["id"]: 1 << place for place, question in enumerate(content["questions"])}
    axes = {table["id"]: [axis["name"] for axis in table["axes"]] for table in content["tables"]}
    masks: dict[str, list[str]] = {rule["id"]: [] for rule in content["rules"]}
    for mix in itertools.product(*([*(choice["value"] for choice in hub["choices"]), None] for hub in hubs)):
        known = {hub["id"]: value or DONT_KNOW for hub, value in zip(hubs, mix, strict=True)}
        followed = _Followed(pack, known, axes)
        for rule in content["rules"]:
            names = followed.rule(rule["applies"], rule["requires"])
            masks[rule["id"]].append(format(sum(places[name] for name in names if name in places), "x"))
    for rule in content["rules"]:
        distinct = list(dict.fromkeys(masks[rule["id"]]))
        rule["reach"] = {"masks": distinct, "of": [distinct.index(mask) for mask in masks[rule["id"]]]}


def _hubs(content: dict[str, Any]) -> list[dict]:
    read = {q["id"]: sum(q["id"] in rule["reads"] for rule in content["rules"]) for q in content["questions"]}
    choices = [q for q in content["questions"] if q["kind"] == "choice" and "default" not in q]
    return sorted(choices, key=lambda q: -read[q["id"]])[:HUBS]


class _Followed:
    """The source of rules and quantities, followed with `known` answers and nothing else."""

    def __init__(self, pack: Pack, known: dict[str, str], axes: Mapping[str, Iterable[str]]) -> None:
        # What the pack assumes may be answered otherwise, so it counts as not known.
        assumed: dict[str, Value] = {
            name: DONT_KNOW for name, question in pack.questions.items() if "default" in question
        }
        self.pack, self.axes = pack, axes
        self.case = Situation(pack, assumed | known)
        self._doubts = {Reason(DONT_KNOW, name) for name, value in known.items() if value == DONT_KNOW}
        self._names: dict[str, frozenset[str]] = {}

    def value(self, name: str) -> Any:
        value = self._known(name)
        return UNKNOWN if value is None or isinstance(value, Unknown) else value

    def _known(self, name: Any) -> Any:
        if not isinstance(name, str) or not (
            name in self.pack.questions or name in self.pack.parameters or name in QUANTITIES
        ):
            return None
        try:
            with localcontext(CONTEXT):
                return self.case.known(name).value
        except (KeyError, PackFault):
            return None  # the lint says what is missing; the bound only gets wider

    def never(self, name: Any) -> bool:
        """Whether `name` stays unknown whatever else is answered, because nobody knows a hub: reading it ends there."""
        value = self._known(name)
        return isinstance(value, Unknown) and bool(value.reasons) and self._doubts.issuperset(value.reasons)

    def rule(self, applies: list, requires: list) -> set[str]:
        if _decided(applies, self.case) is False:
            return set()
        found: set[str] = set()
        waiting = [*self._of_tree(applies), *self._of_tree(requires)]
        while waiting:
            name = waiting.pop()
            if name in found:
                continue
            found.add(name)
            if name in QUANTITIES and self.value(name) is UNKNOWN:
                waiting.extend(self._mentioned(name))
            waiting.extend(self.axes.get(name, ()))
        return found

    def _of_tree(self, tree: list) -> set[str]:
        if tree[0] not in ("and", "or"):
            return tree_names(tree)
        names: set[str] = set()
        for part in tree[1:]:
            names |= self._of_tree(part)
            if _decided(part, self.case) is (tree[0] == "or"):
                break
        return names

    def _mentioned(self, quantity: str) -> frozenset[str]:
        if quantity not in self._names:
            function = QUANTITIES[quantity].work_out
            walk = _Walk(self)
            walk.function(function.__module__, function.__name__, {})
            self._names[quantity] = frozenset(walk.strings)
        return self._names[quantity]


def _decided(tree: list, case: Situation) -> Any:
    try:
        with localcontext(CONTEXT):
            value = compile_tree(tree)(case.reader(case))
    except (KeyError, PackFault):
        return UNKNOWN
    return UNKNOWN if isinstance(value, Unknown) else value


class _Walk:
    """One walk through the source of a quantity: what it may mention."""

    def __init__(self, followed: _Followed) -> None:
        self.followed = followed
        self.strings: set[str] = set()
        self._seen: set[tuple] = set()
        self._left = False  # whether the statement at hand reads, without condition, what stays unknown
        self._maybe = 0

    def function(self, module: str, name: str, given: dict[str, Any]) -> None:
        key = (module, name, tuple(sorted((k, v) for k, v in given.items() if isinstance(v, str))))
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
            self._maybe += 1
            for child in ast.iter_child_nodes(node):
                if isinstance(child, ast.stmt):
                    self.statement(child, dict(env), module)
                elif isinstance(child, ast.ExceptHandler):
                    self.block(child.body, dict(env), module)
                else:
                    self.visit(child, env, module)
            self._maybe -= 1
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
                env[part.id] = self.read(self.value(name, env, module))

    def read(self, name: Any) -> Any:
        return self.followed.value(name) if isinstance(name, str) else UNKNOWN

    def visit(self, node: ast.AST, env: dict[str, Any], module: str) -> None:
        """Takes down every text that `node` may come to mention."""
        if isinstance(node, ast.IfExp):
            self.visit(node.test, env, module)
            test = self.value(node.test, env, module)
            self._maybe += 1
            for part, taken in ((node.body, True), (node.orelse, False)):
                if test is UNKNOWN or bool(test) is taken:
                    self.visit(part, env, module)
            self._maybe -= 1
        elif isinstance(node, ast.BoolOp):
            self.visit(node.values[0], env, module)
            self._maybe += 1
            for before, part in itertools.pairwise(node.values):
                value = self.value(before, env, module)
                if value is not UNKNOWN and bool(value) is isinstance(node.op, ast.Or):
                    break
                self.visit(part, env, module)
            self._maybe -= 1
        elif isinstance(node, ast.Constant):
            if isinstance(node.value, str):
                self.strings.add(node.value)
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and (helper := self.helper(node.func.id, module))
        ):
            for argument in (*node.args, *node.keywords):
                self.visit(argument, env, module)
            home, name = helper
            names = [argument.arg for argument in _function(home, name).args.args]
            given = {key: self.value(part, env, module) for key, part in zip(names, node.args, strict=False)}
            self.function(home, name, {key: value for key, value in given.items() if value is not UNKNOWN})
        elif isinstance(node, ast.Name):
            if node.id in env and env[node.id] is not UNKNOWN:
                if isinstance(env[node.id], str):
                    self.strings.add(env[node.id])
            elif found := self.helper(node.id, module):
                self.function(*found, {})
            elif isinstance(top := _tops(module).get(node.id), ast.Assign) and node.id not in env:
                self.visit(top.value, {}, module)
        elif isinstance(node, ast.Lambda):
            self._maybe += 1
            self.visit(node.body, env, module)
            self._maybe -= 1
        else:
            for child in ast.iter_child_nodes(node):
                self.visit(child, env, module)
            if isinstance(node, ast.Call) and _called(node) in ("read", "read.all") and not self._maybe:
                self._left = self._left or any(self.followed.never(self.value(a, env, module)) for a in node.args)

    @staticmethod
    def helper(name: str, module: str) -> tuple[str, str] | None:
        found = getattr(sys.modules[module], name, None)
        if (
            inspect.isfunction(found)
            and found.__module__.startswith(_HOMES)
            and found.__name__ in _tops(found.__module__)
        ):
            return found.__module__, found.__name__
        return None

    def value(self, node: ast.AST, env: dict[str, Any], module: str) -> Any:
        """What `node` is for certain, or `UNKNOWN`."""
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            if node.id in env:
                return env[node.id]
            held = getattr(sys.modules[module], node.id, UNKNOWN) if node.id in _tops(module) else UNKNOWN
            return held if isinstance(held, (str, tuple, dict, Decimal)) else UNKNOWN
        if isinstance(node, ast.Call) and _called(node) in ("read", "read.has") and len(node.args) == 1:
            name = self.value(node.args[0], env, module)
            if _called(node) == "read":
                return self.read(name)
            case = self.followed.case
            return case.reader(case).has(name) if isinstance(name, str) else UNKNOWN
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
    node = _tops(module)[name]
    assert isinstance(node, ast.FunctionDef), f"{module}.{name} is no function"
    return node


def _called(node: ast.AST) -> str:
    return ast.unparse(node.func) if isinstance(node, ast.Call) else ""


def _forget(node: ast.AST, env: dict[str, Any]) -> None:
    """What `node` assigns is not known after it."""
    for name in ast.walk(node):
        if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store):
            env[name.id] = UNKNOWN

"""Rule expressions: compiled trees to closures, with three-valued logic.

The build (`checker.dev.rulebook.expressions`) parses the text of a rule, checks names, types and units, and stores a tree of
JSON lists. Here each tree becomes one closure over a `Reader` (see `situation`). What every operator does, with known
and unknown operands, is the table `checker/dev/rulebook/expressions.toml`.
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from checker.core.errors import PackFault
from checker.core.values import NotKnown, Unknown, Value, merged

Closure = Callable[[Any], Value]

_ARITHMETIC = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
ORDER = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
_EQUALITY = {"==": operator.eq, "!=": operator.ne}


def compile_tree(tree: list) -> Closure:
    """The closure of an expression tree. Raises `PackFault` for a tree the build could not have made."""
    head = tree[0]
    if head == "name":
        name = tree[1]
        return lambda read: read.value(name)
    if head == "stated":
        name = tree[1]
        return lambda read: read.stated(name)
    if head == "number":
        number = Decimal(tree[1])
        return lambda read: number
    if head in ("text", "truth"):
        constant = tree[1]
        return lambda read: constant
    if head in _ARITHMETIC:
        return _arithmetic(_ARITHMETIC[head], head == "/", compile_tree(tree[1]), compile_tree(tree[2]))
    if head in ORDER:
        return _ordered(head, compile_tree(tree[1]), compile_tree(tree[2]))
    if head in _EQUALITY:
        return _known_pair(_EQUALITY[head], compile_tree(tree[1]), compile_tree(tree[2]))
    if head == "in":
        members = frozenset(tree[2])
        item = compile_tree(tree[1])
        return lambda read: value if isinstance(value := item(read), Unknown) else value in members
    if head in ("and", "or"):
        return _joined(head == "or", [compile_tree(part) for part in tree[1:]])
    if head == "not":
        inner = compile_tree(tree[1])
        return lambda read: value if isinstance(value := inner(read), Unknown) else not value
    if head == "if":
        return _choice(*(compile_tree(part) for part in tree[1:]))
    if head in ("min", "max"):
        return _extreme(min if head == "min" else max, [compile_tree(part) for part in tree[1:]])
    raise PackFault(f"unknown expression node {head!r}")


def _known_pair(function: Callable, left: Closure, right: Closure) -> Closure:
    def run(read: Any) -> Value:
        a, b = left(read), right(read)
        if a.__class__ is Unknown or b.__class__ is Unknown:
            return merged(a, b)
        try:
            return function(a, b)
        except NotKnown as between:  # the bounds of a span leave it open
            return between.unknown

    return run


def _arithmetic(function: Callable, divides: bool, left: Closure, right: Closure) -> Closure:
    pair = _known_pair(function, left, right)
    if not divides:
        return pair

    def run(read: Any) -> Value:
        b = right(read)
        if b.__class__ is Decimal and b == 0:  # a span that may be zero is left open by the division itself
            raise PackFault("a rule divides by zero: its question must exclude zero")
        return pair(read)

    return run


def _ordered(symbol: str, left: Closure, right: Closure) -> Closure:
    """`<` and its kin. An unknown with a lower bound decides what the bound alone decides."""
    function = ORDER[symbol]
    smaller_first = symbol in ("<", "<=")

    def run(read: Any) -> Value:
        a, b = left(read), right(read)
        if a.__class__ is Decimal and b.__class__ is Decimal:
            return function(a, b)
        try:
            if not isinstance(a, Unknown) and not isinstance(b, Unknown):
                return function(a, b)
            small, large = (a, b) if smaller_first else (b, a)
            # known <= something that is at least L: holds when known <= L, whatever the something is.
            if not isinstance(small, Unknown) and isinstance(large, Unknown) and large.at_least is not None:
                bound = (small, large.at_least) if smaller_first else (large.at_least, small)
                if function(*bound):
                    return True
            # something that is at least L <= known: fails when L is already beyond it.
            if isinstance(small, Unknown) and small.at_least is not None and not isinstance(large, Unknown):
                bound = (small.at_least, large) if smaller_first else (large, small.at_least)
                if not function(*bound):
                    return False
        except NotKnown as between:  # the bounds of a span leave it open
            return between.unknown
        return merged(a, b)

    return run


def _joined(decisive: bool, parts: list[Closure]) -> Closure:
    """Kleene `or` (decisive True) and `and` (decisive False), left to right, stopping at the first decisive part."""

    def run(read: Any) -> Value:
        unknown = []
        for part in parts:
            value = part(read)
            if value is decisive:
                return decisive
            if value.__class__ is Unknown:
                unknown.append(value)
        return merged(*unknown) if unknown else not decisive

    return run


def _choice(then: Closure, condition: Closure, otherwise: Closure) -> Closure:
    def run(read: Any) -> Value:
        which = condition(read)
        if isinstance(which, Unknown):
            a, b = then(read), otherwise(read)
            try:
                same = not isinstance(a, Unknown) and not isinstance(b, Unknown) and a == b
            except NotKnown as between:  # the bounds of a span leave it open
                return merged(which, between.unknown)
            return a if same else merged(which, a, b)
        return then(read) if which else otherwise(read)

    return run


def _extreme(function: Callable, parts: list[Closure]) -> Closure:
    def run(read: Any) -> Value:
        values = [part(read) for part in parts]
        if any(isinstance(v, Unknown) for v in values):
            return merged(*values)
        try:
            return function(values)
        except NotKnown as between:  # the bounds of a span leave it open
            return between.unknown

    return run

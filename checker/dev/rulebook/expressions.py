"""From the text of an expression to the tree the core runs: Python's own syntax, a closed part of it, typed.

Whatever is not on the list below is refused here, at build time, with the place in the text: the core never parses.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from decimal import Decimal

from checker.dev.rulebook import units

MOST_CHARACTERS = 400
_COMPARE = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!="}
_ARITHMETIC = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}


@dataclass(frozen=True)
class Number:
    unit: units.Unit = units.ONE
    # Zero is zero in every unit, so a bare 0 may be compared with anything.
    zero: bool = False

    def __str__(self) -> str:
        return f"a number in {units.name_of(self.unit)}"


@dataclass(frozen=True)
class Choice:
    values: tuple[str, ...]

    def __str__(self) -> str:
        return f"one of {', '.join(self.values)}"


@dataclass(frozen=True)
class Text:
    value: str

    def __str__(self) -> str:
        return f"the text {self.value!r}"


@dataclass(frozen=True)
class Truth:
    def __str__(self) -> str:
        return "yes or no"


Type = Number | Choice | Text | Truth


class ExpressionFault(ValueError):
    """What is wrong with an expression, in words."""


@dataclass(frozen=True)
class Names:
    """The names an expression may use: their types, and those that a label may leave out (for `stated`)."""

    types: dict[str, Type]
    optional: frozenset[str]


def parse(text: str, names: Names) -> tuple[list, Type]:
    """The tree and the type of an expression. Raises `ExpressionFault`."""
    if len(text) > MOST_CHARACTERS:
        raise ExpressionFault(f"longer than {MOST_CHARACTERS} characters: split the rule")
    try:
        return _Parser(names).visit(ast.parse(text, mode="eval").body)
    except ExpressionFault:
        raise
    except RecursionError:
        raise ExpressionFault("nested too deeply: split the rule") from None
    except (SyntaxError, ValueError, MemoryError) as bad:
        raise ExpressionFault(f"not an expression: {bad}") from None


def parse_truth(text: str, names: Names) -> list:
    """The tree of an expression that must be true or false."""
    tree, kind = parse(text, names)
    if not isinstance(kind, Truth):
        raise ExpressionFault(f"gives {kind}, not yes or no")
    return tree


class _Parser:
    def __init__(self, names: Names) -> None:
        self.names = names

    def visit(self, node: ast.AST) -> tuple[list, Type]:
        method = getattr(self, type(node).__name__.lower(), None)
        if method is None:
            raise ExpressionFault(f"{ast.unparse(node)!r} is not part of the rule language")
        return method(node)

    def truth(self, node: ast.AST) -> list:
        tree, kind = self.visit(node)
        if not isinstance(kind, Truth):
            raise ExpressionFault(f"{ast.unparse(node)!r} is {kind}, where yes or no is needed")
        return tree

    def name(self, node: ast.Name) -> tuple[list, Type]:
        kind = self.names.types.get(node.id)
        if kind is None:
            raise ExpressionFault(f"there is no question, parameter or quantity {node.id!r}")
        return ["name", node.id], kind

    def constant(self, node: ast.Constant) -> tuple[list, Type]:
        if isinstance(node.value, bool):
            return ["truth", node.value], Truth()
        if isinstance(node.value, str):
            return ["text", node.value], Text(node.value)
        if isinstance(node.value, int) and node.value in (0, 1):
            return ["number", str(Decimal(node.value))], Number(zero=node.value == 0)
        raise ExpressionFault(f"the figure {node.value!r} needs a name and a source: make it a parameter")

    def boolop(self, node: ast.BoolOp) -> tuple[list, Type]:
        return ["and" if isinstance(node.op, ast.And) else "or", *map(self.truth, node.values)], Truth()

    def unaryop(self, node: ast.UnaryOp) -> tuple[list, Type]:
        if isinstance(node.op, ast.Not):
            return ["not", self.truth(node.operand)], Truth()
        raise ExpressionFault(f"{ast.unparse(node)!r} is not part of the rule language")

    def ifexp(self, node: ast.IfExp) -> tuple[list, Type]:
        (then, a), (otherwise, b) = self.visit(node.body), self.visit(node.orelse)
        if a != b:
            raise ExpressionFault(f"{ast.unparse(node)!r} gives {a} or {b}: both sides must be of one kind")
        return ["if", then, self.truth(node.test), otherwise], a

    def binop(self, node: ast.BinOp) -> tuple[list, Type]:
        symbol = _ARITHMETIC.get(type(node.op))
        if symbol is None:
            raise ExpressionFault(f"the operator in {ast.unparse(node)!r} is not part of the rule language")
        (left, a), (right, b) = self.visit(node.left), self.visit(node.right)
        if not isinstance(a, Number) or not isinstance(b, Number):
            raise ExpressionFault(f"{ast.unparse(node)!r} computes with {a} and {b}")
        if symbol in "+-":
            self._same(node, a, b)
            return [symbol, left, right], Number(b.unit if a.zero else a.unit)
        return [symbol, left, right], Number(units.combine(a.unit, b.unit, 1 if symbol == "*" else -1))

    def call(self, node: ast.Call) -> tuple[list, Type]:
        function = node.func.id if isinstance(node.func, ast.Name) else ""
        if node.keywords or function not in ("min", "max", "stated"):
            raise ExpressionFault(f"{ast.unparse(node)!r}: only min(..), max(..) and stated(..) can be called")
        if function == "stated":
            if (
                len(node.args) != 1
                or not isinstance(node.args[0], ast.Name)
                or node.args[0].id not in self.names.optional
            ):
                raise ExpressionFault(
                    f"{ast.unparse(node)!r}: stated() takes the name of a fact that a label may leave out"
                )
            return ["stated", node.args[0].id], Truth()
        visited = [self.visit(argument) for argument in node.args]
        parts = [(tree, kind) for tree, kind in visited if isinstance(kind, Number)]
        if len(parts) < 2 or len(parts) < len(visited):
            raise ExpressionFault(f"{ast.unparse(node)!r} needs two numbers or more")
        # A bare 0 fits any unit, so the first part that is not 0 says which unit the others have to have.
        unit = next((kind for _, kind in parts if not kind.zero), parts[0][1])
        for _, kind in parts:
            self._same(node, unit, kind)
        return [function, *(tree for tree, _ in parts)], unit

    def compare(self, node: ast.Compare) -> tuple[list, Type]:
        operands = [node.left, *node.comparators]
        links = [self._link(node, a, op, b) for a, op, b in zip(operands[:-1], node.ops, operands[1:], strict=True)]
        return (links[0] if len(links) == 1 else ["and", *links]), Truth()

    def _link(self, node: ast.Compare, left: ast.AST, op: ast.cmpop, right: ast.AST) -> list:
        tree, kind = self.visit(left)
        if isinstance(op, (ast.In, ast.NotIn)):
            if not isinstance(right, ast.Tuple) or not right.elts or not isinstance(kind, Choice):
                raise ExpressionFault(
                    f"{ast.unparse(node)!r}: `in` takes a choice and a list of its values in brackets"
                )
            members = [self._member(node, kind, element) for element in right.elts]
            inside = ["in", tree, members]
            return inside if isinstance(op, ast.In) else ["not", inside]
        symbol = _COMPARE.get(type(op))
        if symbol is None:
            raise ExpressionFault(f"the comparison in {ast.unparse(node)!r} is not part of the rule language")
        other, other_kind = self.visit(right)
        if isinstance(kind, Number) and isinstance(other_kind, Number):
            self._same(node, kind, other_kind)
        elif symbol in ("==", "!=") and isinstance(kind, Choice) and isinstance(other_kind, Text):
            self._member(node, kind, right)
        elif not (symbol in ("==", "!=") and isinstance(kind, Truth) and isinstance(other_kind, Truth)):
            raise ExpressionFault(f"{ast.unparse(node)!r} compares {kind} with {other_kind}")
        return [symbol, tree, other]

    def _member(self, node: ast.AST, kind: Choice, element: ast.AST) -> str:
        value = element.value if isinstance(element, ast.Constant) else None
        if value not in kind.values:
            raise ExpressionFault(f"{ast.unparse(node)!r}: {ast.unparse(element)} is not {kind}")
        return value

    def _same(self, node: ast.AST, a: Number, b: Number) -> None:
        if a.unit != b.unit and not a.zero and not b.zero:
            raise ExpressionFault(f"{ast.unparse(node)!r} puts {units.name_of(a.unit)} against {units.name_of(b.unit)}")


def comparisons(tree: list, kind_of) -> list[dict]:
    """The numeric comparisons of a requirement that have to hold (under `not` or against a bare 0 they explain nothing)."""
    if tree[0] in ("and", "or"):
        return [found for part in tree[1:] for found in comparisons(part, kind_of)]
    if tree[0] in ("<", "<=", ">", ">=") and "number" not in (tree[1][0], tree[2][0]):
        unit = kind_of(tree[1]) or kind_of(tree[2]) or "1"
        return [
            {
                "symbol": tree[0],
                "left": tree[1],
                "right": tree[2],
                "left_name": words(tree[1]),
                "right_name": words(tree[2]),
                "unit": unit,
            }
        ]
    return []


def words(tree: list) -> str:
    """A tree as text again, for the report: a bare name stays the name."""
    if tree[0] in ("name", "text", "number"):
        return str(tree[1])
    if tree[0] == "stated":
        return f"stated({tree[1]})"
    if tree[0] in ("min", "max"):
        return f"{tree[0]}({', '.join(words(part) for part in tree[1:])})"
    return f" {tree[0]} ".join(words(part) for part in tree[1:] if isinstance(part, list))

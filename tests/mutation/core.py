"""`python -m tests.mutation.core`: one slip at a time in the code that reaches a verdict, and whether a test notices.

Each mutant runs in a process of its own, in which the code of one function is replaced: first the cases with a known
result, then the tests of the core. What is only told to programmers (`__repr__`, the text of an exception) is left out.
"""

from __future__ import annotations

import ast
import copy
import importlib
import os
import resource
import sys
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import pytest

from checker.core import pack as packs
from tests.core import asking
from tests.mutation.killers import probes, run

MODULES = ("verdict", "findings", "values", "expressions")
# From quick to slow: most mistakes are noticed by the first. Of the last only what looks at the modules above.
TESTS = (
    "tests/core/test_expressions.py", "tests/core/test_own_fault.py", "tests/core/test_verdict.py",
    "tests/core/test_figures_shown.py", "tests/core/test_spans.py", "tests/core/test_exactness.py",
    "tests/core/test_changes.py", "tests/packs/test_gate.py",
)  # fmt: skip
# They judge every case of every pack many times over, which takes minutes.
LEFT_OUT = "not lowering_any_status and not a_case_does_not_use"
_COMPARE = {
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.In: ast.NotIn,
    ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
QUICK = len(TESTS)
_TOLD = ("__repr__",)
LONGEST = 400  # seconds of computing; all tests take a third of it


def slips(function: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """(what, the function with that slip), one slip each."""
    nodes = list(ast.walk(function))
    for place, node in enumerate(nodes):
        for what, change in _changes(node):
            changed = copy.deepcopy(function)
            change(list(ast.walk(changed))[place])
            yield f"line {getattr(node, 'lineno', '?')}: {what}", ast.fix_missing_locations(changed)


def _changes(node: ast.AST) -> Iterator[tuple]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in _COMPARE:
        other = _COMPARE[type(node.ops[0])]
        yield f"{type(node.ops[0]).__name__} -> {other.__name__}", lambda n: n.ops.__setitem__(0, other())
    if isinstance(node, ast.BoolOp):
        swapped = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield f"{type(node.op).__name__} -> {swapped.__name__}", lambda n: setattr(n, "op", swapped())
        for place in range(len(node.values)):
            yield (
                f"operand {place + 1} dropped",
                lambda n, place=place: (n.values.pop(place), len(n.values) == 1 and n.values.append(n.values[0])),
            )
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield (
            "not dropped",
            lambda n: (setattr(n, "op", ast.Not()), setattr(n, "operand", ast.UnaryOp(ast.Not(), n.operand))),
        )
    if isinstance(node, ast.If | ast.IfExp):
        yield "condition turned over", lambda n: setattr(n, "test", ast.UnaryOp(ast.Not(), n.test))
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield f"{node.value} turned over", lambda n: setattr(n, "value", not n.value)
    if isinstance(node, ast.Constant) and type(node.value) is int:
        yield f"{node.value} -> {node.value + 1}", lambda n: setattr(n, "value", n.value + 1)
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value and " " not in node.value:
        yield f"{node.value!r} misspelt", lambda n: setattr(n, "value", f"{n.value}x")
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        other = ast.Sub if isinstance(node.op, ast.Add) else ast.Add
        yield f"{type(node.op).__name__} -> {other.__name__}", lambda n: setattr(n, "op", other())
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield "minus dropped", lambda n: setattr(n, "op", ast.UAdd())
    if isinstance(node, ast.Return) and getattr(node.value, "value", node.value) is not None:
        yield "returns nothing", lambda n: setattr(n, "value", ast.Constant(None))


def functions(module: ModuleType) -> Iterator[tuple[str, FunctionType, ast.FunctionDef]]:
    """Every function and method, by its qualified name."""
    tree = ast.parse(Path(module.__file__ or "").read_text(encoding="utf-8"))
    for owner, body in (
        (module, tree.body),
        *((getattr(module, n.name), n.body) for n in tree.body if isinstance(n, ast.ClassDef)),
    ):
        for node in body:
            if isinstance(node, ast.FunctionDef) and node.name not in _TOLD:
                node.body = [
                    n for n in node.body if not (isinstance(n, ast.Expr) and isinstance(n.value, ast.Constant))
                ] or node.body
                held = vars(owner)[node.name]
                yield f"{module.__name__.rpartition('.')[2]}.{node.name}", getattr(held, "fget", None) or held, node


def _code(node: ast.AST, name: str) -> CodeType:
    future = ast.parse("from __future__ import annotations").body
    plain = copy.deepcopy(node)
    plain.decorator_list = []  # type: ignore[attr-defined]
    made = compile(ast.fix_missing_locations(ast.Module([*future, plain], [])), "<mutant>", "exec")
    return next(part for part in made.co_consts if isinstance(part, CodeType) and part.co_name == name)


def noticed(function: FunctionType, code: CodeType) -> bool:
    """In a child process: whether anything fails with this code. A child that hangs runs out of its computing time."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (LONGEST, LONGEST))
        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1)
        os.dup2(silent, 2)
        verdict = 1
        try:
            function.__code__ = code
            packs._loaded.clear()
            verdict = 0 if _all_hold() else 1
        finally:
            os._exit(verdict)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != 0


def _all_hold() -> bool:
    pack = next(p for p in packs.every() if p.id == "iec")
    for probe in probes(pack):
        if not probe.holds(run(probe, pack)):
            return False
    asking.contents.cache_clear()
    options = ["-q", "-x", "-p", "no:cacheprovider", "-p", "no:randomly", "-k", LEFT_OUT]
    return all(pytest.main([*options, test]) == 0 for test in TESTS[:QUICK])


def main(arguments: list[str]) -> int:
    """`--quick` asks the first five tests only; names of modules leave the others out."""
    global QUICK
    QUICK = 5 if "--quick" in arguments else len(TESTS)
    survivors, count = [], 0
    for name in [name for name in MODULES if name in arguments] or MODULES:
        module = importlib.import_module(f"checker.core.{name}")
        for label, function, node in functions(module):
            for what, changed in slips(node):
                try:
                    code = _code(changed, node.name)
                except (SyntaxError, TypeError, ValueError):
                    continue
                if len(code.co_freevars) != len(function.__code__.co_freevars):
                    continue
                count += 1
                if not noticed(function, code):
                    survivors.append(f"{label} {what}")
                    print(survivors[-1], flush=True)
        print(f"# {name} done: {count} mutants so far", flush=True)
    print(f"{count} mutants, {len(survivors)} survive")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

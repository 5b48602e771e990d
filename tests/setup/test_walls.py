"""The core is pure: the standard library alone, no clock, no file, no network, no float functions."""

from __future__ import annotations

import ast
import subprocess
import sys

import pytest


def imported(source: str) -> set[str]:
    """The top names of everything a module imports from outside its own package."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and not node.level:
            names.add(node.module.partition(".")[0])
    return names


def test_the_finder_sees_imports():
    assert imported("import a.b\nfrom c import d\nfrom . import e\ndef f():\n    import g") == {"a", "c", "g"}


@pytest.mark.parametrize("part", ["core", "packs", "terminal", "cli"])
def test_what_ships_uses_the_standard_library_alone(part, root):
    allowed = {*sys.stdlib_module_names, "checker"}
    modules = list((root / "checker" / part).rglob("*.py"))
    assert modules
    foreign = {path.name: found for path in modules if (found := imported(path.read_text("utf-8")) - allowed)}
    assert not foreign


@pytest.mark.parametrize(
    "line",
    [
        "import time",
        "import math",
        "import random",
        "from pathlib import Path",
        "import os.path",
        "import urllib.request",
        "from datetime import date\nprint(date.today())",
        "print(eval('1'))",
    ],
)
def test_ruff_refuses_in_the_core_what_a_pure_function_may_not_use(line, root):
    done = ruff(root, "checker/core/probe.py", line)
    assert done.returncode == 1
    assert any(code in done.stdout for code in ("TID251", "S307")), done.stdout


def test_ruff_lets_the_tools_use_it(root):
    assert "TID251" not in ruff(root, "checker/dev/probe.py", "import time\n\nprint(time)").stdout


def ruff(root, name: str, code: str) -> subprocess.CompletedProcess:
    source = f"from __future__ import annotations\n\n{code}\n"
    command = [sys.executable, "-m", "ruff", "check", "--no-cache", "--stdin-filename", name, "-"]
    return subprocess.run(command, input=source, cwd=root, capture_output=True, text=True, check=False)


def test_the_command_starts_without_the_build_tools(root):
    program = "import sys, checker.cli.main; print(*[m for m in sys.modules if m.startswith('checker.dev')])"
    done = subprocess.run([sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True)
    assert done.stdout.split() == []

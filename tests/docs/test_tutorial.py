"""Who follows the tutorial ends with a working rule: its files are written and its commands run, in order, in a copy."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TEXT = (ROOT / "docs" / "tutorial.md").read_text("utf-8")
STEP = re.compile(r"Write\s+`([^`]+)`:\n\n```toml\n(.+?)```|```console\n(.+?)```", re.DOTALL)
SAYS_NO = {"python -m checker.cli check": (0, 1, 2)}  # each is an answer


@pytest.fixture(scope="module")
def copy(tmp_path_factory) -> Path:
    """The source without what was built, as after a fresh checkout."""
    folder = tmp_path_factory.mktemp("tutorial")
    for name in ("checker", "rules", "scenarios", "tests"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__", "web", "browser"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


@pytest.fixture(scope="module")
def said(copy: Path) -> dict[str, str]:
    """What each command of the tutorial printed."""
    # `python` and `sed` as the reader has them; the copy comes before the project that is installed.
    env = {**os.environ, "PYTHONPATH": str(copy), "PYTHONIOENCODING": "utf-8", "COLUMNS": "200"}
    env["PATH"] = f"{Path(sys.executable).parent}{os.pathsep}{env['PATH']}"
    env.pop("PYTEST_XDIST_WORKER", None)
    printed = {}
    for name, content, commands in STEP.findall(TEXT):
        if name:
            (copy / name).write_text(content, encoding="utf-8")
        for command in re.findall(r"^\$ (.+)$", commands, re.MULTILINE):
            done = subprocess.run(["bash", "-c", command], cwd=copy, env=env, capture_output=True, text=True)
            fine = next((codes for start, codes in SAYS_NO.items() if command.startswith(start)), (0,))
            assert done.returncode in fine, f"$ {command}\n{done.stdout}{done.stderr}"
            printed[command] = done.stdout
    return printed


def test_the_rule_speaks_with_both_figures(said):
    report = next(text for command, text in said.items() if "checker.cli check" in command)
    assert "The run of 45 m is above 40 m." in report


def test_its_cases_pass(said):
    tried = next(text for command, text in said.items() if "pytest" in command)
    assert re.search(r"\b6 passed", tried), tried


def test_the_slip_it_names_is_refused_for_the_reason_it_names(said, copy):
    rule = copy / "rules/za/rules/long-run-measured.toml"
    rule.write_text(rule.read_text("utf-8").replace("<= long_run_m", "<= 40"), encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(copy), "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(
        [sys.executable, "-m", "checker.dev", "compile"], cwd=copy, env=env, capture_output=True, text=True
    )
    assert done.returncode == 1
    assert "long-run-measured" in done.stderr
    assert "needs a name and a source" in done.stderr

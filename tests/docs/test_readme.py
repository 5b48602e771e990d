"""What README shows is what the program really says."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_output_shown_is_real():
    shown = re.search(r"`spareway (check \S+)` begins:\n\n```\n(.+?)\n```", README, re.DOTALL)
    assert shown, "README shows a command and how its output begins"
    said = subprocess.run(
        [sys.executable, "-m", "checker.cli", *shown[1].split()],
        cwd=ROOT, env={**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"},
        capture_output=True, text=True, encoding="utf-8",
    )  # fmt: skip
    assert said.stdout.startswith(shown[2])


def test_it_opens_with_the_job_in_one_paragraph():
    first = README.split("\n\n")[1]
    assert first.startswith("A time switch or a contactor")
    assert "verdict" in first


def test_every_file_it_points_to_exists():
    for target in re.findall(
        r"\]\(([^)#:]+)\)|`(?:python3 -m checker\.cli|spareway) check (scenarios/[a-z-]+\.toml)", README
    ):
        assert (ROOT / (target[0] or target[1])).exists(), target


def test_the_plan_that_the_docs_show_can_be_judged(tmp_path):
    text = (ROOT / "docs" / "schedule.md").read_text(encoding="utf-8")
    (shown,) = re.findall(r"```toml\n(.+?)```", text, re.DOTALL)
    (tmp_path / "answers.toml").write_text(shown, encoding="utf-8")
    said = subprocess.run(
        [sys.executable, "-m", "checker.cli", "plan", str(tmp_path / "answers.toml"), "--as-of", "2026-11-25"],
        cwd=ROOT, env={**os.environ, "PYTHONIOENCODING": "utf-8"}, capture_output=True, text=True, encoding="utf-8",
    )  # fmt: skip
    assert said.returncode == 2, said.stderr
    assert "The cheapest daily window" not in said.stdout  # how much the tank holds is not told
    assert "03:15" in said.stdout

"""What README and the page of the schedule show is what the program really says."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from tools import readme

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_output_shown_is_real():
    """After a change of words: `python tools/readme.py` writes it anew."""
    shown = readme.SHOWN.search(README)
    assert shown, "README shows a command and how its output begins"
    assert shown[4] == readme.beginning(shown[2])
    assert "Sizing:" in shown[4]


def test_it_opens_with_the_job_in_one_paragraph():
    first = next(part for part in README.split("\n\n")[1:] if not part.startswith("<img"))
    assert first.startswith(
        "You want to fit a time switch or contactor on the rail of a board, in an existing circuit."
    )
    assert "verdict" in first


def test_it_is_read_in_a_screen_and_a_half():
    assert len(README.splitlines()) <= 65


def test_its_picture_is_there_and_small_and_told_in_words():
    ((picture, words),) = re.findall(r'<img src="([^"]+)" .*?alt="([^"]+)"', README)
    assert ROOT / picture == readme.PICTURE
    assert 5_000 < readme.PICTURE.stat().st_size < 60_000
    assert len(words.split()) > 10


def test_it_names_every_region_there_is_a_rule_set_for():
    from checker.core.pack import every

    regions = {pack.about["region"].partition(" and ")[0] for pack in every()}
    assert {region for region in regions if region not in README} == set()


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

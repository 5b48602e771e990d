"""Every worked case in scenarios/ is an answers file as well, and every report can be shown."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from checker.cli.main import main

CODES = {"fits": 0, "change": 1, "call": 1, "stop": 1, "find-out": 2}
CASES = sorted((Path(__file__).parents[2] / "scenarios").glob("*.toml"))


def test_there_are_worked_cases():
    assert len(CASES) > 10


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_a_worked_case_is_shown_at_60_columns_with_the_code_of_its_headline(case, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    code = main(["check", str(case), "--job"])
    shown = capsys.readouterr()
    assert code == CODES[tomllib.loads(case.read_text("utf-8"))["expect"]["headline"]]
    assert shown.err == ""
    # An id to be copied may run over; a sentence may not.
    assert [line for line in shown.out.splitlines() if len(line) > 60 and " " in line.strip(" -")] == []

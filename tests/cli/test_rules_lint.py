"""`spareway rules lint`: people and editors are led to the file and the line."""

from __future__ import annotations

import json
import shutil
import sys

import pytest

from checker.cli.main import main
from checker.dev.rulebook.rulefiles import RULES


@pytest.fixture
def rules(tmp_path):
    """A copy of base and one region, and the worked cases beside it."""
    for part in ("schema", "base", "za"):
        shutil.copytree(RULES / part, tmp_path / "rules" / part)
    shutil.copytree(RULES.parent / "scenarios", tmp_path / "scenarios")
    return tmp_path / "rules"


@pytest.fixture
def base(tmp_path):
    """A copy of base alone: quick, and enough for whatever is wrong in one file."""
    for part in ("schema", "base"):
        shutil.copytree(RULES / part, tmp_path / "rules" / part)
    return tmp_path / "rules"


def change(path, find: str, put: str) -> int:
    """Puts one text in place of another; the line on which it stands."""
    text = path.read_text("utf-8")
    assert text.count(find) == 1
    path.write_text(text.replace(find, put), "utf-8")
    return text[: text.index(find)].count("\n") + 1


def linted(capsys, *arguments: str) -> tuple[int, list[dict]]:
    code = main(["rules", "lint", *arguments, "--json", "--as-of", "2026-11-25"])
    return code, json.loads(capsys.readouterr().out)


def test_clean_rules_end_with_0_and_an_empty_list(rules, capsys):
    assert linted(capsys, str(rules)) == (0, [])


@pytest.mark.parametrize(
    ("file", "find", "put"),
    [
        ("tables/breaker-ratings.csv", "10,10,iec-60898-1", "10,1O,iec-60898-1"),
        ("tables/cable-current.csv", "copper,pvc,B2,two,2.5,23,", "copper,pvc,B2,two,2.5,32,"),
        ("tables/cable-current.csv", "copper,pvc,B2,two,2.5,23,", "copper,pvc,B2,two,2.5,26,"),
        ("rules/breaker-carries-load.toml", 'requires = "circuit_current_a <=', 'requires = "circuit_curent_a <='),
        ("rules/earth-present.toml", 'passed = "The circuit has', 'passed = "The board is safe. The circuit has'),
        ("questions/tester.toml", 'stage = "before-touching"', 'stage = "befor"'),
        ("rules/earth-present.toml", 'weight = "practice"', "weight = practice"),
    ],
)
def test_an_editor_gets_the_file_and_the_line(base, capsys, file, find, put):
    line = change(base / "base" / file, find, put)
    code, told = linted(capsys, str(base))
    assert code == 1
    # A slip that breaks the order is told at the line after it as well: either of the two may be wrong.
    assert (f"rules/base/{file}", line) in [(one["file"], one["line"]) for one in told]
    assert all(told[0][part].strip() for part in ("severity", "what", "why", "fix"))


def test_a_path_leaves_out_what_lies_elsewhere(base, capsys):
    change(base / "base" / "questions" / "lock_off.toml", "off position?", "off position.")
    assert linted(capsys, str(base / "base" / "tables")) == (0, [])
    code, told = linted(capsys, str(base / "base" / "questions" / "lock_off.toml"))
    assert (code, len(told)) == (1, 1)


def test_a_person_reads_file_line_what_why_and_fix(base, capsys):
    line = change(base / "base" / "tables" / "breaker-ratings.csv", "10,10,iec-60898-1", "10,1O,iec-60898-1")
    assert main(["rules", "lint", str(base)]) == 1
    out = capsys.readouterr().out
    assert f"rules/base/tables/breaker-ratings.csv:{line}: error: 1O is not a number" in out
    assert "why it matters" in out and "how to fix" in out


def test_a_warning_changes_no_exit_code(base, capsys):
    code = main(["rules", "lint", str(base), "--json", "--as-of", "2031-01-01"])
    told = json.loads(capsys.readouterr().out)
    assert code == 0
    assert told and {entry["severity"] for entry in told} == {"warning"}


@pytest.mark.parametrize("arguments", [["lint", "no-such-folder"], ["lint", "--as-of", "soon"], ["polish"], []])
def test_bad_arguments_are_told_as_such(capsys, arguments):
    assert main(["rules", *arguments]) == 64
    assert "fix:" in capsys.readouterr().err


def test_an_installed_copy_says_that_it_has_no_rule_files(monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, "checker.dev.maintain", None)
    assert main(["rules", "lint"]) == 64
    assert "no rule files" in capsys.readouterr().err


def test_a_checkout_without_rules_says_so(monkeypatch, capsys, tmp_path):
    monkeypatch.setattr("checker.dev.rulebook.rulefiles.RULES", tmp_path)
    assert main(["rules", "due"]) == 64
    assert "There is no folder rules/" in capsys.readouterr().err


def test_a_hundred_gaps_are_told_in_a_few_lines_with_what_to_declare(base, capsys):
    sheet = base / "base" / "tables" / "cable-current.csv"
    kept = [
        line
        for line in sheet.read_text("utf-8").splitlines(True)
        if not line.startswith(("copper,xlpe", "copper,pvc,B2"))
    ]
    sheet.write_text("".join(kept), "utf-8")
    code, told = linted(capsys, str(sheet))
    assert code == 1
    assert len(told) < 20
    assert any(
        'where = { conductor_metal = "copper", cable_insulation = "xlpe", method = "B1"' in one["fix"] for one in told
    )

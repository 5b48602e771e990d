"""The real rules are clean, and each kind of fault in a rule file is found and named."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest

from checker.dev.rulebook import lint as linting
from checker.dev.rulebook.lint_notices import notices
from checker.dev.rulebook.positions import position
from checker.dev.rulebook.rulefiles import RULES

HELD = tomllib.loads((Path(__file__).parent / "broken.toml").read_text("utf-8"))
BROKEN, WARNED = HELD["broken"], HELD["warned"]
AS_OF = "2026-11-25"


def test_the_real_rules_are_clean():
    assert [str(fault) for fault in linting.lint()] == []


@pytest.fixture
def copy(tmp_path):
    """copy(*packs): a copy of these packs of rules/."""

    def made(*packs: str) -> Path:
        for pack in packs:
            shutil.copytree(RULES / pack, tmp_path / "rules" / pack)
        return tmp_path / "rules"

    return made


def break_it(rules: Path, fault: dict[str, Any]) -> None:
    file = rules / fault["file"]
    if "create" in fault:
        assert not file.exists()
        file.write_text(fault["create"], "utf-8")
    elif "drop" in fault:
        file.unlink()
    elif "add" in fault:
        file.write_text(file.read_text("utf-8") + fault["add"], "utf-8")
    elif "cut" in fault:
        file.write_text(file.read_text("utf-8").splitlines(keepends=True)[0], "utf-8")
    elif "line" in fault:
        lines = file.read_text("utf-8").splitlines(keepends=True)
        kept = [line for line in lines if not line.startswith(fault["line"])]
        assert len(kept) == len(lines) - 1, "the line to drop is not there once"
        file.write_text("".join(kept), "utf-8")
    else:
        text = file.read_text("utf-8")
        assert fault["find"] in text, "the text to break is gone: bring broken.toml up to date"
        file.write_text(text.replace(fault["find"], fault["put"], -1 if fault.get("every") else 1), "utf-8")


@pytest.mark.sampled(one_in=5)
@pytest.mark.parametrize("fault", BROKEN, ids=lambda fault: fault["name"])
def test_a_broken_file_is_named_with_words_that_help(fault, copy):
    region = any(name.startswith("za/") for name in (fault["file"], *fault["says"]))
    rules = copy("base", "za") if region else copy("base")
    break_it(rules, fault)
    faults = linting.lint(rules)
    told = [str(one) for one in faults if all(words in str(one) for words in fault["says"])]
    assert told, [str(one) for one in faults]
    for one in faults:
        assert all(part.strip() for part in one), "where, what, why and how to fix are all told"
        file, line, _ = position(one, rules.parent)
        known = rules.parent / file
        assert known.is_file() or known.suffix == ".csv", "an editor can open what is named"
        assert not known.is_file() or 1 <= line <= len(known.read_text("utf-8").splitlines()) + 1


@pytest.mark.parametrize("warned", WARNED, ids=lambda warned: warned["name"])
def test_what_is_thin_or_stale_is_a_warning_and_no_fault(warned, copy):
    rules = copy("base", "za") if warned["file"].startswith("za/") else copy("base")
    shutil.copytree(RULES.parent / "scenarios", rules.parent / "scenarios")
    assert notices(AS_OF, rules) == []
    break_it(rules, warned)
    assert linting.lint(rules) == []
    told = [str(one) for one in notices(AS_OF, rules) if all(words in str(one) for words in warned["says"])]
    assert told, [str(one) for one in notices(AS_OF, rules)]


def test_a_copy_that_is_not_broken_is_clean(copy):
    assert linting.lint(copy("base", "za")) == []


def test_each_fault_is_told_once(copy):
    rules = copy("base")
    break_it(
        rules, {"file": "base/rules/earth-present.toml", "find": "earth_present", "put": "erth_present", "every": True}
    )
    faults = [str(fault) for fault in linting.lint(rules)]
    assert len(faults) == len(set(faults))


def test_the_command_says_how_many_and_fails(copy, monkeypatch, capsys):
    assert linting.main([]) == 0
    assert "0 faults" in capsys.readouterr().out
    rules = copy("base")
    break_it(rules, {"file": "base/questions/lock_off.toml", "find": "order = 20", "put": "order = 30"})
    monkeypatch.setattr(linting, "RULES", rules)
    monkeypatch.setattr(linting, "lint", lambda given, lint=linting.lint: lint(given))
    assert linting.main([]) == 1
    out = capsys.readouterr().out
    assert "1 fault " in out
    assert "why it matters" in out
    assert "how to fix" in out

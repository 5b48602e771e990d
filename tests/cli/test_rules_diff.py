"""`spareway rules diff`, `why` and `due`: what changed, for whom, and on whose word."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from checker.cli.main import main
from checker.dev.maintain import newly_passing, outcomes, revisions
from checker.dev.rulebook import rulefiles

REGION = """
id = "yy"
title = "Nowhere"
region = "Nowhere"
version = "2026.11"
edition = "1"
valid_from = 2026-01-01
review_days = 365
extends = "iec"
language = "en"
[words]
"""
PLAN = "village-hall-forecourt"
# A figure of our own invention in the shape of a published one.
PUBLISHED = """
[[example]]
id = "two-heaters"
source = "A book of our own invention"
published = "3000 W at 230 V on 1 mm2"
status = "own"
[example.answers]
load_kind = "heater"
load_power_w = 3000
supply_voltage_v = 230
conductor_metal = "copper"
cable_size = "1 mm2"
breaker_rating_a = 16
[[example.finding]]
rule = "usual-smallest-size"
outcome = "failed"
with = { cable_size = "1 mm2" }
"""


@pytest.fixture(scope="module")
def repository(tmp_path_factory):
    """A repository with base and a few cases of each kind, everything committed."""
    top = tmp_path_factory.mktemp("repository")
    for part in ("schema", "base"):
        shutil.copytree(rulefiles.RULES / part, top / "rules" / part)
    (top / "scenarios").mkdir()
    for case in ("workshop-heater-thin-links", "hallway-lights", "shed-one-millimetre", "bathroom-rail-thin-cable"):
        shutil.copy(rulefiles.RULES.parent / "scenarios" / f"{case}.toml", top / "scenarios")
    (top / "scenarios" / "plans").mkdir()
    shutil.copy(rulefiles.RULES.parent / "scenarios" / "plans" / f"{PLAN}.toml", top / "scenarios" / "plans")
    (top / "scenarios" / "published").mkdir(parents=True)
    (top / "scenarios" / "published" / "examples.toml").write_text(PUBLISHED, "utf-8")
    git(top, "init", "-q")
    git(top, "add", "-A")
    git(top, "-c", "user.name=x", "-c", "user.email=x@example.org", "commit", "-qm", "Begin")
    return top


def git(folder, *arguments: str) -> None:
    subprocess.run(["git", *arguments], cwd=folder, check=True, capture_output=True)


@pytest.fixture
def changing(repository, monkeypatch):
    """changing(file, find, put): base with one text in place of another, put back afterwards."""
    monkeypatch.setattr(rulefiles, "RULES", repository / "rules")
    monkeypatch.setattr(outcomes, "MOST_PATHS", 60)

    def change(file: str, find: str, put: str) -> None:
        path = repository / "rules" / "base" / file
        text = path.read_text("utf-8")
        assert text.count(find) == 1
        path.write_text(text.replace(find, put), "utf-8")

    yield change
    git(repository, "checkout", "-q", "--", ".")
    git(repository, "clean", "-qfd")


def diff(capsys, *more: str) -> tuple[int, str]:
    code = main(["rules", "diff", "HEAD", "-", *more])
    captured = capsys.readouterr()
    assert code in (0, 1), captured.err
    return code, captured.out


def test_without_a_change_nothing_differs_and_nothing_is_compiled(changing, capsys, monkeypatch):
    monkeypatch.delattr(revisions, "compile_pack")
    assert diff(capsys) == (0, "Nothing differs.\n")


def test_a_newly_passing_rule_without_a_source_comes_first_and_fails(changing, capsys):
    """A rule of trade practice made to pass where it failed."""
    changing("rules/usual-smallest-size.toml", 'requires = "', 'requires = "True or ')
    code, out = diff(capsys)
    assert "changed rule usual-smallest-size" in out
    newly_passing = [line for line in out.splitlines() if "failed to passed" in line and "in " in line]
    outcomes = out[out.index("Changed outcomes") :].splitlines()[2:]
    assert newly_passing and outcomes[0] in newly_passing
    assert code == 1
    assert "NO NAMED SOURCE" in newly_passing[0]
    assert "published two-heaters" in newly_passing[0]


def test_an_answer_no_case_gives_is_tried_where_a_changed_rule_names_it(changing, capsys):
    changing("rules/earth-present.toml", 'requires = "', 'requires = "True or ')
    out = diff(capsys)[1]
    assert "earth-present: failed to passed in " in out and " with earth_present = False" in out


def test_the_rules_of_a_schedule_are_compared_by_the_worked_schedules(changing, capsys):
    changing("plan/rules/programme-runs.toml", 'requires = "', 'requires = "False and ')
    code, out = diff(capsys)
    assert code == 0
    assert f"programme-runs: passed to failed in plan {PLAN}. Cause: rule programme-runs." in out


def test_whether_any_answer_may_decide_a_rule_is_a_change(changing, capsys):
    changing("rules/load-current-known.toml", "any_answer = false", "any_answer = true")
    assert "changed rule load-current-known" in diff(capsys)[1]


@pytest.mark.parametrize(("arguments", "told"), [(["HEAD", "-"], "is new: "), (["-", "HEAD"], "is gone. ")])
def test_a_rule_set_that_comes_or_goes_is_told(changing, repository, capsys, arguments, told):
    (repository / "rules" / "yy").mkdir()
    (repository / "rules" / "yy" / "pack.toml").write_text(REGION, "utf-8")
    assert main(["rules", "diff", *arguments]) == 0
    out = capsys.readouterr().out
    assert out.startswith("yy@1, ") and f"This rule set {told}" in out


def test_a_new_edition_is_compared_with_the_one_in_force_before_it(changing, repository, capsys):
    (repository / "rules" / "base" / "pack.toml").write_text(
        (repository / "rules" / "base" / "pack.toml")
        .read_text("utf-8")
        .replace('edition = "2017"', 'edition = "2018"'),
        "utf-8",
    )
    code, out = diff(capsys)
    assert (code, out.splitlines()[0]) == (0, "iec@2017, gone from HEAD to -")
    assert "iec@2018, new from HEAD to -, against iec@2017" in out


def test_a_harder_rule_needs_no_source(changing, capsys):
    changing("rules/usual-smallest-size.toml", 'requires = "', 'requires = "False and ')
    code, out = diff(capsys, "--markdown")
    assert code == 0
    assert "### Changed outcomes" in out and "passed to failed" in out


def test_a_word_changes_no_outcome(changing, capsys):
    changing("texts/defers-to.toml", "It has not seen the installation.", "It has not seen the board.")
    code, out = diff(capsys)
    assert code == 0
    assert "changed text defers_to/local-code" in out and "Changed outcomes (0)" in out


@pytest.mark.parametrize("arguments", [["no-such", "HEAD"], ["iec", "HEAD"], ["--help-me", "x"]])
def test_what_cannot_be_compared_is_refused(changing, capsys, arguments):
    assert main(["rules", "diff", *arguments]) == 64
    assert "fix:" in capsys.readouterr().err


def test_two_editions_are_compared_by_name(capsys):
    assert main(["rules", "diff", "gb@2018-A2", "gb@2018-A4"]) == 0
    out = capsys.readouterr().out
    assert "text not_checked/bidirectional" in out


def test_why_tells_source_readers_and_cases(changing, capsys):
    assert main(["rules", "why", "breaker-within-cable"]) == 0
    out = capsys.readouterr().out
    assert "file:    rules/base/rules/breaker-within-cable.toml" in out
    assert "shed-one-millimetre: breaker-within-cable" in out
    assert main(["rules", "why", "cable-current/copper/pvc/C/two/2.5"]) == 0
    out = capsys.readouterr().out
    assert "rules/base/tables/cable-current.csv" in out and "status:" in out
    assert "  breaker-within-cable\n" in out
    assert main(["rules", "why", "no-such-thing"]) == 64


def test_due_lists_the_most_urgent_first(changing, capsys):
    changing("parameters/strip_length_mm.toml", "checked = 2026-11-25", "checked = 2025-01-31")
    assert main(["rules", "due"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "2027-01-31  iec@2017  parameter strip_length_mm: common-practice, practice"
    assert main(["rules", "due", "--by", "2027-06-01"]) == 0
    assert capsys.readouterr().out.splitlines()[-1].startswith("1 entry ")


@pytest.fixture
def tagged(changing, repository, monkeypatch):
    """The same as `changing`, the state committed being a release."""
    monkeypatch.delenv("SPAREWAY_DIFF_BASE", raising=False)
    git(repository, "tag", "v1.0.0")
    yield changing
    git(repository, "tag", "-d", "v1.0.0")


def test_ci_stops_where_a_rule_newly_passes_without_a_source_since_the_last_release(tagged, capsys):
    tagged("rules/usual-smallest-size.toml", 'requires = "', 'requires = "True or ')
    assert newly_passing.main([]) == 1
    out = capsys.readouterr().out
    assert "usual-smallest-size: failed to passed" in out
    assert "Since v1.0.0, " in out and "without a named source" in out and "how to fix" in out


def test_ci_goes_on_where_the_source_of_what_newly_passes_is_named(tagged, capsys):
    tagged("rules/usual-smallest-size.toml", 'requires = "', 'requires = "True or ')
    for find, put in (
        ('source = "common-practice"', 'source = "iec-60364-5-52"'),
        ('status = "practice"', 'status = "opened"'),
        ('clause = "trade practice"', 'clause = "524.1"'),
    ):
        tagged("rules/usual-smallest-size.toml", find, put)
    assert newly_passing.main([]) == 0


def test_the_release_note_says_what_newly_passes_and_on_whose_word(tagged, capsys):
    tagged("rules/earth-present.toml", 'requires = "', 'requires = "True or ')
    assert newly_passing.main(["--notes"]) == 0
    out = capsys.readouterr().out
    assert "- changed rule earth-present: bs-7671, 132.16" in out and "earth-present: failed to passed" in out


def test_rule_files_that_this_program_cannot_read_stop_a_release(tagged, capsys, monkeypatch):
    monkeypatch.setenv("SPAREWAY_DIFF_BASE", "no-such-revision")
    assert newly_passing.main(["--notes"]) == 1
    assert "nothing was compared" in capsys.readouterr().out


def test_before_the_first_release_the_last_change_of_the_rules_is_compared(changing, repository, monkeypatch):
    monkeypatch.delenv("SPAREWAY_DIFF_BASE", raising=False)
    assert newly_passing.since() is None
    assert newly_passing.since(released_only=True) is None
    changing("rules/usual-smallest-size.toml", 'requires = "', 'requires = "True or ')
    commit = ["-c", "user.name=x", "-c", "user.email=x@example.org", "commit", "-qam", "Ease"]
    git(repository, *commit)
    try:
        assert newly_passing.since() is not None
    finally:
        git(repository, "reset", "-q", "--hard", "HEAD^")


def test_a_region_without_cases_of_its_own_is_compared_by_those_of_base(changing, repository, capsys):
    """Else a region just begun would hear that nothing changes for anybody."""
    (repository / "rules" / "yy").mkdir()
    (repository / "rules" / "yy" / "pack.toml").write_text(REGION, "utf-8")
    edition = repository / "rules" / "yy" / "editions" / "2"
    (edition / "rules").mkdir(parents=True)
    (edition / "pack.toml").write_text('edition = "2"\ntitle = "Nowhere 2"\nvalid_from = 2027-01-01\n', "utf-8")
    rule = (repository / "rules" / "base" / "rules" / "usual-smallest-size.toml").read_text("utf-8")
    pin = rulefiles.pin(rulefiles.read_folder(repository / "rules" / "base").items["rule", "usual-smallest-size"])
    easier_rule = rule.replace('requires = "', 'requires = "True or ')
    override = f'\n[override]\nagainst = "{pin}"\nwhy = "Invented."\n'
    (edition / "rules" / "usual-smallest-size.toml").write_text(easier_rule + override, "utf-8")
    assert main(["rules", "diff", "yy@1", "yy@2"]) == 1
    assert "usual-smallest-size: failed to passed in " in (out := capsys.readouterr().out)
    assert "(a case of iec)" in out

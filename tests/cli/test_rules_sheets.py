"""`spareway rules import` and `export`: a table goes out as a spreadsheet and comes back as it was."""

from __future__ import annotations

import csv
import shutil

import pytest

from checker.cli.main import main
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.lint import lint

TABLE = "base/cable-current"
ORIGINAL = rulefiles.RULES / "base" / "tables" / "cable-current.csv"
AT = ["--at", "conductor_metal=copper", "--at", "cable_insulation=pvc", "--at", "loaded_conductors=two"]
SAID = ["--source", "iec-60364-5-52", "--clause", "Table B.52.2", "--as-of", "2026-11-25"]


@pytest.fixture
def cells(tmp_path, monkeypatch):
    """The cells of a copy of base's table of cable currents."""
    for part in ("schema", "base"):
        shutil.copytree(rulefiles.RULES / part, tmp_path / "rules" / part)
    monkeypatch.setattr(rulefiles, "RULES", tmp_path / "rules")
    return tmp_path / "rules" / "base" / "tables" / "cable-current.csv"


@pytest.fixture
def sheet(tmp_path, cells, capsys):
    """sheet(change): the exported table as a file, after `change` of its text."""

    def made(change=lambda text: text, *more: str):
        assert main(["rules", "export", TABLE, *AT, *more]) == 0
        path = tmp_path / "sheet.csv"
        path.write_text(change(capsys.readouterr().out), "utf-8")
        return path

    return made


def take(path, *more: str) -> int:
    return main(["rules", "import", TABLE, str(path), *AT, *SAID, *more])


def row(cells, *keys: str) -> dict[str, str]:
    with cells.open(encoding="utf-8", newline="") as held:
        return next(r for r in csv.DictReader(held) if tuple(r.values())[:5] == keys)


def test_size_runs_down_and_method_across(cells, capsys):
    assert main(["rules", "export", TABLE, "--across", "method", *AT]) == 0
    head, *rows = capsys.readouterr().out.splitlines()
    assert head.startswith("cable_size_mm2,A1,A2,B1,B2,C")
    assert [line.partition(",")[0] for line in rows][:3] == ["1", "1.5", "2.5"]


@pytest.mark.parametrize("more", [[], ["--statuses"], ["--across", "method"]])
def test_out_and_back_leaves_the_file_as_it_was(sheet, cells, more):
    before = cells.read_text("utf-8")
    across = [option for option in more if option != "--statuses"]
    assert take(sheet(lambda text: text, *more), *across) == 0
    assert cells.read_text("utf-8") == before


def test_as_people_have_it(sheet, cells):
    """Semicolons, decimal commas, units behind the sizes, a mark of the byte order."""
    before = cells.read_text("utf-8")

    def german(text: str) -> str:
        lines = [line.replace(",", ";").replace(".", ",") for line in text.splitlines()]
        return "\ufeff" + "\n".join([lines[0], *(line.replace(";", " mm²;", 1) for line in lines[1:])])

    assert take(sheet(german)) == 0
    assert cells.read_text("utf-8") == before


def test_a_changed_figure_gets_the_new_standing_and_its_neighbour_keeps_the_old(cells, tmp_path):
    old = row(cells, "copper", "pvc", "C", "two", "4")
    (tmp_path / "s.csv").write_text("size,C\n2.5,26.5\n4,36\n", "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method", "--note", "Seen.") == 0
    new = row(cells, "copper", "pvc", "C", "two", "2.5")
    assert (new["value"], new["status"], new["clause"], new["note"]) == ("26.5", "one-source", "Table B.52.2", "Seen.")
    assert row(cells, "copper", "pvc", "C", "two", "4") == old
    assert lint(rulefiles.RULES) == []


def test_a_status_in_brackets_counts(cells, tmp_path):
    (tmp_path / "s.csv").write_text("size,C\n2.5,26.5 [memory]\n", "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method") == 0
    assert row(cells, "copper", "pvc", "C", "two", "2.5")["status"] == "memory"


@pytest.mark.parametrize(
    ("text", "more"),
    [
        ("size,C\n2.5,2O\n", []),
        ("size,C\nthick,20\n", []),
        ("size,C\n2.5\n", []),
        ("size\n", []),
        ("size,C\n2.5,26.5 [certain]\n", []),
        ("size,C\n2.5,20\n", ["--source", "hearsay"]),
        ("size,C\n2.5,20\n", ["--down", "colour"]),
        ("size,C\n2.5,20\n", ["--at", "nothing"]),
    ],
)
def test_what_cannot_be_taken_is_refused_and_nothing_is_written(cells, tmp_path, capsys, text, more):
    before = cells.read_text("utf-8")
    (tmp_path / "s.csv").write_text(text, "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method", *more) == 64
    assert "fix:" in capsys.readouterr().err
    assert cells.read_text("utf-8") == before


def test_an_open_axis_is_asked_for(cells, capsys):
    assert main(["rules", "export", TABLE]) == 64
    assert "conductor_metal: copper, aluminium" in " ".join(capsys.readouterr().err.split())


def test_a_table_without_cells_says_which_keys_there_are(cells, capsys):
    cells.write_text(cells.read_text("utf-8").partition("\n")[0] + "\n", "utf-8")
    base = rulefiles.RULES / "base"
    shutil.copytree(base, rulefiles.RULES / "qm")
    shutil.copy(ORIGINAL, base / "tables" / "cable-current.csv")
    (rulefiles.RULES / "qm" / "pack.toml").write_text('id = "qm"\nextends = "iec"\n', "utf-8")
    assert main(["rules", "export", "qm/cable-current"]) == 64
    assert "conductor_metal: copper, aluminium" in " ".join(capsys.readouterr().err.split())


SECOND = ["--second", "--source", "bs-7671", "--clause", "Table 4D2A"]


@pytest.mark.parametrize(
    ("figure", "status", "told"), [("27", "two-sources", "1 agree, 0 IN"), ("72", "conflict", "0 agree, 1 IN CONFLICT")]
)
def test_a_second_source_confirms_a_cell_or_puts_it_in_conflict(cells, tmp_path, capsys, figure, status, told):
    (tmp_path / "s.csv").write_text("size,C\n2.5,27 [one-source]\n", "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method") == 0
    (tmp_path / "s.csv").write_text(f"size,C\n2.5,{figure}\n", "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method", *SECOND) == 0
    new = row(cells, "copper", "pvc", "C", "two", "2.5")
    assert (new["value"], new["status"]) == ("27", status)
    assert new["note"].endswith(f"bs-7671, Table 4D2A, says {figure}.")
    assert told in capsys.readouterr().out


def test_a_source_read_twice_is_no_second_source(cells, tmp_path, capsys):
    (tmp_path / "s.csv").write_text("size,C\n2.5,26\n", "utf-8")
    assert take(tmp_path / "s.csv", "--across", "method") == 0
    assert take(tmp_path / "s.csv", "--across", "method", "--second") == 64
    assert "still one source" in capsys.readouterr().err

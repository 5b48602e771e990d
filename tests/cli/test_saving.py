"""Answers written to a file come back as they were."""

from __future__ import annotations

import pytest

from checker.cli import files
from checker.cli.client import Inputs
from checker.cli.saving import answers_toml, check_place, save
from checker.terminal.problem import Problem

QUESTIONS = [
    {"id": "n", "kind": "number", "text": "How many?", "unit": "A", "choices": []},
    {"id": "t", "kind": "choice", "text": "Which?", "unit": None, "choices": []},
]


@pytest.mark.parametrize("value", [16, "2.50", "0.1", "007", "dont-know", "not-stated"])
def test_a_number_comes_back(value):
    assert back(Inputs("xx", "2026-11-25", {"n": value})).answers == {"n": value}


@pytest.mark.parametrize("value", ["2.5 mm2", '"quoted" \\ back', "é²Ω", "\x1b\x7f\n", True, False])
def test_a_choice_or_a_yes_comes_back(value):
    assert back(Inputs("xx", "2026-11-25", {"t": value})).answers == {"t": value}


def test_a_decimal_is_a_toml_number():
    assert "\nn = 2.50\n" in answers_toml(Inputs("xx", "", {"n": "2.50"}), QUESTIONS)


def test_each_answer_stands_below_its_question():
    assert "# How many? 16 A\nn = 16\n" in answers_toml(Inputs("xx", "", {"n": 16}), QUESTIONS)


def test_pack_edition_and_confirmed_cells_come_back():
    inputs = back(Inputs("xx", "2026-11-25", {"n": 1}, "3", ["t/a", "t/b"]))
    assert (inputs.pack, inputs.edition, inputs.confirmed, inputs.as_of) == ("xx", "3", ["t/a", "t/b"], "2026-11-25")


def test_the_date_is_kept_only_when_it_is_wanted():
    assert "as_of" not in answers_toml(Inputs("xx", "2026-11-25", {"n": 1}), QUESTIONS)


def back(inputs: Inputs) -> Inputs:
    return files.AnswersFile("kept.toml", answers_toml(inputs, QUESTIONS, dated=True)).inputs()


def test_a_file_that_is_there_is_left_alone(tmp_path):
    path = tmp_path / "kept.toml"
    path.write_text("mine", "utf-8")
    with pytest.raises(Problem):
        save(str(path), "new")
    assert path.read_text("utf-8") == "mine"
    save(str(path), "new", may_replace=True)
    assert [entry.name for entry in tmp_path.iterdir()] == ["kept.toml"]
    assert path.read_text("utf-8") == "new"


def test_a_folder_is_no_place_for_a_file(tmp_path):
    with pytest.raises(Problem):
        check_place(str(tmp_path), may_replace=True)


def test_a_disk_without_room_is_told(tmp_path, monkeypatch):
    def full(*arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(Problem, match="No space left"):
        save(str(tmp_path / "kept.toml"), "new")

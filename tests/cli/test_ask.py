"""`spareway ask` as a process, against the real core."""

from __future__ import annotations

import json
import tomllib

import pytest

from checker.core.api import handle


def dialogue(pack: str, answers: dict) -> list[str]:
    """The lines that lead through the interview: `answers` where asked, don't know elsewhere."""
    given: dict = {}
    while True:
        request = {"format": 1, "ask": "next", "pack": pack, "as_of": "2026-11-25", "answers": given}
        question = json.loads(handle(json.dumps(request)))["question"]
        if question is None:
            words = {True: "yes", False: "no"}
            return [
                words[value] if isinstance(value, bool) else "dk" if value == "dont-know" else str(value)
                for value in given.values()
            ]
        given[question["id"]] = answers.get(question["id"], "dont-know")


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("pack", ["iec", "za"])
@pytest.mark.parametrize(
    "changed", [{}, {"breaker_rating_a": "dont-know"}, {"isolation": "none"}, {"load_power_w": "2750.5"}]
)
def test_an_interview_and_its_saved_answers_give_the_same_report(spareway, tmp_path, answers, pack, changed):
    lines = [line.replace("2750.5", "2750,5") for line in dialogue(pack, answers | changed)]
    asked = spareway(
        "ask", "--pack", pack, "--as-of", "2026-11-25", "--save", "kept.toml", stdin="\n".join(lines) + "\n"
    )
    assert asked.stderr == ""
    checked = spareway("check", "kept.toml")
    assert checked.stdout in asked.stdout
    assert asked.returncode == checked.returncode


def test_the_whole_interview_that_fits_gives_0(spareway, answers):
    done = spareway("ask", "--pack", "iec", stdin="\n".join(dialogue("iec", answers)) + "\n")
    assert done.returncode == 0, done.stdout + done.stderr


def test_without_a_date_none_is_saved(spareway, tmp_path):
    spareway("ask", "--pack", "iec", "--save", "kept.toml", stdin="dk\n")
    assert "as_of" not in tomllib.loads((tmp_path / "kept.toml").read_text("utf-8"))


def test_an_interview_goes_on_from_a_file_and_may_replace_it(spareway, write, fits, tmp_path):
    path = write(fits(breaker_rating_a=None))
    done = spareway("ask", "--from", path, "--save", path, stdin="16\n")
    assert done.returncode == 0, done.stdout + done.stderr
    assert tomllib.loads((tmp_path / "answers.toml").read_text("utf-8"))["answers"]["breaker_rating_a"] == 16


def test_an_answer_that_is_wrong_in_the_file_is_named_before_the_first_question(spareway, write, fits):
    done = spareway("ask", "--from", write(fits(breaker_rating_a=5000)))
    assert (done.returncode, done.stdout) == (64, "")
    assert "answers.breaker_rating_a" in done.stderr


def test_an_old_file_is_not_written_over(spareway, write, tmp_path):
    path = write("mine", "kept.toml")
    done = spareway("ask", "--pack", "iec", "--save", path, stdin="dk\n")
    assert (done.returncode, done.stdout) == (64, "")
    assert (tmp_path / "kept.toml").read_text("utf-8") == "mine"


def test_a_folder_that_is_not_there_is_named_before_the_first_question(spareway):
    done = spareway("ask", "--pack", "iec", "--save", "no/such/kept.toml", stdin="dk\n")
    assert (done.returncode, done.stdout) == (64, "")


@pytest.mark.parametrize("stdin", ["", "?\n"])
def test_no_answer_at_all_gives_64(spareway, stdin):
    done = spareway("ask", "--pack", "iec", stdin=stdin)
    assert done.returncode == 64
    assert "You answered no question" in done.stderr


def test_an_unknown_pack_gives_64(spareway):
    done = spareway("ask", "--pack", "atlantis", stdin="1\n")
    assert done.returncode == 64
    assert "atlantis" in done.stderr


def test_bytes_that_are_no_text_are_a_wrong_answer(spareway):
    done = spareway("ask", "--pack", "iec", stdin=b"\xff\xfe\n")
    assert done.returncode == 64
    assert "standard input, line 1" in done.stderr
    assert "Traceback" not in done.stderr

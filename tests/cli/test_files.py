"""What a good answers file turns into."""

from __future__ import annotations

import io

import pytest

from checker.cli import files
from checker.terminal.problem import Problem


def inputs_of(text: str):
    return files.AnswersFile("answers.toml", text).inputs()


TOP = 'pack = "iec"\n'


@pytest.mark.parametrize(
    ("written", "given"),
    [("2.50", "2.50"), ("0.1", "0.1"), ("1e3", "1000"), ("1_000.5", "1000.5"), ("+2.5", "2.5"), ("1e-3", "0.001")],
)
def test_a_decimal_keeps_its_digits(written, given):
    assert inputs_of(f"{TOP}[answers]\nx = {written}\n").answers == {"x": given}
    if "_" not in written and "+" not in written:
        assert inputs_of(f'{{"pack": "iec", "answers": {{"x": {written}}}}}').answers == {"x": given}


def test_whole_numbers_texts_and_truth_values_pass_through():
    answers = inputs_of(f'{TOP}[answers]\na = 16\nb = "C"\nc = true\nd = "2.5 mm2"\n').answers
    assert answers == {"a": 16, "b": "C", "c": True, "d": "2.5 mm2"}
    assert answers["c"] is True


@pytest.mark.parametrize("written", ["2026-11-25", '"2026-11-25"'])
def test_the_date_may_be_a_toml_date_or_text(written):
    assert inputs_of(f"{TOP}as_of = {written}\n[answers]\n").as_of == "2026-11-25"


def test_edition_and_confirmed_cells_are_read():
    inputs = inputs_of(f'{TOP}edition = "3"\nconfirmed = ["t/a/b"]\n[answers]\n')
    assert (inputs.edition, inputs.confirmed) == ("3", ["t/a/b"])


def test_a_worked_case_is_an_answers_file():
    text = f'title = "A heater"\nstory = "Once."\n{TOP}[answers]\na = 1\n[expect]\nheadline = "fits"\n'
    assert inputs_of(text).answers == {"a": 1}


def test_text_that_begins_with_a_brace_is_json():
    assert inputs_of('\n  {"pack": "iec", "answers": {"a": 1.5}}').answers == {"a": "1.5"}


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(write):
    path = write(b'\xef\xbb\xbfpack = "iec"\r\n[answers]\r\na = 1\r\n')
    assert files.read(path).inputs().answers == {"a": 1}


def test_a_dash_reads_standard_input():
    file = files.read("-", io.BytesIO(b'pack = "iec"\n[answers]\na = 1\n'))
    assert (file.name, file.inputs().answers) == ("standard input", {"a": 1})


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (f"{TOP}[answers]\nab = 1\na = 2\n", "answers.toml, line 4: answers.a"),
        (f"{TOP}answers.a = 2\n", "answers.toml, line 2: answers.a"),
        (f'{TOP}[answers]\n"a" = 2\n', "answers.toml, line 3: answers.a"),
        ('{"pack": "iec",\n"answers": {"a":\n1}}', "answers.toml, line 2: answers.a"),
        (f"{TOP}answers = {{b = 1}}\n", "answers.toml: answers.a"),
    ],
)
def test_an_answer_is_found_by_its_line(text, place):
    assert files.AnswersFile("answers.toml", text).place("answers.a") == place


def test_an_answer_at_the_top_is_told_where_it_belongs():
    with pytest.raises(Problem) as refused:
        inputs_of(f"{TOP}breaker_rating_a = 16\n[answers]\n")
    assert "move it under [answers]" in refused.value.fix


def test_a_key_given_twice_names_the_second_line():
    with pytest.raises(Problem) as refused:
        inputs_of(f"{TOP}[answers]\na = 1\na = 2\nb = 3\n")
    assert "line 4" in refused.value.where
    assert "a = 2" in refused.value.what


def test_a_file_of_exactly_1_mb_is_read(write):
    text = TOP + "[answers]\n"
    assert files.read(write(text + "#" * (files.LIMIT - len(text)))).inputs().answers == {}


@pytest.mark.parametrize("written", ["nan", "inf", "-inf", "1e99", "2026-11-25", "10:30:00", "[1]", "{b = 1}"])
def test_what_is_no_single_figure_does_not_even_reach_the_core(written):
    with pytest.raises(Problem) as refused:
        inputs_of(f"{TOP}[answers]\na = {written}\n")
    assert refused.value.where == "answers.toml, line 3: answers.a"


def test_a_date_with_a_time_of_day_is_no_date():
    with pytest.raises(Problem, match="not a date"):
        inputs_of(f"{TOP}as_of = 2026-11-25T10:00:00\n[answers]\n")

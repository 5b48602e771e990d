"""One exit code for each kind of outcome, as a shell sees it."""

from __future__ import annotations

import json

import pytest


def test_an_answers_file_that_fits_gives_0(spareway, write, fits):
    done = spareway("check", write(fits()))
    assert done.returncode == 0, done.stdout + done.stderr


# A 20 A breaker needs at least 2.5 mm²: common practice, no source.
def test_too_thin_a_cable_gives_1_and_the_word_change(spareway, write, fits):
    done = spareway("check", write(fits(breaker_rating_a=20, cable_size="1.5 mm2")))
    assert done.returncode == 1
    assert "CHANGE" in done.stdout.splitlines()[1]


def test_an_unlicensed_worker_gives_1_and_the_word_call(spareway, write, fits):
    done = spareway("check", write(fits(worker="unlicensed")))
    assert done.returncode == 1
    assert "CALL" in done.stdout.splitlines()[1]


def test_a_board_that_cannot_be_made_dead_gives_1_and_the_word_stop(spareway, write, fits):
    done = spareway("check", write(fits(isolation="none")))
    assert done.returncode == 1
    assert "STOP" in done.stdout.splitlines()[1]


def test_an_unknown_breaker_gives_2(spareway, write, fits):
    done = spareway("check", write(fits(breaker_rating_a="dont-know")))
    assert done.returncode == 2
    assert "FIND OUT" in done.stdout.splitlines()[1]


@pytest.mark.parametrize(
    "arguments", [[], ["check"], ["chekc", "x"], ["check", "x", "--yaml"], ["check", "x", "--json", "--markdown"]]
)
def test_wrong_usage_gives_64_and_not_argparses_2(spareway, arguments):
    done = spareway(*arguments)
    assert done.returncode == 64
    assert done.stdout == ""
    assert "--help" in done.stderr


@pytest.mark.parametrize(
    "arguments", [["--help"], ["ask", "--help"], ["check", "--help"], ["packs", "--help"], ["--version"]]
)
def test_asking_about_the_command_gives_0(spareway, arguments):
    assert spareway(*arguments).returncode == 0


FAULT = """
import sys
import checker.core.api
from checker.cli.main import main
checker.core.api.handle = lambda request: {broken}
sys.exit(main(["check", sys.argv[1]]))
"""


@pytest.mark.parametrize(
    "broken",
    [
        "1 / 0",
        "'no JSON'",
        "'[]'",
        "'{}'",
        """'{"headline": "splendid"}'""",
        """'{"headline": "fits"}'""",
        """'{"error": {"where": "w", "what": "x", "why": "y", "fix": "z"}, "fault": true}'""",
    ],
)
def test_a_fault_of_the_core_gives_70_and_nothing_like_a_verdict(python, write, fits, broken):
    done = python(FAULT.format(broken=broken), write(fits()))
    assert done.returncode == 70
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr.count("fault is in Spareway") == 1
    assert "report" in done.stderr


def test_a_full_disk_gives_70(spareway, write, fits, python, tmp_path):
    code = "import sys; from checker.cli.main import main; sys.stdout = open('/dev/full', 'w'); sys.exit(main(['check', sys.argv[1]]))"
    done = python(code, write(fits()))
    assert done.returncode == 70
    assert "could not write" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_code_of_json_output_is_the_same(spareway, write, fits):
    done = spareway("check", "--json", write(fits(isolation="none")))
    assert (done.returncode, json.loads(done.stdout)["headline"]) == (1, "stop")


CLOSED = """
import sys
sys.{stream} = None  # what Python makes of a stream that the shell has closed
from checker.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize(
    ("stream", "arguments", "code"),
    [
        ("stderr", ["check", "nothing.toml"], 64),
        ("stdout", ["check", "{file}"], 70),
        ("stdin", ["check", "-"], 64),
        ("stdin", ["ask", "--pack", "iec"], 64),
    ],
)
def test_a_closed_stream_is_no_verdict(python, write, fits, stream, arguments, code):
    path = write(fits())
    done = python(CLOSED.format(stream=stream), *(argument.format(file=path) for argument in arguments))
    assert done.returncode == code
    assert "Traceback" not in done.stderr


FOLDER = """
import os, sys
from checker.cli.main import main
os.dup2(os.open(".", os.O_RDONLY), 0)
sys.exit(main(["ask", "--pack", "iec"]))
"""


def test_answers_from_a_folder_give_64(python):
    done = python(FOLDER)
    assert done.returncode == 64
    assert "standard input" in done.stderr

"""`spareway packs` and `spareway --version`."""

from __future__ import annotations

import json

from checker import __version__
from checker.core.api import handle

LISTED = json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]


def test_every_pack_is_listed_with_its_dates(spareway):
    done = spareway("packs")
    assert done.returncode == 0
    assert len(LISTED) >= 2
    shown = " ".join(done.stdout.split())
    for pack in LISTED:
        for key in ("id", "title", "edition", "version", "valid_from", "review_by"):
            assert pack[key] in shown


def test_the_list_as_json_is_the_cores(spareway):
    assert json.loads(spareway("packs", "--json").stdout) == LISTED


def test_the_version_names_program_and_packs(spareway):
    lines = spareway("--version").stdout.splitlines()
    assert lines[0] == f"spareway {__version__}"
    assert len(lines) == 1 + len(LISTED)


def test_help_fits_a_narrow_terminal(spareway):
    for command in ([], ["ask"], ["check"], ["packs"]):
        shown = spareway(*command, "--help", COLUMNS="60").stdout
        assert max(map(len, shown.splitlines())) <= 60


def test_help_of_check_shows_an_answers_file_and_every_exit_code(spareway):
    shown = spareway("check", "--help").stdout
    for part in ("[answers]", "  0 ", "  1 ", "  2 ", "  64 ", "  70 "):
        assert part in shown

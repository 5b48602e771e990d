"""`spareway compare` against the real core."""

from __future__ import annotations

import json

from checker.core.api import handle


def test_the_two_packs_stand_side_by_side(spareway, write, fits):
    done = spareway("compare", "--packs", "iec,za", write(fits()))
    assert done.returncode == 0
    lines = done.stdout.splitlines()
    head = next(number for number, line in enumerate(lines) if line.split() == ["iec", "za"])
    assert lines[head + 1].split() == ["verdict", *["fits", "on", "paper"] * 2]
    assert "Results that differ" in done.stdout
    assert done.stdout.index("Results that differ") < done.stdout.index("Editions and versions")


def test_json_is_the_cores_reply_to_the_letter(spareway, write, fits, answers):
    about = {"as_of": "2026-11-25", "answers": answers, "confirmed": []}
    request = {"format": 1, "ask": "compare", "packs": ["iec", "za@3"], **about}
    done = spareway("compare", "--json", "--packs", "iec, za@3", write(fits()))
    assert done.stdout == handle(json.dumps(request)) + "\n"


def test_markdown_is_a_table(spareway, write, fits):
    assert "|  | iec | za |" in spareway("compare", "--markdown", "--packs", "iec,za", write(fits())).stdout


def test_the_exit_code_is_that_of_the_worst_verdict(spareway, write, fits):
    assert spareway("compare", "--packs", "za,iec", write(fits(cable_size="1 mm2"))).returncode == 1


def test_a_pack_that_does_not_exist_is_named_with_its_option(spareway, write, fits):
    done = spareway("compare", "--packs", "iec,zz", write(fits()))
    assert done.returncode == 64
    assert "--packs on the command line" in done.stderr


def test_one_edition_of_a_pack_can_be_named_for_a_check(spareway, write, fits):
    report = json.loads(spareway("check", "--json", "--pack", "za@3", write(fits())).stdout)
    assert (report["pack"]["id"], report["pack"]["edition"]) == ("za", "3")
    assert spareway("check", "--pack", "za@99", write(fits())).returncode == 64

"""`spareway check` against the real core."""

from __future__ import annotations

import json
import re
import time

import pytest

from checker.core.api import handle


def asked(answers: dict, **more) -> str:
    request = {"format": 1, "ask": "check", "pack": "iec", "edition": None, "as_of": "2026-11-25", "confirmed": []}
    return handle(json.dumps({**request, "answers": answers, **more}))


def test_json_is_the_cores_reply_to_the_letter(spareway, write, fits, answers):
    assert spareway("check", "--json", write(fits())).stdout == asked(answers) + "\n"


def test_json_is_utf_8_in_a_terminal_that_is_not(spareway, write, fits, answers):
    assert spareway("check", "--json", write(fits()), PYTHONIOENCODING="ascii").stdout == asked(answers) + "\n"


def test_toml_and_json_give_the_same_report(spareway, write, fits, answers):
    in_json = json.dumps({"pack": "iec", "as_of": "2026-11-25", "answers": answers})
    assert spareway("check", write(in_json, "a.json")).stdout == spareway("check", write(fits())).stdout


def test_standard_input_gives_the_same_report(spareway, write, fits):
    assert spareway("check", "-", stdin=fits()).stdout == spareway("check", write(fits())).stdout


def test_a_decimal_reaches_the_core_digit_by_digit(spareway, write, fits):
    report = json.loads(spareway("check", "--json", write(fits(load_power_w=None) + "load_power_w = 2999.99\n")).stdout)
    assert report["answers"]["load_power_w"] == "2999.99"


def test_without_a_date_it_is_judged_as_of_today(spareway, write, fits):
    before = time.strftime("%Y-%m-%d")
    report = json.loads(spareway("check", "--json", write(re.sub("as_of.*\n", "", fits()))).stdout)
    assert before <= report["as_of"] <= time.strftime("%Y-%m-%d")


def test_the_options_win_over_the_file(spareway, write, fits):
    done = spareway("check", "--json", "--pack", "za", "--as-of", "2026-12-01", write(fits()))
    report = json.loads(done.stdout)
    assert (report["pack"]["id"], report["as_of"]) == ("za", "2026-12-01")


def test_another_pack_leaves_the_files_edition_behind(spareway, write, fits):
    text = fits().replace("[answers]", 'edition = "2017"\n[answers]')
    assert json.loads(spareway("check", "--json", "--pack", "za", write(text)).stdout)["pack"]["id"] == "za"


def test_confirmed_cells_of_file_and_options_reach_the_core(monkeypatch, capsys, write, fits):
    import checker.core.api
    from checker.cli.main import main

    seen = []
    monkeypatch.setattr(checker.core.api, "handle", lambda text: seen.append(json.loads(text)) or handle(text))
    text = fits().replace("[answers]", 'confirmed = ["t/1"]\n[answers]')
    main(["check", write(text), "--confirm", "t/2", "--confirm", "t/3"])
    capsys.readouterr()
    assert seen[0]["confirmed"] == ["t/1", "t/2", "t/3"]


@pytest.mark.parametrize("pack", ["iec", "za"])
@pytest.mark.parametrize("form", [["--long"], ["--long", "--markdown"], ["--job"]])
def test_every_sentence_of_the_report_that_must_be_there_is_there(spareway, write, fits, pack, form):
    path = write(fits(isolation="none", breaker_rating_a="dont-know"))
    report = json.loads(spareway("check", "--json", "--pack", pack, path).stdout)
    shown = unwrapped(spareway("check", "--pack", pack, *form, path).stdout)
    wanted = [report["headline_text"], report["who"]["text"], report["sizing"]["text"]]
    wanted += [e["text"] for part in ("cautions", "defers_to", "not_checked") for e in report[part]]
    wanted += [e["text"] for e in report["find_out"]]
    wanted += [f["message"] for f in report["findings"] if f["outcome"] == "failed"]
    assert len(wanted) > 20
    assert [text for text in wanted if unwrapped(text) not in shown] == []


def unwrapped(text: str) -> str:
    return " ".join(text.replace("\\", "").split())


def test_the_job_sheet_comes_with_a_fit_or_when_asked_for(spareway, write, fits):
    good, bad = write(fits()), write(fits(breaker_rating_a="dont-know"), "bad.toml")
    assert "step by step" in spareway("check", "--long", good).stdout
    assert "step by step" not in spareway("check", "--long", bad).stdout
    assert "step by step" in spareway("check", "--job", bad).stdout


@pytest.mark.parametrize("pack", ["iec", "za"])
def test_the_word_for_no_danger_is_never_printed(spareway, write, fits, pack):
    for text in (fits(), fits(isolation="none"), fits(worker="unlicensed")):
        for form in ([], ["--long"], ["--long", "--markdown"]):
            assert not re.search(r"\bsafe(ly)?\b", spareway("check", "--pack", pack, *form, write(text)).stdout, re.I)

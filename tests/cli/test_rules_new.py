"""`spareway rules new`: a region just begun lints, compiles, gives verdicts, and lets nobody begin."""

from __future__ import annotations

import shutil

import pytest

from checker.cli.main import main
from checker.dev.cases import scenarios
from checker.dev.cases.judging import check, installed
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.lint import lint
from checker.dev.rulebook.resolve import resolved
from tests.core.asking import AS_OF, FITS

LIKE = "gb"


@pytest.fixture(scope="module")
def rules(tmp_path_factory):
    """A copy of base and one region, with the region `xx` begun like it."""
    top = tmp_path_factory.mktemp("new")
    for part in ("schema", "base", LIKE):
        shutil.copytree(rulefiles.RULES / part, top / "rules" / part)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rulefiles, "RULES", top / "rules")
        assert main(["rules", "new", "xx", "--like", LIKE, "--title", "Utopia", "--as-of", AS_OF]) == 0
    return top / "rules"


@pytest.fixture(scope="module")
def begun(rules):
    """The pack of the region, known to the core."""
    content = compile_pack(rules / "xx", rules)
    with installed([content]):
        yield content


def judged(**changes) -> dict:
    answers = {key: value for key, value in (FITS | changes).items() if value is not None}
    return check({"pack": "xx", "as_of": AS_OF, "answers": answers})


def test_it_lints(rules):
    assert [str(fault) for fault in lint(rules)] == []


def test_it_says_that_it_is_a_preview(begun):
    assert "is new. Its law" in begun["pack"]["preview"]


def test_what_the_other_region_found_is_not_copied(rules):
    """No figure of its own but those of base, each of them recalled."""
    base, own = (rulefiles.read_folder(rules / name).items for name in ("base", "xx"))
    for (kind, item_id), item in own.items():
        if kind == "table":
            assert item.data["cells"] == [] and item.data["look"]
        if kind == "parameter":
            assert item.data["status"] == "memory"
            assert item.data["value"] == base[kind, item_id].data["value"]
    assert {key for key in own if key[0] == "table"} >= {("table", "cable-current"), ("table", "grouping-factor")}


def test_every_override_is_pinned(rules):
    resolved(rules / "xx", rules)
    item = rulefiles.read_folder(rules / "xx").items["rule", "skilled-worker"]
    assert (item.data["weight"], item.data["status"]) == ("law", "memory")


def test_a_licensed_person_is_led_to_what_is_missing(begun):
    reply = judged(worker="licensed")
    assert reply["headline"] == "find-out"
    assert reply["who"]["outcome"] != "permitted"
    assert reply["sizing"]["outcome"] != "fits"


def test_the_missing_rating_is_a_question(begun):
    assert any(entry.get("question") == "code_current_a" for entry in judged()["find_out"])


def test_somebody_without_a_licence_is_told_to_call(begun):
    reply = judged(worker="unlicensed")
    assert (reply["headline"], reply["who"]["outcome"]) == ("call", "licensed-only")


def test_no_worked_case_of_base_fits_by_it(begun):
    cases = [case for case in scenarios.every() if case.request["pack"] == "iec"]
    assert len(cases) > 30
    for case in cases:
        for worker in ("licensed", "unlicensed"):
            answers = {**case.request["answers"], "worker": worker}
            reply = check(
                {**case.request, "pack": "xx", "as_of": AS_OF, "edition": None, "answers": answers, "confirmed": []}
            )
            assert "error" not in reply, (case.id, reply)
            assert reply["headline"] != "fits", case.id
            assert reply["who"]["outcome"] != "permitted", case.id


def test_the_readers_own_rating_alone_makes_no_pass(begun):
    """The factors for warmth and grouping are missing as well."""
    found = {f["rule"]: f["outcome"] for f in judged(code_current_a=40)["findings"]}
    assert found["load-within-cable"] == "cannot-tell"


@pytest.mark.parametrize(
    "arguments",
    [["XX", "--like", LIKE], ["gb", "--like", LIKE], ["yy", "--like", "zz"], ["yy"], ["iec", "--like", "gb"]],
)
def test_what_cannot_be_begun_is_refused_and_leaves_nothing(rules, monkeypatch, capsys, arguments):
    monkeypatch.setattr(rulefiles, "RULES", rules)
    before = sorted(rules.rglob("*"))
    assert main(["rules", "new", *arguments]) == 64
    assert "fix:" in capsys.readouterr().err
    assert sorted(rules.rglob("*")) == before

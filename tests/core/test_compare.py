"""One job under several rule sets: finding beside finding, what differs first, nothing translated, nothing lost."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from checker.core.api import handle
from tests.core import asking
from tests.packs.conftest import install

PACKS = ["iec", "za"]


def compare(answers: Any, packs: Any, **more: Any) -> dict[str, Any]:
    request = {"format": 1, "ask": "compare", "packs": packs, "as_of": asking.AS_OF, "answers": answers, **more}
    return json.loads(handle(json.dumps(request, default=str)))


@pytest.fixture
def twins(monkeypatch):
    """iec beside a copy of it called zz, altered by the test."""

    def use(alter) -> None:
        mine = asking.contents()["iec"]
        other = copy.deepcopy(mine)
        other["pack"]["id"] = "zz"
        alter(other)
        install(monkeypatch, mine, other)

    return use


def test_each_column_is_what_check_says():
    reply = compare(asking.FITS, PACKS)
    for column, pack in enumerate(PACKS):
        alone = asking.ask(asking.FITS, pack)
        head = reply["packs"][column]
        assert {key: head[key] for key in ("pack", "headline", "who", "sizing", "assumed")} == {
            key: alone[key] for key in ("pack", "headline", "who", "sizing", "assumed")
        }
        beside = {row["rule"]: row["by_pack"][column] for row in reply["findings"] if row["by_pack"][column]}
        assert beside == {f["rule"]: {key: f[key] for key in beside[f["rule"]]} for f in alone["findings"]}
        worked = {row["quantity"]: row["by_pack"][column] for row in reply["quantities"] if row["by_pack"][column]}
        assert worked == alone["quantities"]


def test_what_differs_comes_first():
    rows = compare(asking.FITS, PACKS)["findings"]
    order = [("outcome", "figures", "same").index(row["differs"]) for row in rows]
    assert order == sorted(order)
    assert len(set(order)) > 1


def test_equal_rule_sets_differ_in_nothing(twins):
    twins(lambda other: None)
    reply = compare(asking.FITS, ["iec", "zz"])
    assert {row["differs"] for row in reply["findings"] + reply["quantities"]} == {"same"}


def test_another_limit_is_told_as_another_figure_when_the_outcome_stays(twins):
    def raise_limit(other):
        (row,) = (p for p in other["parameters"] if p["id"] == "minimum_copper_mm2")
        row["value"] = "2"

    twins(raise_limit)
    rows = {row["rule"]: row for row in compare(asking.FITS, ["iec", "zz"])["findings"]}
    assert rows["smallest-size"]["differs"] == "figures"
    assert [entry["right"]["value"] for entry in rows["smallest-size"]["by_pack"]] == ["1.5", "2"]


def test_an_answer_that_one_rule_set_lacks_is_left_out_under_it_and_never_turned_into_its_neighbour(twins):
    def other_sizes(other):
        (question,) = (q for q in other["questions"] if q["id"] == "cable_size")
        question["choices"] = [{"value": "12 AWG", "label": "12 AWG", "help": "", "mm2": "3.31"}]

    twins(other_sizes)
    reply = compare(asking.FITS, ["iec", "zz"])
    assert reply["packs"][0]["left_out"] == []
    (left_out,) = reply["packs"][1]["left_out"]
    assert (left_out["question"], left_out["value"]) == ("cable_size", "2.5 mm2")
    assert reply["packs"][1]["headline"] == "find-out"


def test_a_number_that_is_left_out_comes_back_as_it_was_given(twins):
    def narrower(other):
        (question,) = (q for q in other["questions"] if q["id"] == "load_power_w")
        question["maximum"] = "1000"

    twins(narrower)
    (left_out,) = compare(asking.FITS | {"load_power_w": 3000.5}, ["iec", "zz"])["packs"][1]["left_out"]
    assert (left_out["question"], left_out["value"]) == ("load_power_w", "3000.5")


def test_an_answer_that_one_rule_set_does_not_read_is_left_out_there_with_its_reason():
    """Elsewhere it counts: a breaker of curve D is judged under iec, and us goes without the letter."""
    iec, us = compare(asking.FITS | {"breaker_curve": "D"}, ["iec", "us"])["packs"]
    reasons = {entry["question"]: entry["why"] for entry in us["left_out"]}
    assert iec["left_out"] == []
    assert reasons["breaker_curve"] == "Breakers to UL 489 have no letter"


def test_an_answer_that_no_rule_set_takes_is_an_error_and_not_left_out():
    error = compare(asking.FITS | {"cable_size": "2,5"}, PACKS)["error"]
    assert error["where"] == "answers.cable_size"


def test_a_rule_that_a_pack_lacks_counts_as_not_applicable(twins):
    twins(lambda other: other["rules"].pop())
    rows = compare(asking.FITS, ["iec", "zz"])["findings"]
    (row,) = (row for row in rows if row["by_pack"][1] is None)
    assert row["differs"] == ("same" if row["by_pack"][0]["outcome"] == "not-applicable" else "outcome")


@pytest.mark.parametrize(
    ("packs", "words"),
    [
        (None, "not a list"),
        ("iec,za", "not a list"),
        (["iec"], "1 rule set"),
        (["iec", "iec"], "twice"),
        (["iec", "zz"], "no rule set 'zz'"),
        (["iec", "za@1789"], "no edition '1789'"),
        (["iec"] * 13, "13 rule sets"),
    ],
)
def test_packs_that_cannot_be_compared_are_named(packs, words):
    error = compare(asking.FITS, packs)["error"]
    assert error["where"] == "packs"
    assert words in error["what"]
    assert error["fix"]


def test_an_edition_that_is_not_in_force_says_so_in_every_reply(twins):
    def long_gone(other):
        other["pack"] |= {"id": "iec", "edition": "2005", "valid_from": "2005-01-01", "valid_until": "2017-03-16"}

    twins(long_gone)
    told = asking.ask(asking.FITS, edition="2005")["pack"]
    assert told["in_force"] is False
    assert "2017-03-16" in told["notice"] and "In force on that day: 2017" in told["notice"]
    now = asking.ask(asking.FITS)["pack"]
    assert (now["edition"], now["in_force"], now["notice"]) == ("2017", True, None)


def test_two_editions_in_force_at_once_send_the_reader_to_the_authority(twins):
    twins(lambda other: other["pack"].update({"id": "iec", "edition": "2016", "valid_from": "2016-01-01"}))
    for edition, beside in (("2016", "2017"), ("2017", "2016")):
        notice = asking.ask(asking.FITS, edition=edition)["pack"]["notice"]
        assert beside in notice and "Ask the local authority" in notice


def test_a_rule_set_past_its_review_says_so_in_every_reply():
    assert asking.ask(asking.FITS)["pack"]["notice"] is None
    late = asking.ask(asking.FITS, as_of="2040-01-01")["pack"]
    assert f"due for review on {late['review_by']}" in late["notice"]

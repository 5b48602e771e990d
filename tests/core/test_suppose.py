"""The short run: what is supposed, and that the verdict never rests on it."""

from __future__ import annotations

import json
from decimal import Decimal
from fnmatch import fnmatchcase
from typing import Any

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.core import asking

# By the contract, written apart from the build's own list: danger, law, and what decides the case.
NEVER = (
    *("isolation", "lock_off", "tester", "tester_proved", "other_supply", "board_condition", "earth_present"),
    *(
        "conductor_metal",
        "life_safety_load",
        "worker",
        "premises",
        "place",
        "load_kind",
        "load_power_w",
        "load_current_a",
    ),
    *("motor_output_*", "lamp_count", "lamp_power_w", "device_kind", "device_resistive_a", "device_inductive_a"),
    *("device_motor_*", "device_*_w", "breaker_rating_a", "cable_size", "measured_loop_ohm"),
)
# What somebody says who stands before an everyday water heater and has read the plate, the label and two prints.
EVERYDAY: dict[str, Any] = {
    "isolation": "whole-board", "worker": "licensed", "lock_off": True, "tester": "two-pole", "tester_proved": True,
    "other_supply": "none", "board_condition": "sound", "earth_present": True, "life_safety_load": False,
    "conductor_metal": "copper", "premises": "dwelling", "load_kind": "water-heater", "load_power_w": 3000,
    "load_current_a": "not-stated", "device_kind": "time-switch", "device_resistive_a": 16, "breaker_rating_a": 16,
    "cable_size": "2.5 mm2", "protective_size": "2.5 mm2", "measured_loop_ohm": "not-stated",
    # asked in Britain and in the United States only
    "place": "england", "work_scope": "existing-circuit", "work_place": "elsewhere", "skilled_tester": True,
    "board_maker_accepts": True, "device_listed": True, "permit": "issued", "working_space": True,
}  # fmt: skip
US = {
    "place": "other",
    "breaker_rating_a": 20,
    "device_resistive_a": 40,
    "cable_size": "12 AWG",
    "protective_size": "12 AWG",
}


GB = {"protective_size": "1.5 mm2"}  # flat cable has a thinner earth wire


def everyday(pack: str) -> dict[str, Any]:
    return EVERYDAY | {"us": US, "gb": GB}.get(pack, {})


def short_run(pack: str, told: dict[str, Any]) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """The replies to `next` with `suppose`, each with the answers so far; one question answered at a time."""
    answers: dict[str, Any] = {}
    found = []
    while True:
        reply = asking.ask(answers, pack, ask="next", suppose=True)
        found.append((reply, dict(answers)))
        if reply["question"] is None:
            return found
        name = reply["question"]["id"]
        answers[name] = told.get(name, "dont-know")


def supposed(answers: dict[str, Any], pack: str) -> dict[str, Any]:
    return asking.ask(answers, pack, suppose=True)["supposed"]


def usual_of(pack: str, answers: dict[str, Any]) -> dict[str, Any]:
    """The usual answer of everything open, read from the pack as anybody could."""
    open_ = [
        q
        for q in asking.contents()[pack]["questions"]
        if answers.get(q["id"], "dont-know") == "dont-know" and q["usual"]
    ]
    usual = {q["id"]: q["usual"]["value"] for q in open_ if "value" in q["usual"]}
    same = {q["id"]: answers[q["usual"]["same_as"]] for q in open_ if q["usual"].get("same_as") in answers}
    return usual | {name: answer for name, answer in same.items() if answer != "dont-know"}


@asking.each_pack
def test_nothing_of_danger_or_law_and_nothing_that_decides_the_case_has_a_usual_answer(pack):
    content = asking.contents()[pack]
    parts = {stage["id"]: stage["part"] for stage in content["stages"]}
    usual = [question for question in content["questions"] if question["usual"]]
    assert not [q["id"] for q in usual if any(fnmatchcase(q["id"], pattern) for pattern in NEVER)]
    assert not [q["id"] for q in usual if parts[q["stage"]] in ("danger", "who")]


@pytest.mark.parametrize("ask", ["check", "next"])
@pytest.mark.sampled(one_in=24)
@pytest.mark.parametrize("case", scenarios.every(), ids=lambda case: case.id)
def test_supposing_changes_nothing_but_what_it_adds(case, ask):
    request = case.request | {"ask": ask, "counsel": False}
    without, with_ = (json.loads(handle(json.dumps(request | {"suppose": wish}))) for wish in (False, True))
    added = {"supposed"} if ask == "check" else {"supposed", "screen", "progress", "question"}
    assert {key: value for key, value in with_.items() if key not in added} == {
        key: value for key, value in without.items() if key not in added
    }
    assert list(with_)[: len(without)] == list(without)


@asking.each_pack
def test_the_supposed_verdict_is_the_check_with_the_usual_answers_filled_in(pack):
    replies = short_run(pack, everyday(pack))
    answers = replies[-1][1]
    said = supposed(answers, pack)
    filled = asking.ask(answers | usual_of(pack, answers), pack)
    assert said["waits_for"] == []
    for key in ("headline", "who", "sizing"):
        assert said[key] == filled[key]


@asking.each_pack
def test_the_everyday_heater_takes_ten_answers_for_its_size_and_twenty_two_in_all(pack):
    answers = short_run(pack, everyday(pack))[-1][1]
    parts = {stage["id"]: stage["part"] for stage in asking.contents()[pack]["stages"]}
    stages = {question["id"]: question["stage"] for question in asking.contents()[pack]["questions"]}
    sizing = [name for name in answers if parts[stages[name]] not in ("danger", "who")]
    assert len(sizing) <= 10
    assert len(answers) <= 22


@asking.each_pack
def test_the_everyday_heater_fits_if_all_is_as_usual_and_until_then_the_verdict_is_find_out(pack):
    answers = short_run(pack, everyday(pack))[-1][1]
    assert supposed(answers, pack)["headline"] == "fits"
    assert asking.ask(answers, pack)["headline"] == "find-out"


@asking.each_pack
def test_when_every_line_is_ticked_the_verdict_itself_is_fits(pack):
    answers = short_run(pack, everyday(pack))[-1][1]
    ticked = answers | {line["question"]: line["value"] for line in supposed(answers, pack)["lines"]}
    assert asking.ask(ticked, pack)["headline"] == "fits"


@asking.each_pack
def test_a_tolerance_is_what_a_check_on_either_side_of_it_says(pack):
    answers = short_run(pack, everyday(pack))[-1][1]
    said = supposed(answers, pack)
    filled = answers | usual_of(pack, answers)
    told = [line for line in said["lines"] if line["changes_at"] is not None]
    assert told
    for line in told:
        on, beyond = (asking.ask(filled | {line["question"]: line[end]}, pack) for end in ("holds_to", "changes_at"))
        verdicts = [(r["headline"], r["who"]["outcome"], r["sizing"]["outcome"]) for r in (on, beyond)]
        assert verdicts[0] == (said["headline"], said["who"]["outcome"], said["sizing"]["outcome"]), line
        assert verdicts[1] != verdicts[0], line


@asking.each_pack
def test_of_a_choice_exactly_the_named_ones_keep_the_verdict(pack):
    answers = short_run(pack, everyday(pack))[-1][1]
    said = supposed(answers, pack)
    filled = answers | usual_of(pack, answers)
    for line in said["lines"]:
        if "holds" in line:
            question = next(q for q in asking.contents()[pack]["questions"] if q["id"] == line["question"])
            choices = [True, False] if question["kind"] == "yes-no" else [c["value"] for c in question["choices"]]
            keep = [
                c for c in choices if asking.ask(filled | {line["question"]: c}, pack)["headline"] == said["headline"]
            ]
            assert [answer for answer in line["holds"] if answer != "not-stated"] == keep, line


@asking.each_pack
def test_every_line_is_needed(pack):
    """With any one of them left unticked the verdict is not there yet."""
    answers = short_run(pack, everyday(pack))[-1][1]
    ticked = answers | {line["question"]: line["value"] for line in supposed(answers, pack)["lines"]}
    for line in supposed(answers, pack)["lines"]:
        without = {name: answer for name, answer in ticked.items() if name != line["question"]}
        assert asking.ask(without, pack)["headline"] != "fits", line["question"]


# How much a supply can deliver is met by a breaker of just that capacity: they are made in these steps.
JUST_ENOUGH = ("fault_current_ka", "breaker_capacity_ka")
# A bound for the cable and one for the second cable beside it: together they leave no room for 16 A on 2.5 mm².
BOUNDED_TWICE = {"au": ("grouped_circuits",), "nz": ("grouped_circuits",)}


@asking.each_pack
def test_no_usual_number_stands_on_the_edge(pack):
    """Who finds it a little worse than usual is not at once told that it does not fit."""
    for line in supposed(short_run(pack, everyday(pack))[-1][1], pack)["lines"]:
        if line["changes_at"] is not None and line["question"] not in (*JUST_ENOUGH, *BOUNDED_TWICE.get(pack, ())):
            assert line["holds_to"] != line["value"], line["question"]


def test_what_a_label_may_leave_out_is_told_in_words():
    lines = supposed(short_run("iec", everyday("iec"))[-1][1], "iec")["lines"]
    silent = [line for line in lines if line["value"] == "not-stated"]
    assert silent
    assert all(line["text"].endswith(": the label does not say") for line in silent)


@pytest.mark.sampled(one_in=12)
@pytest.mark.parametrize("case", scenarios.every(), ids=lambda case: case.id)
def test_progress_never_goes_back(case):
    told = [reply["progress"] for reply, _ in short_run(case.request["pack"], case.request["answers"])]
    done, about = ([progress[key] for progress in told] for key in ("done", "about"))
    assert done == sorted(done)
    assert about == sorted(about, reverse=True)


def test_the_tightest_line_comes_first():
    lines = supposed(short_run("iec", everyday("iec"))[-1][1], "iec")["lines"]
    told = [(Decimal(line["value"]), Decimal(line["changes_at"])) for line in lines if line["changes_at"] is not None]
    far = [abs(edge - usual) / max(abs(usual), 1) for usual, edge in told]
    assert far == sorted(far)


@asking.each_pack
def test_a_screen_holds_the_open_questions_of_one_object_the_one_to_answer_first(pack):
    for reply, answers in short_run(pack, everyday(pack)):
        if reply["question"] is None:
            assert reply["screen"] is None
            continue
        shown = reply["screen"]["questions"]
        assert shown[0] == reply["question"]
        assert {question["screen"] for question in shown} == {reply["screen"]["id"]}
        assert not {question["id"] for question in shown} & answers.keys()


def test_what_nobody_may_suppose_is_waited_for_and_until_then_nothing_is_said_to_fit():
    answers = short_run("iec", everyday("iec") | {"breaker_rating_a": "dont-know"})[-1][1]
    said = supposed(answers, "iec")
    assert said["waits_for"] == ["breaker_rating_a"]
    assert (said["headline"], said["lines"]) == ("find-out", [])
    assert asking.ask(answers, ask="next", suppose=True)["question"] is None


def test_a_danger_stops_the_short_run_at_once():
    replies = short_run("iec", everyday("iec") | {"isolation": "none"})
    assert len(replies) == 2
    assert supposed(replies[-1][1], "iec")["headline"] == "stop"


@pytest.mark.parametrize("told", [{"suppose": "yes"}, {"suppose": True, "ask": "sheet"}], ids=["no truth", "no place"])
def test_a_wish_that_cannot_be_met_is_refused(told):
    reply = json.loads(handle(asking.text(everyday("iec"), **told)))
    assert reply["error"]["where"] == "suppose"

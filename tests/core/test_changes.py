"""Counsel: what would make it fit is verified, smallest first; how far a number is from another verdict is exact."""

from __future__ import annotations

import copy
import json
from decimal import Decimal
from typing import Any

import pytest

from checker.core.api import handle
from tests.core import asking
from tests.packs.conftest import install

MOTOR = {"load_kind": "motor", "load_current_a": 6, "load_power_w": "not-stated", "device_inductive_a": 4}
CASES = {
    "no room": {"spare_modules": 0},
    "breaker too large": {"breaker_rating_a": 25},
    "route too long": {"run_length_m": 60},
    "load too large": {"load_power_w": 6000},
    "bracket too small": MOTOR,
    "neutral elsewhere": {"neutral_bar": "other-rcd"},
    "two things": {"neutral_bar": "other-rcd", "spare_modules": 0},
    "aluminium": {"conductor_metal": "aluminium"},
    "warm": {"ambient_c": 55},
}


def advised(changes: dict[str, Any], pack: str = "iec", **more: Any) -> dict[str, Any]:
    # A contactor that is not there has no label that could leave anything out.
    there = {name: answer for name, answer in asking.sound(pack).items() if not name.startswith("contactor_")}
    return asking.ask(there | changes, pack, counsel=True, **more)


def test_advice_is_not_something_that_has_to_change():
    report = advised({"device_short_circuit_ka": "not-stated"})
    assert asking.outcomes(report)["device-short-circuit-stated"] == "failed"
    assert report["sizing"]["outcome"] == "fits"
    assert report["changes"] == []


def test_counsel_is_left_out_when_nobody_wants_it():
    report = asking.ask(asking.FITS, counsel=False)
    assert (report["changes"], report["flips"]) == (None, None)
    assert asking.ask(asking.FITS, counsel=True)["flips"]


@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("case", CASES)
def test_every_set_of_changes_clears_the_sizing_and_no_part_of_it_does(case, pack):
    report = advised(CASES[case], pack)
    if report["sizing"]["outcome"] != "change":
        pytest.skip("in this rule set it is not too small")
    sets = [change for change in report["changes"] if change["answers"]]
    assert sets or report["changes"][0]["sizing"] == "change", (
        "either it can be put right, or it is said that it cannot"
    )
    assert sets or pack not in ("iec", "za"), "each of these can be put right"
    for change in sets:
        assert set(change["rules"]) == set(report["sizing"]["because"])
        assert change["text"].strip()
        after = asking.ask(asking.sound(pack) | CASES[case] | change["answers"], pack)
        assert after["sizing"]["outcome"] == change["sizing"] != "change"
        for left_out in change["answers"] if len(change["things"]) > 1 else ():
            part = {name: value for name, value in change["answers"].items() if name != left_out}
            again = asking.ask(asking.sound(pack) | CASES[case] | part, pack)
            assert again["sizing"]["outcome"] != "fits", f"{left_out} need not change"


@pytest.mark.parametrize("case", CASES)
def test_fewest_things_and_least_cost_come_first(case):
    ranks = [(len(change["things"]), change["cost"]) for change in advised(CASES[case])["changes"]]
    assert ranks == sorted(ranks)


def test_a_weak_bracket_is_cured_by_another_switch_or_a_contactor_or_a_smaller_motor():
    switch, contactor, motor = advised(MOTOR)["changes"]
    assert switch["answers"] == {"device_inductive_a": "6"}
    assert contactor["answers"]["device_kind"] == "time-switch-and-contactor"
    assert contactor["answers"]["contactor_motor_a"] == "6"
    assert motor["answers"] == {"load_current_a": "4"}


def test_where_a_contactor_is_advised_it_is_said_what_else_must_then_be_known():
    """Nobody was asked for the wires to its coil: the advice stands, and names them."""
    contactor = next(c for c in advised(MOTOR)["changes"] if "device_kind" in c["answers"])
    assert contactor["sizing"] == "find-out"
    labels = {q["id"]: q["label"] for q in asking.contents()["iec"]["questions"]}
    assert all(labels[name] in contactor["text"] for name in ("control_size", "control_terminal_max_mm2"))


def test_a_thicker_cable_takes_its_earth_wire_along():
    """16 A through 60 m of 2.5 mm² lose too much; 4 mm² with an earth wire of 4 mm² do not (table 54.3 of part 5-54)."""
    cable = next(c for c in advised({"run_length_m": 60})["changes"] if "cable_size" in c["answers"])
    assert cable["answers"] == {"cable_size": "4 mm2", "protective_size": "4 mm2"}
    assert cable["things"] == ["cable"]


def test_what_nothing_can_mend_is_said_so():
    """No breaker in the list of what can be had interrupts 60 kA: that is for somebody who plans the whole supply."""
    report = advised({"fault_current_ka": 60})
    assert report["sizing"]["outcome"] == "change"
    (only,) = report["changes"]
    assert only["answers"] == {}
    assert only["cost"] is None
    assert "knows no change" in only["text"]


def flip(report: dict[str, Any], question: str, toward: str) -> dict[str, Any]:
    (found,) = (f for f in report["flips"] if (f["question"], f["toward"]) == (question, toward))
    return found


@pytest.mark.sampled(one_in=5)
@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("case", [{}, {"breaker_rating_a": 25}, {"run_length_m": 60}, {"worker": "unlicensed"}, MOTOR])
def test_a_flip_is_where_the_verdict_changes(case, pack):
    """At `holds_to` nothing has changed, at `changes_at` it has, and half way from the answer it has not."""
    report = advised(case, pack)
    before = report["headline"], report["sizing"]["outcome"]
    assert report["flips"] or report["sizing"]["outcome"] == "find-out"
    for found in report["flips"]:
        now, holds = Decimal(found["now"]), Decimal(found["holds_to"])
        for value in (holds, (now + holds) / 2):
            same = asking.ask(asking.sound(pack) | case | {found["question"]: str(value)}, pack)
            assert (same["headline"], same["sizing"]["outcome"]) == before, found
        other = asking.ask(asking.sound(pack) | case | {found["question"]: found["changes_at"]}, pack)
        after = other["headline"] if found["part"] == "headline" else other["sizing"]["outcome"]
        assert after == found["after"] != found["before"], found
        assert asking.outcomes(other)[found["rules"][0]] != asking.outcomes(report)[found["rules"][0]]


@pytest.mark.parametrize(
    ("question", "toward", "holds", "breaks"),
    [
        # 16 A x 230 V, Ohm's law.
        ("load_power_w", "up", "3680", "3681"),
        # 3000 W / 230 V = 13.0434... A.
        ("breaker_rating_a", "down", "13.05", "13.04"),
        ("breaker_rating_a", "up", "16", "16.01"),
        ("fault_current_ka", "up", "6", "6.01"),
        ("spare_modules", "down", "2", "1.5"),
    ],
)
def test_the_nearest_value_is_the_one_that_can_be_worked_out_by_hand(question, toward, holds, breaks):
    found = flip(advised({}), question, toward)
    assert (found["holds_to"], found["changes_at"]) == (holds, breaks)


def test_the_longest_route_is_the_one_the_quantity_names():
    report = advised({})
    longest = Decimal(report["quantities"]["longest_run_m"]["exact"])
    found = flip(report, "run_length_m", "up")
    assert Decimal(found["holds_to"]) <= longest < Decimal(found["changes_at"])
    assert Decimal(found["changes_at"]) - Decimal(found["holds_to"]) == Decimal("0.1")


@pytest.mark.parametrize("wanted", [1, "yes", None, []])
def test_a_wish_for_counsel_is_yes_or_no(wanted):
    reply = json.loads(handle(asking.text(asking.FITS, counsel=wanted)))
    assert reply["error"]["where"] == "counsel"


FOUR_THINGS = {"neutral_bar": "other-rcd", "spare_modules": 0, "run_length_m": 60, "clock_supply": "other-breaker"}


def test_no_set_of_more_than_three_things_is_named():
    """Four things are another job: that is told in place of a list. With any one of them in order the rest are named."""
    (told,) = advised(FOUR_THINGS)["changes"]
    assert told["answers"] == {}
    for sound in FOUR_THINGS:
        rest = {name: answer for name, answer in FOUR_THINGS.items() if name != sound}
        assert {len(found["things"]) for found in advised(rest)["changes"]} == {3}, sound


def test_a_change_with_which_the_whole_case_fails_is_not_named(monkeypatch):
    """A rule that was in doubt may be settled by the change: failed then, whatever the answer that nobody knows."""
    thicker = {"cable_size": "4 mm2", "protective_size": "4 mm2"}
    case = {"run_length_m": 60, "torque_tool": "dont-know"}
    assert thicker in [found["answers"] for found in advised(case)["changes"]]
    content = copy.deepcopy(asking.contents()["iec"])
    rule = next(rule for rule in content["rules"] if rule["id"] == "breaker-within-cable")
    tool, thick = ["name", "torque_tool"], ["==", ["name", "cable_size"], ["text", "4 mm2"]]
    # Open while the cable is thin; with the thicker one it fails for yes and for no, each for a reason of its own.
    rule |= {"requires": ["and", tool, ["not", ["and", thick, tool]]], "comparisons": []}
    install(monkeypatch, content)
    assert thicker not in [found["answers"] for found in advised(case)["changes"]]

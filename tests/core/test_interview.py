"""The run of questions: danger before law before size, nothing idle, and a verdict at the end."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.core import asking

PARTS = ("danger", "who", "sizing", "after")


def run(answers: dict[str, Any], pack: str = "iec", beyond: bool = False) -> list[dict[str, Any]]:
    """The replies of a whole run: what `answers` does not hold is not known."""
    return _run(tuple(answers.items()), pack, beyond)


@cache
def _run(answers: tuple[tuple[str, Any], ...], pack: str, beyond: bool) -> list[dict[str, Any]]:
    told = dict(answers)
    return [reply for reply, _ in asking.walk(lambda question: told.get(question["id"], "dont-know"), pack, beyond)]


def asked(replies: list[dict[str, Any]]) -> list[str]:
    questions = [reply["question"] or reply["beyond"]["question"] for reply in replies[:-1]]
    return [question["id"] for question in questions]


def given(replies: list[dict[str, Any]], answers: dict[str, Any]) -> dict[str, Any]:
    return {question: answers.get(question, "dont-know") for question in asked(replies)}


VARIANTS = {
    "sound": {},
    "circuit only": {"isolation": "circuit-only"},
    "motor": {"load_kind": "motor", "motor_output_w": 1100, "load_power_w": "not-stated", "device_inductive_a": 4},
    "lamps": {
        "load_kind": "led-lamps",
        "load_power_w": "not-stated",
        "lamp_count": 10,
        "lamp_power_w": 8,
        "power_factor": 0.9,
        "device_led_w": 100,
    },
    "contactor": {"device_kind": "time-switch-and-contactor", "contactor_resistive_a": 25, "contactor_modules": 1},
    "homeowner": {"worker": "unlicensed"},
    "nothing known": dict.fromkeys(asking.FITS, "dont-know"),
}
ORDERED_IN_ALL = ("sound", "homeowner", "nothing known")


# Every variant under one rule set, and under each the three that meet its own rules of danger and of law.
ORDERED = [
    (variant, pack) for variant in VARIANTS for pack in asking.PACKS if pack == "iec" or variant in ORDERED_IN_ALL
]


@pytest.mark.sampled(one_in=10)
@pytest.mark.parametrize(("variant", "pack"), ORDERED)
def test_danger_before_law_before_size(variant, pack):
    """A question belongs to the earliest part with a rule that waits for it; the parts come one after the other.

    One that stands in a stage of danger is asked with those: who does the work comes right at the start, for nobody
    should answer twenty questions to hear "call".
    """
    parts = {stage["id"]: stage["part"] for stage in asking.contents()[pack]["stages"]}
    answers = asking.sound(pack) | VARIANTS[variant]
    ranks = []
    for reply, so_far in asking.walk(lambda question: answers.get(question["id"], "dont-know"), pack):
        if reply["question"]:
            asked_now = reply["question"]["id"]
            # After a call nothing else about who may do it changes the verdict: those rules wait for nothing any more.
            idle = "who" if reply["settled"]["headline"] in ("stop", "call") else None
            findings = [f for f in asking.ask(so_far, pack)["findings"] if f["part"] != idle]
            named = [
                f
                for f in findings
                if {"kind": "not-asked", "id": asked_now} in [{"kind": r["kind"], "id": r["id"]} for r in f["reasons"]]
            ]
            early = parts[reply["question"]["stage"]] == "danger"
            ranks.append(0 if early else min(PARTS.index(parts[f["stage"]]) for f in named))
    assert ranks == sorted(ranks)
    assert {0, 2} <= set(ranks)


def test_a_shared_neutral_stops_the_job_before_any_size_is_asked():
    """Only a rule of danger makes the neutral urgent: with the whole board dead it is asked late."""
    replies = run(asking.FITS | {"isolation": "circuit-only", "neutral_bar": "shared"})
    at = asked(replies).index("neutral_bar")
    assert replies[at + 1]["settled"]["headline"] == "stop"
    assert at <= 9
    assert asked(run(asking.FITS)).index("neutral_bar") > 20


@pytest.mark.parametrize("pack", asking.PACKS)
def test_no_isolation_stops_at_once(pack):
    replies = run(asking.sound(pack) | {"isolation": "none"}, pack)
    assert asked(replies)[0] == "isolation"
    assert replies[0]["settled"]["headline"] is None
    assert replies[1]["settled"]["headline"] == "stop"
    (finding,) = (finding for finding in replies[1]["settled"]["findings"] if finding["outcome"] == "failed")
    assert (finding["rule"], finding["outcome"]) == ("isolation-possible", "failed")
    assert set(finding) == {"rule", "title", "outcome", "message"}


# How soon somebody without a licence hears "call": after this many questions.
CALL_AFTER = 3


def reserved(pack: str) -> bool:
    """Whether this rule set keeps the work for licensed people."""
    report = asking.ask(asking.sound(pack) | {"worker": "unlicensed"}, pack)
    return report["headline"] == "call"


def test_some_rule_sets_reserve_the_work():
    assert reserved("iec")
    assert reserved("za")


@pytest.mark.parametrize("pack", asking.PACKS)
def test_a_homeowner_hears_call_early_and_still_learns_what_fits(pack):
    if not reserved(pack):
        pytest.skip("this rule set lets anybody do it")
    answers = asking.sound(pack) | {"worker": "unlicensed"}
    replies = run(answers, pack)
    called = next(at for at, reply in enumerate(replies) if reply["settled"]["headline"] == "call")
    assert called <= CALL_AFTER
    assert replies[called]["question"], "going on is allowed: the sizing questions follow"
    assert {reply["settled"]["headline"] for reply in replies[called:]} == {"call"}
    report = asking.ask(given(replies, answers), pack)
    assert (report["headline"], report["who"]["outcome"], report["sizing"]["outcome"]) == (
        "call",
        "licensed-only",
        "fits",
    )


@pytest.mark.sampled(one_in=10)
@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("variant", VARIANTS)
def test_a_run_ends_with_the_verdict_and_may_go_on_to_the_last_doubt(variant, pack):
    answers = asking.sound(pack) | VARIANTS[variant]
    replies = run(answers, pack)
    report = asking.ask(given(replies, answers), pack)
    assert replies[-1]["settled"]["headline"] in (report["headline"], None)
    if report["headline"] in ("stop", "call", "change"):
        assert replies[-1]["settled"]["headline"] == report["headline"]
    settled = {finding["rule"]: finding["outcome"] for finding in replies[-1]["settled"]["findings"]}
    assert settled.items() <= asking.outcomes(report).items()

    further = run(answers, pack, beyond=True)
    assert asked(further)[: len(replies) - 1] == asked(replies), "going on changes nothing of what was asked before"
    assert further[-1]["beyond"] == {"question": None, "at_most": 0}
    whole = asking.ask(given(further, answers), pack)
    assert whole["headline"] == report["headline"]
    assert (whole["who"]["outcome"], whole["sizing"]["outcome"]) == (
        report["who"]["outcome"],
        report["sizing"]["outcome"],
    )
    assert not [
        reason
        for finding in whole["findings"]
        for reason in finding["reasons"]
        if reason["kind"] == "not-asked" and finding["weight"] != "advice"
    ]


@pytest.mark.parametrize("pack", asking.PACKS)
def test_where_the_verdict_is_settled_nothing_more_is_asked(pack):
    """A stop and something too small: no answer can change either, so the run is over; the rest can still be told."""
    answers = asking.sound(pack) | {"isolation": "none", "device_resistive_a": 4, "load_current_a": 13}
    replies = run(answers, pack)
    at = asked(replies).index("device_resistive_a")
    assert len(replies) <= at + 3, "only the label facts that could save the device come after it"
    assert "worker" not in asked(replies), "after a stop nobody asks who may do it"
    assert replies[-1]["question"] is None
    assert replies[-1]["beyond"]["question"]
    assert replies[-1]["beyond"]["at_most"] > 5


def test_only_what_can_matter_is_asked():
    questions = asked(run(asking.FITS))
    for idle in (
        "device_inductive_a",
        "device_led_w",
        "motor_output_w",
        "ferrules",
        "rcd_rating_ma",
        "contactor_resistive_a",
        "lamp_count",
    ):
        assert idle not in questions, f"{idle} cannot change the verdict on a water heater"
    assert set(questions) <= set(asking.FITS)


@pytest.mark.parametrize(
    ("changes", "fact", "rule"),
    [
        ({"breaker_rating_a": 20}, "device_backup_a", "breaker-within-device"),
        ({"device_resistive_a": 10}, "load_current_a", "thermal-rating"),
        (
            {
                "load_kind": "motor",
                "load_current_a": "not-stated",
                "load_power_w": "not-stated",
                "motor_output_w": 2200,
                "efficiency": 0.8,
            },
            "power_factor",
            "breaker-carries-load",
        ),
    ],
    ids=["backup fuse", "nameplate current", "power factor"],
)
def test_a_label_fact_that_could_turn_the_rule_is_asked_before_it_is_settled(changes, fact, rule):
    """Until then the failure is not settled, and "change" is not said."""
    answers = {**asking.FITS, "device_backup_a": 16, **changes}
    replies = run(answers | {fact: answers.get(fact, "not-stated")})
    at = asked(replies).index(fact)
    for reply in replies[: at + 1]:
        assert rule not in {finding["rule"] for finding in reply["settled"]["findings"]}
        assert reply["settled"]["headline"] is None
    final = asking.outcomes(asking.ask(answers | {fact: "not-stated"}))
    assert final[rule] == "failed"
    assert replies[-1]["settled"]["headline"] == "change"


def test_the_maker_s_larger_breaker_turns_the_failure_into_a_pass():
    answers = asking.FITS | {"breaker_rating_a": 20, "device_backup_a": 20}
    replies = run(answers)
    assert "device_backup_a" in asked(replies)
    assert asking.ask(given(replies, answers))["headline"] == "fits"


@pytest.mark.sampled(one_in=10)
@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("variant", VARIANTS)
def test_what_remains_is_never_understated_and_never_grows(variant, pack):
    replies = run(asking.sound(pack) | VARIANTS[variant], pack)
    bounds = [reply["remaining"]["at_most"] for reply in replies]
    really = [len(replies) - 1 - at for at in range(len(replies))]
    assert all(bound >= left for bound, left in zip(bounds, really, strict=True))
    assert bounds[-1] < bounds[0]
    assert bounds[0] <= len(asking.contents()[pack]["questions"])
    assert bounds[-1] == 0
    assert [reply["answered"] for reply in replies] == list(range(len(replies)))


def test_a_run_may_start_anywhere():
    """Answers given before, in any place of the run, are not asked again."""
    late = {name: asking.FITS[name] for name in ("location", "rcd", "cable_size", "worker")}
    reply = asking.ask(late, ask="next")
    assert reply["question"]["id"] == "isolation"
    assert asking.ask(asking.FITS, ask="next")["question"] is None


def test_a_question_comes_with_all_a_front_end_draws():
    described = {question["id"]: question for question in asking.ask({}, ask="describe")["questions"]}
    for reply in run(asking.FITS)[:-1]:
        question = reply["question"]
        assert question == described[question["id"]]
        assert question["dont_know"] is True
        assert question["decides"], "a question that decides nothing is not asked"
        assert all(question[part].strip() for part in ("text", "help", "why", "find_out", "stage_title"))
        assert (question["kind"] == "number") == (question["unit"] is not None) == (question["minimum"] is not None)
        assert (question["kind"] == "choice") == bool(question["choices"])

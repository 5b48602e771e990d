"""The batch itself: a comparison of runtimes proves little if it asks little."""

from __future__ import annotations

import json

from checker.core.api import handle
from tests.runtimes import batch


def test_scenarios_are_judged(replies):
    judged = [json.loads(text) for name, text in replies.items() if name.endswith(": check")]
    assert judged, "there is no scenario to compare"
    assert all("headline" in reply for reply in judged)


def test_random_answers_are_judged_and_reach_more_than_one_headline(replies):
    judged = [json.loads(text) for name, text in replies.items() if name.startswith("random ")]
    assert judged
    assert not [reply["error"] for reply in judged if "error" in reply]
    assert len({reply["headline"] for reply in judged if "headline" in reply}) > 1


def test_every_bad_request_gets_an_error_and_no_verdict(replies):
    bad = batch.bad_requests()
    assert bad.keys() <= replies.keys()
    for name in bad:
        reply = json.loads(replies[name])
        assert set(reply["error"]) == {"where", "what", "why", "fix"}, name
        assert all(reply["error"].values()), name
        assert "headline" not in reply, name


def test_no_reply_tells_of_a_fault_of_ours(replies):
    assert not [(name, text) for name, text in replies.items() if json.loads(text).get("fault")]


def test_differences_are_found():
    one = {"a": "the same", "b": '{"value":"13.04"}', "c": "long"}
    other = {"a": "the same", "b": '{"value":"13.05"}', "c": "longer"}
    found = batch.differences(dict.fromkeys("abc", ""), one, other)
    assert "13.04" in found
    assert "13.05" in found
    assert "longer" in found
    assert "the same" not in found


def test_plans_by_chance_are_worked_out(replies):
    planned = [json.loads(replies.get(name) or handle(text)) for name, text in batch.plans().items()]
    assert not [reply["error"] for reply in planned if "error" in reply]
    assert {reply["year"]["model"] for reply in planned} >= {"tank", "power x time", "none"}
    assert all("headline" in reply for reply in planned)

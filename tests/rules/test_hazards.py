"""The hazard log: each hazard happens in its case, is caught or told there, and nowhere in the case it starts from."""

from __future__ import annotations

import functools
import json
from typing import Any

import pytest

from checker.dev.cases import hazards, scenarios
from checker.dev.rulebook import hazards as log
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import read_once

CASES = hazards.cases()
STARTS = hazards.starting()

each_case = pytest.mark.parametrize("case", CASES, ids=str)


@functools.cache
def _reply(request_json: str) -> dict[str, Any]:
    return hazards.reply(json.loads(request_json))


def reply(request: dict[str, Any]) -> dict[str, Any]:
    return _reply(json.dumps(request))


@pytest.mark.parametrize("name", STARTS)
def test_a_starting_case_fits(name):
    """Else a hazard could be caught by what was wrong already."""
    assert reply(STARTS[name])["headline"] == "fits"


def test_a_region_starts_from_scenarios_of_its_own():
    with read_once():
        wanted = {path: resolved(path)[0].pack["id"] for path in region_folders()}
    for path, pack in wanted.items():
        for name, start in log.starts(path).items():
            assert scenarios.read(scenarios.FOLDER / f"{start.scenario}.toml").request["pack"] == pack, name


@pytest.mark.sampled(one_in=20)
@each_case
def test_the_named_rules_catch_it(case):
    assert set(case.caught_by) - hazards.bites(reply(case.request)) == set()


@pytest.mark.sampled(one_in=20)
@each_case
def test_the_named_rules_are_silent_without_it(case):
    assert set(case.caught_by) & hazards.bites(reply(case.without)) == set()


@pytest.mark.sampled(one_in=20)
@each_case
def test_the_named_texts_reach_the_person(case):
    assert set(case.told_by) - hazards.texts(reply(case.request)) == set()


@pytest.mark.sampled(one_in=20)
@pytest.mark.parametrize("case", [case for case in CASES if "everyone" not in case.hazard.data], ids=str)
def test_the_named_texts_reach_nobody_else(case):
    assert set(case.told_by) & hazards.texts(reply(case.without)) == set()


@pytest.mark.sampled(one_in=20)
@each_case
def test_what_a_deciding_rule_catches_does_not_fit(case):
    """A rule of advice, or of the schedule, tells and decides nothing."""
    said = reply(case.request)
    deciding = {row["rule"] for row in said["findings"] if row["weight"] != "advice"}
    if set(case.caught_by) & deciding:
        assert said["headline"] != "fits"


def test_something_catches_or_tells_each_in_its_pack():
    assert [str(case) for case in CASES if not (case.caught_by or case.told_by)] == []


def test_every_pack_runs_hazards():
    assert {f"{case.pack}@{case.edition}" for case in CASES} == {name.split()[0] for name in STARTS}
    assert len({name.split()[0] for name in STARTS}) == len(region_folders())


def test_every_hazard_is_run_somewhere():
    listed = {item.id for _, _, item in log.every(region_folders())}
    assert {case.hazard.id for case in CASES} == listed


def test_a_case_without_its_change_is_not_caught():
    """The comparison can fail: a hazard whose changed answers are taken out again."""
    case = next(case for case in CASES if case.hazard.id == "sick-board-touched" and case.pack == "iec")
    assert set(case.caught_by) - hazards.bites(reply(case.without)) == {"board-sound"}


def test_every_step_and_every_guide_word_is_used():
    """A step without a hazard, or a guide word that never found one, means that the pass through the job was not made."""
    schema = json.loads((log.RULES / "schema" / "hazard.schema.json").read_text("utf-8"))["properties"]
    for key in ("step", "guide"):
        assert {case.hazard.data[key] for case in CASES} == set(schema[key]["enum"])

"""The gate: a pass stands only on figures that are known well and are fresh. It can only take passes away."""

from __future__ import annotations

import copy
from collections import ChainMap
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest

from checker.core import findings
from checker.core.findings import Gate
from checker.core.pack import Pack
from checker.core.situation import Situation
from checker.core.tables import Cell, Table
from checker.core.verdict import HEADLINES, reach
from tests.core import asking

CELL = "cable-current/copper/pvc/B2/two/2.5"
RULE = "breaker-within-cable"
STANDS = ("opened", "two-sources", "derived", "one-source", "cross-checked", "practice")


def standings(content: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Whatever has a status: cells, parameters and rules, by id."""
    for table in content["tables"]:
        for cell in table["cells"]:
            yield f"{table['id']}/{'/'.join(cell['keys'])}", cell
    for kind in ("parameters", "rules"):
        for entry in content[kind]:
            yield entry["id"], entry


def setting(**changes: dict[str, str]):
    """An edit of a pack: the status (or another key) of the thing with this id."""

    def edit(content: dict[str, Any]) -> None:
        held = dict(standings(content))
        for key, by_id in changes.items():
            for name, value in by_id.items():
                held[name][key] = value

    return edit


@pytest.mark.parametrize("status", STANDS)
def test_a_pass_stands_on_these(status, altered):
    altered(setting(status={CELL: status}))
    finding = asking.found(asking.ask(asking.FITS), RULE)
    assert finding["outcome"] == "passed"
    assert next(cell["status"] for cell in finding["cells"] if cell["id"] == CELL) == status, "the report marks it"


@pytest.mark.parametrize(
    ("thing", "rule"),
    [
        pytest.param(CELL, RULE, id="a cell"),
        pytest.param("minimum_copper_mm2", "smallest-size", id="a parameter"),
        pytest.param(RULE, RULE, id="the rule itself"),
        pytest.param("contact-rating/water-heater", "contact-rating-serves-load", id="a cell that only applies reads"),
    ],
)
def test_memory_takes_the_pass_and_a_confirmation_gives_it_back(thing, rule, altered):
    altered(setting(status={thing: "memory"}))
    doubted = asking.ask(asking.FITS)
    finding = asking.found(doubted, rule)
    assert finding["outcome"] == "cannot-tell"
    assert [(reason["kind"], reason["id"]) for reason in finding["reasons"]] == [("confirm", thing)]
    assert thing in finding["reasons"][0]["text"]
    assert "your copy" in finding["reasons"][0]["text"]
    assert "does not count as a pass yet" in finding["message"]
    assert finding["fix"] is None
    assert doubted["headline"] == "find-out"
    (entry,) = (entry for entry in doubted["find_out"] if entry["cell"] == thing)
    assert entry["question"] is None
    assert rule in entry["settles"]

    confirmed = asking.ask(asking.FITS, confirmed=[thing])
    assert asking.found(confirmed, rule)["outcome"] == "passed"
    assert confirmed["headline"] == "fits"
    assert asking.found(asking.ask(asking.FITS, confirmed=["something-else"]), rule)["outcome"] == "cannot-tell"


def test_every_weak_figure_has_to_be_confirmed(altered):
    weak = {CELL: "memory", "ambient-factor/pvc/30": "memory", "grouping-factor/1": "memory"}
    altered(setting(status=weak))
    finding = asking.found(asking.ask(asking.FITS), RULE)
    assert {reason["id"] for reason in finding["reasons"]} == set(weak)
    some = asking.found(asking.ask(asking.FITS, confirmed=[CELL, "grouping-factor/1"]), RULE)
    assert [reason["id"] for reason in some["reasons"]] == ["ambient-factor/pvc/30"]
    assert asking.found(asking.ask(asking.FITS, confirmed=list(weak)), RULE)["outcome"] == "passed"


def test_a_figure_that_is_not_used_needs_no_confirming(altered):
    altered(setting(status={"cable-current/copper/pvc/B2/two/4": "memory"}))
    assert asking.ask(asking.FITS)["headline"] == "fits"


def test_a_conflict_cannot_be_confirmed_away(altered):
    altered(setting(status={CELL: "conflict"}))
    for confirmed in ([], [CELL]):
        finding = asking.found(asking.ask(asking.FITS, confirmed=confirmed), RULE)
        assert finding["outcome"] == "cannot-tell"
        assert [(reason["kind"], reason["id"]) for reason in finding["reasons"]] == [("conflict", CELL)]


def test_a_figure_grows_stale_the_day_after_its_last(altered):
    altered(setting(stale_after={CELL: "2027-01-31"}))
    assert asking.found(asking.ask(asking.FITS, as_of="2027-01-31"), RULE)["outcome"] == "passed"
    stale = asking.found(asking.ask(asking.FITS, as_of="2027-02-01"), RULE)
    assert (stale["outcome"], [r["kind"] for r in stale["reasons"]]) == ("cannot-tell", ["confirm"])
    assert asking.found(asking.ask(asking.FITS, as_of="2027-02-01", confirmed=[CELL]), RULE)["outcome"] == "passed"


@pytest.mark.parametrize("pack", asking.PACKS)
def test_a_pack_past_its_review_loses_its_passes(pack):
    """The report names the day; on it everything still stands, long after it nothing does."""
    review_by = asking.ask(asking.sound(pack), pack)["pack"]["review_by"]
    assert asking.ask(asking.sound(pack), pack, as_of=review_by)["headline"] == "fits"
    dates = {entry["stale_after"] for _, entry in standings(asking.contents()[pack])}
    assert review_by == min(dates)
    late = (date.fromisoformat(max(dates)) + timedelta(days=1)).isoformat()
    report = asking.ask(asking.sound(pack), pack, as_of=late)
    assert "passed" not in asking.outcomes(report).values()
    assert report["headline"] == "find-out"
    everything = [name for name, _ in standings(asking.contents()[pack])]
    assert asking.ask(asking.sound(pack), pack, as_of=late, confirmed=everything)["headline"] == "fits"


@pytest.mark.parametrize("status", ["memory", "conflict"])
def test_a_failure_on_a_weak_figure_stays_a_failure_and_is_marked(status, altered):
    altered(setting(status={CELL: status}))
    for confirmed in ([], [CELL]):
        finding = asking.found(asking.ask(asking.FITS | {"breaker_rating_a": 32}, confirmed=confirmed), RULE)
        assert finding["outcome"] == "failed"
        assert finding["reasons"] == []
        assert finding["fix"]
        assert next(cell["status"] for cell in finding["cells"] if cell["id"] == CELL) == status


def test_what_is_not_known_stays_not_known_whatever_is_confirmed(altered):
    altered(setting(status={CELL: "memory"}))
    answers = asking.FITS | {"breaker_rating_a": "dont-know"}
    finding = asking.found(asking.ask(answers, confirmed=[CELL]), RULE)
    assert (finding["outcome"], [r["kind"] for r in finding["reasons"]]) == ("cannot-tell", ["dont-know"])


def test_the_figures_that_ship_from_memory_do_not_give_a_pass():
    """The gear of discharge lamps: nobody found the factor in print."""
    lamps = {"load_kind": "discharge-lamps", "load_power_w": 200, "device_discharge_w": 300, "lamp_capacitor_uf": 0}
    answers = asking.FITS | lamps | {"rcd_type": "a"}
    report = asking.ask(answers)
    assert asking.found(report, "thermal-rating")["reasons"][0]["kind"] == "confirm"
    assert report["headline"] == "find-out"
    assert asking.ask(answers, confirmed=["discharge_gear_factor"])["headline"] == "fits"


# --- the property: lowering any status never gives a pass, never betters a verdict ---

CASES = {
    "sound": {},
    "failing": {"breaker_rating_a": 32, "cable_size": "1.5 mm2", "load_power_w": 4000, "rcd": "none", "location": "outdoors"},
    "motor": {"load_kind": "motor", "load_power_w": "not-stated", "motor_output_w": 1100, "device_inductive_a": 4, "device_motor_a": 8},
    "lamps": {
        "load_kind": "discharge-lamps", "load_power_w": 200, "device_discharge_w": 300, "lamp_capacitor_uf": 0,
        "rcd": "other", "rcd_rating_ma": 30,
    },
    "hot and crowded": {"ambient_c": 52, "grouped_circuits": 3, "breaker_rating_a": 10, "load_power_w": 2000, "worker": "supervised"},
    "half known": {"method": "dont-know", "device_resistive_a": "dont-know", "isolation": "circuit-only"},
}  # fmt: skip
LOCAL = {
    "us": {
        "failing": {"breaker_rating_a": 30, "cable_size": "14 AWG", "load_power_w": 6000, "rcd": "none", "location": "outdoors"},
        "motor": {"load_kind": "motor", "load_power_w": "not-stated", "motor_output_hp": 1.5, "device_motor_hp": 2, "motor_overload": True},
        "lamps": {"load_kind": "discharge-lamps", "load_power_w": "not-stated", "load_current_a": 8, "device_ballast_a": 10},
        "hot and crowded": {"ambient_c": 52, "current_carrying_conductors": 6, "load_power_w": 2000, "worker": "supervised"},
    }
}  # fmt: skip
LOWER = {"status": ("memory", "conflict"), "stale_after": ("2026-11-24",)}


@pytest.mark.sampled(one_in=5)
@pytest.mark.parametrize("pack", asking.PACKS)
@pytest.mark.parametrize("case", CASES)
def test_lowering_any_status_never_gives_a_pass(case, pack):
    """Every cell, parameter and rule of the pack, one after the other, and all of them at once."""
    content = copy.deepcopy(asking.contents()[pack])
    whole = Pack(content, "")
    situation = _situation(whole, case)
    before, headline = _judged(situation)
    used = {cell for finding in findings.judge(situation, Gate(asking.AS_OF)) for cell in finding.cells}
    lowered = 0
    held = dict(standings(content))
    for name in (*used, None):
        for key, values in LOWER.items():
            for value in values:
                changed = held if name is None else {name: held[name]}
                kept = {other: entry[key] for other, entry in changed.items()}
                for entry in changed.values():
                    entry[key] = value
                after, now = _judged(_situation(Pack(content, "") if name is None else _restated(whole, name), case))
                for other, entry in changed.items():
                    entry[key] = kept[other]
                assert not [rule for rule in after if after[rule] == "passed" != before[rule]], (name, key, value)
                assert {rule for rule in after if after[rule] == "failed"} == {
                    rule for rule in before if before[rule] == "failed"
                }
                assert HEADLINES.index(now) <= HEADLINES.index(headline), (name, key, value)
                lowered += after != before
    assert lowered, "nothing that was lowered took a pass"


@pytest.mark.parametrize("case", CASES)
def test_figures_that_a_case_does_not_use_do_not_matter_to_it(case):
    content = copy.deepcopy(asking.contents()["iec"])
    situation = _situation(Pack(content, ""), case)
    before = _judged(situation)
    used = {cell for finding in findings.judge(situation, Gate(asking.AS_OF)) for cell in finding.cells}
    for name, entry in standings(content):
        if name not in used and "requires" not in entry:
            entry["status"] = "conflict"
    assert _judged(_situation(Pack(content, ""), case)) == before


def _restated(pack: Pack, name: str) -> Pack:
    """`pack` with one figure read from its content again: thousands of whole packs would take minutes."""
    twin, content, table = copy.copy(pack), pack.content, name.partition("/")[0]
    if name in pack.parameters:
        own = next(entry for entry in content["parameters"] if entry["id"] == name)
        twin.parameters = pack.parameters | {name: Cell.of(name, own, own["unit"])}
        twin.known_parameters = None
    elif table in pack.tables:
        again = Table(next(held for held in content["tables"] if held["id"] == table))
        twin.tables = ChainMap({table: again}, pack.tables)
    else:
        own = next(entry for entry in content["rules"] if entry["id"] == name)
        twin.rules = [rule._replace(own=Cell.of(name, own, "")) if rule.id == name else rule for rule in pack.rules]
    return twin


def _situation(pack: Pack, case: str) -> Situation:
    from checker.core.answers import check_answers

    told = asking.sound(pack.id) | LOCAL.get(pack.id, CASES).get(case, CASES[case])
    given = {name: value if isinstance(value, (str, bool)) else str(value) for name, value in told.items()}
    return Situation(pack, check_answers(given, pack.questions))


def _judged(situation: Situation) -> tuple[dict[str, str], str]:
    judged = findings.judge(situation, Gate(asking.AS_OF))
    return {f.rule.id: f.outcome for f in judged}, reach(judged, situation.answers["worker"]).headline

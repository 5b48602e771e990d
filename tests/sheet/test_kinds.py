"""Who gets which sheet: steps for a case that fits and somebody who may do it, and for nobody else."""

from __future__ import annotations

import copy
import json
import re
from functools import cache

import pytest

from checker.core.api import handle
from checker.dev.cases import scenarios
from tests.core.asking import FITS, PACKS, ask, contents
from tests.packs.conftest import install
from tests.sheet.variants import sheet, sound

CASES = scenarios.every()
KINDS = {"fits": "job", "call": "brief", "stop": "stop", "change": "not-ready", "find-out": "not-ready"}
WORKING = ("steps", "tests", "inspection", "results_dead", "results_live", "buy", "stop_if", "paper_after")
ALWAYS = ["cautions", "defers-to", "not-checked", "replay"]
each_case = pytest.mark.parametrize("case", CASES, ids=[case.id for case in CASES])


def of(case: scenarios.Scenario) -> dict:
    return json.loads(_said_of(json.dumps(case.request | {"ask": "sheet"})))


@cache
def _said_of(request: str) -> str:
    """Five tests look at the sheet of each case."""
    return handle(request)


def lines(reply: dict, ids: set[str] | None = None) -> list[str]:
    """Every text of the sections (those named, or all), drawings left out."""
    found = []
    for section in reply["sections"]:
        if ids is None or section["id"] in ids:
            for block in section["blocks"]:
                found += [block["text"]] if isinstance(block.get("text"), str) else []
                found += block.get("items", []) + [cell for row in block.get("rows", []) for cell in row]
    return found


def beginnings(pack: str, section: str) -> set[str]:
    """How the texts of a section begin, up to the first value that is put in."""
    held = contents()[pack]["texts"].get(section, [])
    return {start for text in held if len(start := re.split(r"[{]", text["text"])[0].strip()) > 15}


@pytest.mark.sampled(one_in=4)
@each_case
def test_the_kind_follows_the_headline(case):
    reply = of(case)
    assert reply["kind"] == KINDS[case.expect["headline"]]
    assert [section["id"] for section in reply["sections"]][-4:] == ALWAYS


@pytest.mark.sampled(one_in=4)
@each_case
def test_only_a_job_holds_steps_tests_and_shopping(case):
    reply = of(case)
    told = lines(reply, {s["id"] for s in reply["sections"]} - set(ALWAYS))
    pack = case.request["pack"]
    given = [
        line for section in WORKING for start in beginnings(pack, section) for line in told if line.startswith(start)
    ]
    assert bool(given) == (reply["kind"] == "job"), given


@pytest.mark.sampled(one_in=4)
@each_case
def test_wires_are_drawn_only_for_whoever_may_work_and_never_for_a_case_that_must_change(case):
    reply = of(case)
    may = case.request["answers"].get("worker") in ("licensed", "supervised")
    if reply["kind"] == "job":
        assert bool(reply["connections"]) != bool(reply["needs"])
        assert set(reply["drawings"]) == ({"rail", "circuit"} if reply["connections"] else set())
        assert not reply["draft"]
    elif reply["headline"] == "find-out" and may:
        assert reply["draft"] == bool(reply["connections"]) == bool(reply["drawings"])
    else:
        assert not reply["connections"]
        assert not reply["drawings"]


@pytest.mark.sampled(one_in=4)
@each_case
def test_what_is_missing_is_all_there(case):
    reply = of(case)
    report = json.loads(handle(case.request_json))
    told = " ".join(lines(reply, {"not-ready", "stop", "brief"}))
    if reply["kind"] == "not-ready":
        assert all(item["text"] in told for item in report["find_out"])
        failed = [
            f for f in report["findings"] if f["rule"] in report["sizing"]["because"] and f["outcome"] == "failed"
        ]
        assert all(f["message"] in told and f["fix"] in told for f in failed)
    if reply["kind"] == "stop":
        failed = [f for f in report["findings"] if f["rule"] in report["who"]["because"]]
        assert failed
        assert all(f["message"] in told and f["fix"] in told for f in failed)


@pytest.mark.sampled(one_in=4)
@each_case
def test_no_sheet_shows_a_hole_or_the_forbidden_word(case):
    reply = of(case)
    told = [text for text in lines(reply) if not text.startswith("{\n")] + [reply["title"], reply["lead"]]
    assert not [text for text in told if re.search(r"[{}]|\b(un)?safe(ly|r|st)?\b", text, re.IGNORECASE)]
    assert not [text for text in told if "(not known)" in text and reply["kind"] == "job"]


def test_a_job_whose_wires_depend_on_an_answer_nobody_needed_says_which():
    """For lamps the verdict does not wait for what the contact does at rest; the list of wires does."""
    lamps = {"load_kind": "filament-lamps", "device_filament_w": 3000}
    reply = sheet({k: v for k, v in (FITS | lamps).items() if k != "contact_action"})
    assert (reply["kind"], reply["needs"]) == ("job", ["contact_action"])
    assert any("(contact_action)" in line for line in lines(reply, {"connections"}))


def brief(**answers) -> dict:
    reply = sheet({**FITS, "worker": "unlicensed", **answers}, "za")
    assert reply["kind"] == "brief"
    return reply


def test_the_brief_tells_the_wish_and_the_facts_and_asks():
    (section,) = [s for s in brief(fault_current_ka="dont-know", rcd="dont-know")["sections"] if s["id"] == "brief"]
    wish, facts, unknown, questions, why, until = section["blocks"]
    assert "eyser" in wish["text"]
    assert ["Breaker", "16 A"] in facts["rows"]
    assert not [row for row in facts["rows"] if "know" in row[1]]
    assert any("short-circuit current" in item for item in unknown["items"])
    assert any("earth leakage unit" in item for item in unknown["items"])
    assert all(item.endswith("?") for item in [*unknown["items"], *questions["items"]])
    assert any("registered person" in text for text in why["items"])
    assert any("cover" in text for text in until["items"])


def test_the_brief_computes_nothing():
    """No sizing theatre: the electrician sizes it, from facts. No figure stands there that nobody gave."""
    given = {str(value) for value in FITS.values()} | {"2.5", "16", "230"}
    figures = {n for text in lines(brief(), {"brief"}) for n in re.findall(r"\d+(?:\.\d+)?", text)}
    law = {n for text in lines(brief(), {"brief"}) if "egulation" in text for n in re.findall(r"\d+(?:\.\d+)?", text)}
    given |= {n for value in given for n in re.findall(r"\d+(?:\.\d+)?", value)}
    assert figures - given - law - {"70", "30"} == set()  # the words of two choices: PVC (70 °C), 30 mA


def test_a_learner_is_told_whose_control_it_needs():
    reply = sheet({**FITS, "worker": "supervised"})
    assert reply["kind"] == "job"
    assert "control" in reply["lead"]


@pytest.mark.parametrize("pack", PACKS)
def test_an_unlicensed_person_never_gets_a_step_that_is_reserved(pack):
    """Where a pack reserves the work, no step at all; where it does not, what it reserves is said to be somebody else's."""
    reply = sheet({**sound(pack), "worker": "unlicensed"}, pack)
    reserved = [text for name in ("steps", "tests") for text in contents()[pack]["texts"][name] if text.get("reserved")]
    told = lines(reply, {"before", "connections", "buy", "work", "after"})
    for text in reserved:
        start = re.split(r"[{]", text["text"])[0]
        assert not [line for line in told if line.startswith(start)], text["id"]
    if reply["headline"] == "call":
        assert told == []


def test_replayed_answers_give_the_same_sheet():
    confirmed = ["cable-current/copper/pvc/B1/two/2.5"]
    first = sheet({**FITS, "method": "B1", "load_current_a": "not-stated"}, "za", confirmed=confirmed)
    code = [block["text"] for s in first["sections"] for block in s["blocks"] if block["kind"] == "code"]
    held = json.loads(code[0])
    assert held == first["replay"]
    again = json.loads(handle(json.dumps({"format": 1, "ask": "sheet", **held})))
    assert again == first
    assert first["pack"]["sha256"] in " ".join(lines(first, {"replay"}))


def test_the_measured_values_have_room_and_the_expected_ones_are_those_of_the_report():
    case = {**FITS, "external_impedance_ohm": 0.35}
    reply = sheet(case)
    quantities = ask(case)["quantities"]
    (after,) = [s for s in reply["sections"] if s["id"] == "after"]
    rows = [row for block in after["blocks"] if block["kind"] == "table" for row in block["rows"]]
    assert all(row[1] == "" for row in rows)
    told = " ".join(row[0] for row in rows)
    for name in ("expected_r1_r2_ohm", "expected_loop_ohm", "rcd_trip_ms", "design_current_a"):
        assert f"{quantities[name]['value']} " in told, name
    assert "500 V" in told
    assert "1 MΩ" in told


def test_fine_strands_get_ferrules_and_their_number_is_counted():
    reply = sheet({**FITS, "link_strands": "fine", "ferrules": True})
    new = [row for row in reply["connections"] if row["state"] == "new"]
    assert all("2.5 mm²" in row["ferrule"] and "blue" in row["ferrule"] for row in new)
    assert not [row for row in reply["connections"] if row["state"] != "new" and row["ferrule"]]
    bought = [
        row
        for s in reply["sections"]
        if s["id"] == "buy"
        for b in s["blocks"]
        if b["kind"] == "table"
        for row in b["rows"]
    ]
    assert ["Ferrule printed 2.5 mm²", str(2 * len(new))] in bought


def test_each_wire_says_size_colour_stripping_and_torque():
    """About 8 mm is stripped for a screw terminal: common practice, no source. The torque is the one given in the answers."""
    reply = sheet(FITS)
    for row in reply["connections"]:
        assert row["one_wire"]
        assert row["size"] == "2.5 mm²"
        assert row["colour"]["new"]
        assert row["colour"]["old"]
        if row["state"] != "stays":
            assert "8 mm" in row["strip"]
            at_device = any(end["id"].startswith("KT1") for end in (row["from"], row["to"]))
            assert ("0.8 N·m" in row["torque"]) == at_device
    note = " ".join(lines(reply, {"connections"}))
    assert "The stripping length is common practice" in note


def test_what_feeds_from_another_breaker_has_no_size_of_this_one():
    reply = sheet({**FITS, "clock_supply": "other-breaker"})
    assert reply["kind"] == "not-ready"
    from tests.sheet.variants import made

    foreign = [
        w
        for w in made({"clock_supply": "other-breaker"}).wires
        if w.source.part in ("F2", "N2") or w.target.part == "N2"
    ]
    assert foreign
    assert all(w.size is None for w in foreign)


def test_two_feeds_in_one_device_are_labelled_where_a_rule_set_lets_them_be(monkeypatch):
    """Here a rule refuses them. One that only advises against them must not lose the label over it."""
    content = copy.deepcopy(contents()["iec"])
    next(rule for rule in content["rules"] if rule["id"] == "clock-same-breaker")["weight"] = "advice"
    install(monkeypatch, content)
    label = content["phrases"]["sheet.buy-label-two-feeds"]
    apart, together = (sheet({**FITS, "clock_supply": supply}) for supply in ("other-breaker", "same-breaker"))
    assert (apart["kind"], together["kind"]) == ("job", "job")
    assert label in lines(apart, {"buy"})
    assert label not in lines(together, {"buy"})

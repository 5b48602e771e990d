"""A region's own words in what it takes over, what it goes without, and its two editions: on the American pack."""

from __future__ import annotations

import re
from typing import Any

import pytest

from checker.core.pack import choose
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.rulefiles import RULES, read_folder
from checker.dev.rulebook.vocabulary import replacing
from tests.core import asking

BRITISH = re.compile(
    r"\b(distribution board|earth(ed)?|socket-outlets?|RCDs?|aluminium|programme|colours?|metres?|litres?|licence|mains"
    r"|protective conductor|circuit-breaker|sheath|flats|flat battery|lift)\b",
    re.IGNORECASE,
)
KEYS = ("title", "text", "otherwise", "help", "why", "find_out", "default_why", "fix")
CONTENT = asking.contents()["us"]


def sentences(entry: dict[str, Any]) -> list[str]:
    """What a person reads of a question, rule or text; who made a pack wrote notes for other eyes."""
    found = [entry[key] for key in KEYS if entry.get(key)] + list(entry.get("say", {}).values())
    return found + [f"{choice['label']} {choice['help']}" for choice in entry.get("choices", ())]


def entries() -> list[dict[str, Any]]:
    return [*CONTENT["questions"], *CONTENT["rules"], *(item for items in CONTENT["texts"].values() for item in items)]


@pytest.mark.parametrize("entry", entries(), ids=lambda entry: entry["id"])
def test_a_sentence_speaks_american(entry):
    assert [text for text in sentences(entry) if BRITISH.search(text)] == []


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("Earth wire, or an earth wire.", "Equipment grounding conductor, or an equipment grounding conductor."),
        ("Line and neutral; the line terminal; straight line.", "Hot and neutral; the LINE terminal; straight line."),
        ("{earth_present} of the board", "{earth_present} of the panel"),
        ("unearthed boardroom", "unearthed boardroom"),
    ],
)
def test_whole_words_are_replaced_and_names_are_not(before, after):
    assert replacing(read_folder(RULES / "us").pack["vocabulary"])(before) == after


def test_ids_expressions_and_sources_stay_those_of_base():
    base = {rule["id"]: rule for rule in asking.contents()["iec"]["rules"]}
    taken = [rule for rule in CONTENT["rules"] if rule["origin"] == "base"]
    assert len(taken) > 15
    for rule in taken:
        for key in ("applies_text", "requires_text", "source", "clause", "note"):
            assert rule[key] == base[rule["id"]][key], rule["id"]


def test_what_the_region_goes_without_is_not_known_and_is_no_fault():
    assert {"breaker_curve", "loop_voltage_factor", "energy-limit"} <= set(CONTENT["removed"])
    assert asking.contents()["iec"]["removed"] == []
    quantities = asking.ask(asking.sound("us"), "us")["quantities"]
    assert not {"loop_limit_ohm", "breaker_trips_a", "protective_limited_mm2", "conventional_trip_a"} & set(quantities)
    assert {"breaker_minimum_a", "breaker_maximum_a", "cable_capacity_a"} <= set(quantities)


def test_an_answer_to_a_question_that_is_gone_is_named_and_not_read():
    report = asking.ask(asking.sound("us") | {"breaker_curve": "B"}, "us")
    assert [entry["question"] for entry in report["unread"]] == ["breaker_curve"]


# --- two editions ---


def under(edition: str, **changed: Any) -> dict[str, Any]:
    return asking.ask(asking.sound("us") | changed, "us", edition=edition)


def test_both_editions_are_in_force_and_either_can_be_named():
    """States adopt editions: the calendar takes the younger, a name wins, and the report says to ask which one counts."""
    assert choose("us", None, "2021-06-01").about["edition"] == "2020"
    assert choose("us", None, asking.AS_OF).about["edition"] == "2023"
    assert choose("us", "2020", asking.AS_OF).about["valid_until"] is None
    for edition in ("2020", "2023"):
        said = " ".join(entry["text"] for entry in under(edition)["defers_to"])
        assert f"This report follows the {edition} edition. Ask which edition your authority enforces" in said


def test_ten_amperes_is_a_standard_rating_since_2023():
    small = {"load_power_w": 1500}
    minimum = {
        edition: under(edition, **small)["quantities"]["breaker_minimum_a"]["exact"] for edition in ("2020", "2023")
    }
    assert minimum == {"2020": "15", "2023": "10"}


def test_garages_are_meant_since_2023():
    found = {e: asking.outcomes(under(e, location="garage"))["gfci-outdoors"] for e in ("2020", "2023")}
    assert found == {"2020": "not-applicable", "2023": "failed"}


def test_nothing_else_differs():
    """The differences that are known, and no others by accident: all else is equal but for the year in the words."""
    now, then = compile_pack(RULES / "us"), compile_pack(RULES / "us/editions/2020")
    for kind in ("questions", "parameters", "sources", "phrases", "texts"):
        assert now[kind] == then[kind], kind
    for kind, differing in (("tables", {"breaker-ratings"}), ("rules", {"gfci-outdoors"})):
        assert [e["id"] for e in now[kind]] == [e["id"] for e in then[kind]]
        assert {a["id"] for a, b in zip(now[kind], then[kind], strict=True) if a != b} == differing


def test_lengths_are_told_in_whole_feet_and_wires_by_their_gauge():
    """12 m are 39.37 ft; 12 AWG has 3.31 mm2 (ASTM B258)."""
    report = asking.ask(asking.sound("us") | {"run_length_m": 12, "device_terminal_max_mm2": 2.08}, "us")
    said = " ".join(str(value) for value in [*report["tests"], *report["findings"]])
    assert "39 ft (12 m)" in said
    assert asking.found(report, "terminal-takes-link")["message"].startswith(
        "The terminals are not made for 12 AWG (3.31 mm²) wire."
    )


def test_nobody_else_is_told_lengths_in_feet():
    for pack in set(asking.PACKS) - {"us"}:
        assert [n for n in asking.ask(asking.sound(pack), pack)["quantities"] if n.endswith("_ft")] == []

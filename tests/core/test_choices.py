"""No choice is offered in vain: some rule that decides tells it from every other one, or its question says why none has to.

A choice that nothing reads lets somebody say what is wrong and be told that it fits.
"""

from __future__ import annotations

import itertools
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from checker.core import pack as packs
from tests.core.asking import ask, outcomes, sound

CASES = Path(__file__).parents[1] / "rules" / "cases"
EVERY = packs.every()


@cache
def circumstances(pack: str) -> tuple[dict[str, Any], ...]:
    """What the cases of the rules change in the sound case: every circumstance in which a rule looks at an answer."""
    files = [
        *CASES.glob("*.toml"),
        *(
            f
            for folder in CASES.iterdir()
            if pack in folder.name.partition("@")[0].split("-")
            for f in folder.glob("*.toml")
        ),
    ]
    tables = [tomllib.loads(file.read_text("utf-8"), parse_float=Decimal) for file in sorted(files)]
    cases = [case for table in tables for rule in table.values() for case in rule["cases"]]
    return tuple(case["with"] for case in cases if pack in case.get("packs", [pack]))


def likely(pack: str, question: str) -> Iterator[dict[str, Any]]:
    """Cases in which this question may matter, the sound one first."""
    yield {}
    yield from (case for case in circumstances(pack) if question in case)
    yield from (case for case in circumstances(pack) if question not in case)


def offered(question: dict[str, Any]) -> list[Any]:
    return [True, False] if question["kind"] == "yes-no" else [choice["value"] for choice in question["choices"]]


def judged(pack: packs.Pack, answers: dict[str, Any]) -> dict[str, Any]:
    """What the rules that decide say of this case, with the figures they compare."""
    known = {name: value for name, value in answers.items() if name in pack.questions}
    report = ask(known, pack.id, edition=pack.about["edition"])
    deciding = {rule.id for rule in pack.rules if rule.decides}
    return {f["rule"]: (f["outcome"], f["left"], f["right"]) for f in report["findings"] if f["rule"] in deciding}


def alike(question: dict[str, Any]) -> set[frozenset]:
    """The pairs that the question itself calls alike, each with its reason."""
    return {
        frozenset(pair) for group in question.get("alike", ()) for pair in itertools.combinations(group["choices"], 2)
    }


def told_apart_by_a_table(pack: packs.Pack, question: str, pair: frozenset) -> bool:
    """Whether a table goes by this question and has other figures for one of the two than for the other."""
    one, other = pair
    for table in pack.tables.values():
        if question not in table.names:
            continue
        place = table.names.index(question)
        figures: dict[Any, dict[tuple, Any]] = {one: {}, other: {}}
        for keys, cell in table.cells.items():
            if keys[place] in figures:
                figures[keys[place]][keys[:place] + keys[place + 1 :]] = cell.value
        if figures[one] != figures[other]:
            return True
    return False


def never_told_apart(pack: packs.Pack, question: dict[str, Any], most: int = 60) -> set[frozenset]:
    """Pairs of choices that no table and, in any of the likely cases, no deciding rule tells apart."""
    pairs = [frozenset(pair) for pair in itertools.combinations(offered(question), 2)]
    left = {pair for pair in pairs if not told_apart_by_a_table(pack, question["id"], pair)}
    for more in itertools.islice(likely(pack.id, question["id"]), most):
        if not left - alike(question):
            break
        concerned = set().union(*left)
        try:
            said = {choice: judged(pack, sound(pack.id) | more | {question["id"]: choice}) for choice in concerned}
        except AssertionError:  # the case holds an answer that this pack words otherwise
            continue
        left = {pair for pair in left if len({str(said[choice]) for choice in pair}) == 1}
    return left


def choosing(pack: packs.Pack) -> list[dict[str, Any]]:
    return [question for question in pack.questions.values() if question["kind"] != "number"]


# A question taken over from the base, of which nothing that decides is left in a region.
NOT_THERE = {
    ("za", "premises"): "SANS 10142-1 asks for the same in dwellings and elsewhere; an RCD for lights is advice"
}
EACH = [
    pytest.param(pack, q, id=f"{pack.id}@{pack.about['edition']} {q['id']}")
    for pack in EVERY
    for q in choosing(pack)
    if (pack.id, q["id"]) not in NOT_THERE
]


@pytest.mark.sampled(one_in=16)
@pytest.mark.parametrize(("pack", "question"), EACH)
def test_of_every_two_choices_some_deciding_rule_tells_one_from_the_other(pack, question):
    """Or the question says why it is harmless to take one for the other."""
    assert never_told_apart(pack, question) - alike(question) == set()


BASE = next(pack for pack in EVERY if pack.id == "iec")


@pytest.mark.parametrize("question", [q for q in choosing(BASE) if "alike" in q], ids=lambda q: q["id"])
def test_what_the_base_calls_alike_no_rule_of_the_base_tells_apart(question):
    """A region may need to; then it says so by its rules."""
    assert alike(question) - never_told_apart(BASE, question) == set()


# --- answers that name a wire change the list of wires ---

# Answers that say which wire goes where, or of what size.
WIRES = (
    "device_kind", "device_contact", "contact_feed", "contact_action", "device_poles", "clock_supply", "neutral_bar",
    "circuit_shape", "circuit_dedicated", "other_load_switched", "phases", "link_size", "link_strands", "control_size",
)  # fmt: skip
_CONTACTOR = {
    "contactor_resistive_a": 40, "contactor_coil_v": 230, "contactor_coil_a": 0.1, "contactor_voltage_v": 400,
    "contactor_modules": 1, "device_inductive_a": 4, "control_size": "2.5 mm2", "control_terminal_max_mm2": 4,
    "clock_backup_a": "not-stated", "control_fuse_a": 6, "spare_modules": 9, "second_feed": "off-and-labelled",
}  # fmt: skip
_HOTS = {"contactor_coil_v": 240, "contactor_voltage_v": 480, "control_size": "12 AWG"}
# Ways to build it that fit: what is not asked there is left out.
BUILT: dict[str, dict[str, Any]] = {
    "voltage-free": {},
    "fed inside": {"device_contact": "live-fed", "contact_feed": "inside"},
    "with others": {"circuit_dedicated": False, "other_load_a": 1, "other_load_switched": False, "load_kind": "heater"},
    "clock and contactor": {"device_kind": "time-switch-and-contactor", **_CONTACTOR},
    "contactor": {"device_kind": "contactor", **_CONTACTOR},
    "two feeds": {"device_kind": "contactor", "clock_supply": "other-breaker", **_CONTACTOR},
    "without RCD": {"rcd": "none", "external_impedance_ohm": 0.2, "load_kind": "heater"},
}


def built(pack: packs.Pack, way: str) -> dict[str, Any]:
    more = BUILT[way] | (_HOTS if pack.id == "us" and "contactor" in BUILT[way].get("device_kind", "") else {})
    return {name: value for name, value in (sound(pack.id) | more).items() if name in pack.questions}


def listed(pack: packs.Pack, answers: dict[str, Any]) -> tuple[bool, str]:
    """Whether the sizing fits, and the list of wires with its marks, sizes and kinds."""
    report = ask(answers, pack.id, edition=pack.about["edition"])
    return report["sizing"]["outcome"] == "fits", str([row for row in report["connections"] if "number" in row])


WAYS = [pytest.param(pack, way, id=f"{pack.id}@{pack.about['edition']} {way}") for pack in EVERY for way in BUILT]


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize(("pack", "way"), WAYS)
def test_an_answer_that_names_a_wire_changes_the_list_or_does_not_fit(pack, way):
    """Two answers that both fit and give one list would hide from the person which of them was built."""
    answers = built(pack, way)
    fits, rows = listed(pack, answers)
    if not fits:
        pytest.skip("this way of building it does not fit in this rule set")
    assert rows != "[]"
    for name in (name for name in WIRES if name in answers and name in pack.questions):
        asked = not listed(pack, answers | {name: "dont-know"})[0]
        given = alike(pack.questions[name])
        others = [choice for choice in offered(pack.questions[name]) if choice != answers[name]]
        if name == "device_poles":  # a pole more than there are lines stays empty
            others = others[: offered(pack.questions[name]).index(answers[name])]
        for other in others if asked else []:
            fits, changed = listed(pack, answers | {name: other})
            if frozenset((other, answers[name])) not in given:
                assert not fits or changed not in (rows, "[]"), (name, other)


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize(("pack", "way"), WAYS)
def test_where_one_terminal_feeds_two_things_it_is_asked_how_many_wires_it_takes(pack, way):
    """The list puts a connector there. Two wires under a screw that is made for one are not what it shows."""
    answers = built(pack, way)
    report = ask(answers, pack.id, edition=pack.about["edition"])
    shared = "feed-connector" in [row["id"] for row in report["connections"]]
    two = outcomes(ask(answers | {"terminal_wires": "two-unmarked"}, pack.id, edition=pack.about["edition"]))
    assert (two["one-wire-per-terminal"] == "failed") == shared

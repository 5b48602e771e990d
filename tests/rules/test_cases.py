"""Every rule of every pack against its cases: passed, failed, cannot tell, and out of its reach."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from checker.core import pack as packs
from tests.core import asking

# cases/<pack>-<pack>/ holds the rules whose figures are other ones there: its table of a rule replaces the common one.
# cases/<pack>@<edition>/ holds what an edition beside the one in force tells otherwise.
FOLDER = Path(__file__).parent / "cases"
FILES = sorted(FOLDER.glob("*.toml"))
OUTCOMES = ("passed", "failed", "cannot-tell", "not-applicable")


class Case(NamedTuple):
    pack: str
    rule: str
    number: int
    told: dict[str, Any]  # outcome, with, why; for cannot-tell: because

    def __str__(self) -> str:
        return f"{self.pack} {self.rule} {self.number} {self.told['outcome']}"


def read(files: list[Path]) -> dict[str, dict[str, Any]]:
    """The table of each rule: `cases`, and `never` for an outcome that no answers can reach, with the reason."""
    tables: dict[str, dict[str, Any]] = {}
    for file in files:
        for rule, table in tomllib.loads(file.read_text("utf-8"), parse_float=Decimal).items():
            assert rule not in tables, f"{rule} stands in two files"
            tables[rule] = table
    return tables


TABLES = read(FILES)
LOCAL: dict[str, dict[str, dict[str, Any]]] = {}
FOLDERS = sorted(path for path in FOLDER.iterdir() if path.is_dir())
for folder in (path for path in FOLDERS if "@" not in path.name):
    for name in folder.name.split("-"):
        LOCAL.setdefault(name, {}).update(read(sorted(folder.glob("*.toml"))))
RULES = {(pack, rule["id"]): rule for pack, content in asking.contents().items() for rule in content["rules"]}
CASES = [
    Case(pack, rule, number, told)
    for rule, table in TABLES.items()
    for number, told in enumerate(table["cases"], 1)
    for pack in told.get("packs", asking.PACKS)
    if (pack, rule) in RULES and rule not in LOCAL.get(pack, {}) and pack not in told.get("except", ())
] + [
    Case(pack, rule, number, told)
    for pack, tables in LOCAL.items()
    for rule, table in tables.items()
    for number, told in enumerate(table["cases"], 1)
]

OLDER = [
    Case(folder.name, rule, number, told)
    for folder in FOLDERS
    if "@" in folder.name
    for rule, table in read(sorted(folder.glob("*.toml"))).items()
    for number, told in enumerate(table["cases"], 1)
]


@pytest.mark.parametrize("case", OLDER, ids=str)
def test_the_rule_of_an_older_edition_says_what_the_case_expects(case):
    pack, _, edition = case.pack.partition("@")
    answers = asking.sound(pack) | case.told["with"]
    finding = asking.found(asking.ask(answers, pack, edition=edition), case.rule)
    because = [f"{reason['kind']} {reason['id']}" for reason in finding["reasons"]]
    assert (finding["outcome"], because) == (case.told["outcome"], case.told.get("because", [])), case.told["why"]


ADVICE: dict[str, list[str]] = tomllib.loads((FOLDER.parent / "advice.toml").read_text("utf-8"))


def only_advises(pack: str, rule: str) -> bool:
    """By the list that was written apart from the rules."""
    return rule in ADVICE["common"] or rule in ADVICE.get(pack, [])


@pytest.mark.parametrize("pack", packs.every(), ids=lambda pack: f"{pack.id}@{pack.about['edition']}")
def test_a_rule_decides_unless_it_is_listed_as_advice(pack):
    for rule in pack.rules:
        assert rule.decides != only_advises(pack.id, rule.id), rule.id


@cache
def judged(number: int) -> dict[str, Any]:
    """The finding of one of `CASES`."""
    case = CASES[number]
    return asking.found(asking.ask(asking.sound(case.pack) | case.told["with"], case.pack), case.rule)


NUMBERED = [pytest.param(number, id=str(case)) for number, case in enumerate(CASES)]


@pytest.mark.sampled(one_in=12)
@pytest.mark.parametrize("number", NUMBERED)
def test_the_rule_says_what_the_case_expects(number):
    case, finding = CASES[number], judged(number)
    assert finding["outcome"] == case.told["outcome"], f"{case.told['why']}: {finding['message']}"
    reasons = [f"{reason['kind']} {reason['id']}" for reason in finding["reasons"]]
    assert reasons == case.told.get("because", []), case.told["why"]


# What is said of a finding is looked at for all cases of a rule at once: twelve thousand tests take longer to report than to
# run.
BY_RULE: dict[str, list[int]] = {}
for number, case in enumerate(CASES):
    BY_RULE.setdefault(f"{case.pack} {case.rule}", []).append(number)
of_each_rule = pytest.mark.parametrize("numbers", BY_RULE.values(), ids=BY_RULE)


@pytest.mark.sampled(one_in=12)
@of_each_rule
def test_the_sentence_has_no_hole(numbers):
    for case, finding in ((CASES[number], judged(number)) for number in numbers):
        said = f"{finding['message']} {finding['fix'] or ''}"
        assert "{" not in said, case
        if case.told["outcome"] in ("passed", "failed"):
            assert "not known)" not in said, case
            assert bool(finding["fix"]) == (case.told["outcome"] == "failed"), case


@pytest.mark.sampled(one_in=12)
@of_each_rule
def test_the_comparison_shown_explains_the_outcome(numbers):
    """A pass shows a comparison that holds, a failure one that does not, or none at all."""
    for case, finding in ((CASES[number], judged(number)) for number in numbers):
        if finding["left"] and finding["outcome"] in ("passed", "failed"):
            left, right = Decimal(finding["left"]["exact"]), Decimal(finding["right"]["exact"])
            order = {"<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right}
            assert order[finding["relation"]] == (finding["outcome"] == "passed"), case


def told(pack: str, rule: str) -> dict[str, Any]:
    """The table of a rule for one pack."""
    return LOCAL.get(pack, {}).get(rule) or TABLES.get(rule, {})


def missing(cases: list[Case]) -> list[str]:
    """The outcomes of rules that no case reaches; a "cannot tell" counts when "don't know" brings it about."""
    reached = {
        (case.pack, case.rule, case.told["outcome"])
        for case in cases
        if case.told["outcome"] != "cannot-tell" or any(r.startswith("dont-know ") for r in case.told["because"])
    }
    return [
        f"{pack}: no case of {rule} is {outcome}"
        for (pack, rule), compiled in RULES.items()
        for outcome in OUTCOMES
        if (pack, rule, outcome) not in reached
        and outcome not in told(pack, rule).get("never", {})
        and not (outcome == "not-applicable" and compiled["applies_text"] == "True")
    ]


def test_every_rule_of_every_pack_is_reached_with_every_outcome():
    assert missing(CASES) == []


@pytest.mark.sampled(one_in=12)
@pytest.mark.parametrize("key", sorted(RULES), ids=" ".join)
def test_without_its_cases_a_rule_would_be_missed(key):
    kept = [case for case in CASES if (case.pack, case.rule) != key]
    needed = 3 + (RULES[key]["applies_text"] != "True") - len(told(*key).get("never", {}))
    assert len(missing(kept)) == needed, missing(kept)


def test_without_the_one_failed_case_a_rule_would_be_missed():
    kept = [case for case in CASES if (case.rule, case.told["outcome"]) != ("earth-present", "failed")]
    assert missing(kept) == [f"{pack}: no case of earth-present is failed" for pack in asking.PACKS]


def test_no_case_is_for_a_rule_that_is_gone():
    assert set(TABLES) - {rule for _, rule in RULES} == set()
    assert {(pack, rule) for pack, tables in LOCAL.items() for rule in tables} - set(RULES) == set()


def test_cases_are_told_in_full():
    for rule, table in (*TABLES.items(), *(entry for tables in LOCAL.values() for entry in tables.items())):
        assert set(table) <= {"cases", "never"}, rule
        for told in table["cases"]:
            assert set(told) <= {"outcome", "with", "why", "because", "packs", "except"}, rule
            assert told["outcome"] in OUTCOMES
            assert told["why"]
            assert ("because" in told) == (told["outcome"] == "cannot-tell"), (rule, told)


def test_what_is_said_never_to_happen_does_not_happen():
    """The smallest load that the questions accept, by each way to a current."""
    never = {(rule, outcome) for rule, table in TABLES.items() for outcome in table.get("never", {})}
    bounds = {("loop-readings-agree", "failed"), ("protective-conductor-size", "failed")}  # their cases say why
    assert never - bounds == {("load-current-known", "failed")}
    local = {(pack, rule, out) for pack, own in LOCAL.items() for rule, t in own.items() for out in t.get("never", {})}
    assert local - {(pack, *bound) for pack in LOCAL for bound in bounds} == {("us", "load-current-known", "failed")}
    for pack in asking.PACKS:
        smallest = {q["id"]: q["minimum"] for q in asking.contents()[pack]["questions"] if q["kind"] == "number"}
        for kind in ("heater", "motor", "led-lamps", "socket-outlets"):
            ways = {"load_current_a", "load_power_w", "motor_output_w", "motor_output_hp"} & set(smallest)
            for told in ways:
                facts = ways - {told}
                answers = asking.sound(pack) | smallest | dict.fromkeys(facts, "not-stated") | {"load_kind": kind}
                answers |= {"supply_voltage_v": 480, "power_factor": 1, "efficiency": 1}
                assert asking.outcomes(asking.ask(answers, pack))["load-current-known"] != "failed"


def test_the_sound_case_fits_in_every_pack():
    for pack in asking.PACKS:
        report = asking.ask(asking.sound(pack), pack)
        assert (report["headline"], report["who"]["outcome"], report["sizing"]["outcome"]) == (
            "fits",
            "permitted",
            "fits",
        )

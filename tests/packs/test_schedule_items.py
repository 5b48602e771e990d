"""The schedule's items are read, laid over and linted like those of the check."""

from __future__ import annotations

import shutil

import pytest

from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import RuleFaults
from checker.dev.rulebook.lint import lint
from checker.dev.rulebook.rulefiles import RULES, pin, read_folder


@pytest.fixture
def rules(tmp_path):
    """A copy of base and one region, to be changed."""
    for part in ("schema", "base", "za"):
        shutil.copytree(RULES / part, tmp_path / part)
    return tmp_path


def write(rules, pack: str, name: str, change) -> str:
    """`name` of base's schedule, changed, in the schedule of `pack`; the pin of base's own item."""
    source = RULES / "base" / "plan" / f"{name}.toml"
    target = rules / pack / "plan" / f"{name}.toml"
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(change(source.read_text("utf-8")), encoding="utf-8")
    kind, _, item = name.partition("/")
    return pin(read_folder(RULES / "base" / "plan").items[kind.removesuffix("s"), item])


def rule(content: dict, rule_id: str) -> dict:
    return next(entry for entry in content["plan"]["rules"] if entry["id"] == rule_id)


def test_a_region_lays_its_own_rule_over_bases(rules):
    against = pin(read_folder(RULES / "base" / "plan").items["rule", "usual-rest"])
    override = f'[override]\nagainst = "{against}"\nwhy = "Another trade, another rest."\n\n[say]'
    write(
        rules,
        "za",
        "rules/usual-rest",
        lambda text: text.replace("Usual rest", "Rest of the land").replace("[say]", override),
    )
    own, base = (compile_pack(rules / name, rules) for name in ("za", "base"))
    assert rule(own, "usual-rest")["title"] == "Rest of the land of pumps and compressors"
    assert rule(own, "usual-rest")["origin"] == "overrides"
    assert rule(base, "usual-rest")["title"] == "Usual rest of pumps and compressors"


def test_an_override_without_its_pin_stops_the_build(rules):
    write(rules, "za", "rules/usual-rest", lambda text: text)
    with pytest.raises(RuleFaults, match="usual-rest"):
        compile_pack(rules / "za", rules)


@pytest.mark.parametrize(
    ("name", "change", "what"),
    [
        ("rules/usual-rest", lambda t: t.replace("pump_rest_min", "pump_rest_mn"), "pump_rest_mn"),
        (
            "rules/usual-rest",
            lambda t: t.replace("shortest_rest_min >= pump_rest_min", "shortest_rest_min >= run_hours"),
            "puts min against h",
        ),
        ("rules/usual-rest", lambda t: t.replace('stage = "motor"', 'stage = "load"'), "there is no stage 'load'"),
        ("rules/usual-rest", lambda t: t.replace("Usual rest of pumps", "Usual safe rest of pumps"), "may use"),
        ("questions/pool_m3", lambda t: t.replace("order = 30", "order = 31"), "same order"),
        ("questions/pool_m3", lambda t: t.replace("maximum = 5000", "maximum = 0"), "not below its maximum"),
        ("questions/pool_m3", lambda t: t.replace('unit = "m3"', 'unit = "gallons"'), "gallons"),
        ("questions/pool_m3", lambda t: t + 'colour = "blue"\n', "colour"),
    ],
)
def test_the_lint_finds_what_is_wrong(rules, name, change, what):
    write(rules, "base", name, change)
    assert any(what in str(fault) for fault in lint(rules)), [str(fault) for fault in lint(rules)]


def test_a_question_of_the_check_is_no_question_of_the_schedule():
    content = compile_pack(RULES / "base")
    asked, planned = ({question["id"] for question in part["questions"]} for part in (content, content["plan"]))
    assert not asked & planned

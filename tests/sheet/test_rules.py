"""The sheet's own data in every pack: nothing it asks for is missing, nothing it holds is idle."""

from __future__ import annotations

import ast
import itertools
import re
import shutil
from pathlib import Path

import pytest

from checker.core.wiring.layout import LINES
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import RuleFaults
from checker.dev.rulebook.rulefiles import RULES
from tests.core.asking import PACKS, contents
from tests.sheet.variants import every

CORE = Path(__file__).parents[2] / "checker" / "core"
PRINTED = (CORE / "sheet", CORE / "wiring")
FUNCTIONS = {"line", "line-2", "line-3", "switched-line", "control", "neutral", "protective"}
each_pack = pytest.mark.parametrize("pack", PACKS)


def cells(pack: str, table: str) -> dict[str | tuple, str]:
    (found,) = (t for t in contents()[pack]["tables"] if t["id"] == table)
    return {(c["keys"][0] if len(c["keys"]) == 1 else tuple(c["keys"])): c["value"] for c in found["cells"]}


def asked_for() -> set[str]:
    """The phrases that the sheet asks for by a plain name, and the beginnings of those made of parts."""
    found = set()
    for path in (path for folder in PRINTED for path in folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in ("words", "self.words") and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant):
                    found.add(first.value)
                elif isinstance(first, ast.JoinedStr):
                    found.add("".join(p.value if isinstance(p, ast.Constant) else "*" for p in first.values))
    return found


def test_every_phrase_the_sheet_asks_for_is_there_and_every_one_there_is_asked_for():
    held = {key.removeprefix("sheet.") for key in contents()["iec"]["phrases"] if key.startswith("sheet.")}
    plain = {key for key in asked_for() if "*" not in key}
    patterns = [re.compile(key.replace("*", "[a-z0-9-]+")) for key in asked_for() if "*" in key]
    assert plain - held == set()
    assert {key for key in held - plain if not any(p.fullmatch(key) for p in patterns)} == set()


@each_pack
def test_every_conductor_has_a_colour_new_and_old(pack):
    assert set(cells(pack, "conductor-colour")) == set(itertools.product(FUNCTIONS, ("new", "old")))


@each_pack
def test_line_neutral_and_earth_differ_in_colour(pack):
    new = {function: cells(pack, "conductor-colour")[function, "new"] for function in FUNCTIONS}
    assert len({new["line"], new["neutral"], new["protective"]}) == 3
    assert new["protective"].startswith(("green", "bare"))


@each_pack
def test_every_pair_of_conductors_is_tested_once(pack):
    for phases, text in cells(pack, "test-pairs").items():
        pairs = [tuple(pair.split(" – ")) for pair in text.split("; ")]
        conductors = list(dict.fromkeys(name for pair in pairs for name in pair))
        assert len(conductors) == LINES[phases] + 2
        assert {frozenset(pair) for pair in pairs} == {
            frozenset(pair) for pair in itertools.combinations(conductors, 2)
        }
        assert len(pairs) == len(set(map(frozenset, pairs)))


@each_pack
def test_marks_name_every_terminal_and_no_two_of_one_device_alike(pack):
    marks = cells(pack, "terminal-marks")
    needed = {
        end.terminal.role for case in every() for w in case.wires for end in (w.source, w.target) if end.terminal.role
    }
    assert needed <= set(marks)
    for case in every()[::7]:
        for part in ("breaker", "time-switch", "contactor", "load"):
            roles = {e.terminal.role for w in case.wires for e in (w.source, w.target) if e.terminal.part == part}
            assert len({marks[role] for role in roles}) == len(roles), (case.name, part)


@each_pack
def test_parts_of_the_job_begin_at_texts_that_exist_and_leave_no_step_out(pack):
    starts, texts = cells(pack, "sheet-phases"), contents()[pack]["texts"]
    for section, parts in (("steps", ("before", "work", "wires", "finish", "after")), ("tests", ("dead", "live"))):
        order = [text["id"] for text in texts[section]]
        places = [order.index(starts[part]) for part in parts]
        assert places == sorted(places)
        assert places[0] == 0


@each_pack
def test_cautions_and_facts_that_are_placed_exist(pack):
    held = contents()[pack]
    assert set(cells(pack, "caution-place")) <= {text["id"] for text in held["texts"]["cautions"]}
    assert set(cells(pack, "caution-place").values()) <= {"live", "stop"}
    # A region may drop a question of base; the fact is left out of its brief then.
    facts, asked = set(cells(pack, "brief-facts")), {question["id"] for question in held["questions"]}
    assert facts <= asked or (pack != "iec" and len(facts & asked) > 20)


@each_pack
def test_dead_working_keeps_its_order(pack):
    """The five steps of EN 50110-1, dead working: disconnect, secure, verify dead, (earth,) protect from live parts near by."""
    order = [text["id"] for text in contents()[pack]["texts"]["steps"]]
    five = ["identify", "switch-off", "lock", "prove-tester", "test-dead", "prove-tester-again", "cover-live"]
    assert [step for step in order if step in five] == five
    assert order.index("dead-tests") < order.index("cover") < order.index("restore") < order.index("live-tests")


@each_pack
def test_style_is_one_the_drawings_know(pack):
    style = cells(pack, "sheet-style")
    assert style["symbols"] in ("iec", "us")
    assert style["mounting"] in ("rail", "own-enclosure")
    assert style["tests"] in ("reserved", "open")
    assert {style["neutral-tn"], style["neutral-tt"]} <= {"left", "with-line"}


@pytest.fixture
def own_rules(tmp_path) -> Path:
    """A copy of the rule files, to be changed."""
    return Path(shutil.copytree(RULES, tmp_path / "rules"))


STEP = '[[item]]\nid = "{0}"\ntext = "A step more."\nafter = "{1}"\nsource = "common-practice"\nstatus = "practice"\n'


def steps_of(rules: Path, content: str) -> list[str]:
    file = rules / "za" / "texts" / "steps.toml"
    file.write_text(file.read_text("utf-8") + "\n" + content, encoding="utf-8")
    return [text["id"] for text in compile_pack(rules / "za", rules)["texts"]["steps"]]


def test_a_step_that_a_region_adds_stands_where_it_says(own_rules):
    order = steps_of(own_rules, STEP.format("one", "lock") + "\n" + STEP.format("two", "one"))
    assert order[order.index("lock") :][:4] == ["lock", "one", "two", "second-feed-off"]


def test_a_step_after_one_that_does_not_exist_stops_the_build(own_rules):
    with pytest.raises(RuleFaults, match="no-such-step"):
        steps_of(own_rules, STEP.format("one", "no-such-step"))

"""From rule files to compiled packs: the same bytes each time, checked by hash, and never yesterday's."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from checker import packs
from checker.dev.rulebook import compile as compiling
from checker.dev.rulebook.faults import RuleFaults
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import RULES, canonical, pin, read_folder
from tests.core import asking

ROOT = RULES.parent
FOLDERS = [pytest.param(folder, id=folder.name) for folder in region_folders()]


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("folder", FOLDERS)
def test_compiling_twice_gives_equal_bytes(folder):
    assert compiling.packed(compiling.compile_pack(folder)) == compiling.packed(compiling.compile_pack(folder))


def test_the_order_of_sets_and_dicts_leaves_no_trace(tmp_path):
    """Two processes with different hash seeds: what a set of names would betray."""
    program = "import sys; from pathlib import Path; from checker.dev.rulebook.compile import write_packs; write_packs(Path(sys.argv[1]))"
    made = []
    for seed in ("1", "2"):
        out = tmp_path / seed
        out.mkdir()
        command = [sys.executable, "-c", program, str(out)]
        subprocess.run(command, cwd=ROOT, env={"PYTHONHASHSEED": seed}, check=True, timeout=600)
        made.append({path.name: path.read_bytes() for path in out.iterdir()})
    assert made[0] == made[1]
    assert len(made[0]) == len(region_folders())


@pytest.mark.parametrize("name", packs.names())
def test_the_hash_is_that_of_the_content(name):
    raw = packs.read(name).decode()
    held = json.loads(raw)
    assert hashlib.sha256(canonical(held["content"]).encode()).hexdigest() == held["sha256"]
    assert compiling.load_content(raw) == held["content"]
    assert held["about"] == held["content"]["pack"]
    pack_id, _, edition = name.partition("@")
    assert (held["content"]["pack"]["id"], held["content"]["pack"]["edition"]) == (pack_id, edition)
    report = asking.ask(asking.sound(pack_id), pack_id, edition=edition)
    assert report["pack"]["sha256"] == held["sha256"]


def test_a_changed_digit_is_noticed():
    raw = packs.read("iec@2017").decode()
    assert raw.count('"value":"1.5"') >= 1
    with pytest.raises(ValueError, match="hash"):
        compiling.load_content(raw.replace('"value":"1.5"', '"value":"0.5"', 1))


def test_what_ships_is_what_the_rules_say_now():
    assert len(packs.names()) == len(region_folders())
    made = {}
    for folder in region_folders():
        content = compiling.compile_pack(folder)
        made[f"{content['pack']['id']}@{content['pack']['edition']}"] = compiling.packed(content)
    assert {name: packs.read(name).decode() for name in packs.names()} == made


def test_a_fault_anywhere_leaves_the_old_packs_in_place(tmp_path):
    rules, out = tmp_path / "rules", tmp_path / "out"
    shutil.copytree(RULES, rules)
    out.mkdir()
    before = {path.name: path.read_bytes() for path in compiling.write_packs(out, rules)}
    broken = rules / "za" / "pack.toml"
    broken.write_text(
        broken.read_text("utf-8").replace(
            'extends = "iec"', 'extends = "iec"\nremoves = [{kind = "rule", id = "x", why = "y"}]'
        )
    )
    with pytest.raises(RuleFaults):
        compiling.write_packs(out, rules)
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_a_pack_that_is_gone_is_removed(tmp_path):
    rules, out = tmp_path / "rules", tmp_path / "out"
    shutil.copytree(RULES / "base", rules / "base")
    out.mkdir()
    (out / "old@1.json").write_text("{}")
    assert [path.name for path in compiling.write_packs(out, rules)] == ["iec@2017.json"]
    assert [path.name for path in out.iterdir()] == ["iec@2017.json"]


# --- a region on top of base ---


@pytest.fixture
def region(tmp_path) -> Path:
    """A region that says nothing of its own, beside a copy of base."""
    shutil.copytree(RULES / "base", tmp_path / "rules" / "base")
    folder = tmp_path / "rules" / "xx"
    folder.mkdir()
    base = (RULES / "base" / "pack.toml").read_text("utf-8")
    own = re.sub(r'^id = "iec"', 'id = "xx"\nextends = "iec"', base.partition("[[stages]]")[0], flags=re.MULTILINE)
    (folder / "pack.toml").write_text(own, "utf-8")
    return folder


CASES = {
    "sound": {},
    "too large a breaker": {"breaker_rating_a": 32},
    "homeowner": {"worker": "unlicensed"},
    "no isolation": {"isolation": "none"},
    "lamps": {"load_kind": "led-lamps", "device_led_w": 100, "load_power_w": 80, "power_factor": 0.9},
    "not known": {"cable_size": "dont-know"},
    "hot": {"ambient_c": 55, "grouped_circuits": 4},
}


def test_a_region_that_overrides_nothing_gives_base_outcomes(region, judge_by):
    judge_by(*(compiling.compile_pack(folder, region.parent) for folder in region_folders(region.parent)))
    headlines = set()
    for changes in CASES.values():
        for wanted in ("check", "next"):
            ours = asking.ask(asking.FITS | changes, "xx", ask=wanted)
            bases = asking.ask(asking.FITS | changes, "iec", ask=wanted)
            assert ours.pop("pack")["id"] != bases.pop("pack")["id"]
            assert ours == bases
            headlines.add(ours.get("headline"))
    assert {"fits", "change", "call", "stop", "find-out"} <= headlines


def test_a_region_s_own_item_wins_and_says_where_it_is_from(region):
    rules = region.parent
    text = (rules / "base" / "parameters" / "minimum_copper_mm2.toml").read_text("utf-8")
    base = read_folder(rules / "base").items["parameter", "minimum_copper_mm2"]
    (region / "parameters").mkdir()
    own = (
        text.replace("value = 1.5", "value = 2.5") + f'\n[override]\nagainst = "{pin(base)}"\nwhy = "Stricter here."\n'
    )
    (region / "parameters" / "minimum_copper_mm2.toml").write_text(own, "utf-8")
    content = compiling.compile_pack(region, rules)
    (parameter,) = (p for p in content["parameters"] if p["id"] == "minimum_copper_mm2")
    assert (parameter["value"], parameter["origin"]) == ("2.5", "overrides")
    assert "override" not in parameter
    assert {p["origin"] for p in content["parameters"]} == {"base", "overrides"}


def test_a_removed_rule_is_gone(region):
    pack = region / "pack.toml"
    removal = 'extends = "iec"\nremoves = [{ kind = "rule", id = "room-on-rail", why = "Boxes have no rails here." }]'
    pack.write_text(pack.read_text("utf-8").replace('extends = "iec"', removal), "utf-8")
    ids = {rule["id"] for rule in compiling.compile_pack(region, region.parent)["rules"]}
    base = {rule["id"] for rule in compiling.compile_pack(region.parent / "base", region.parent)["rules"]}
    assert base - ids == {"room-on-rail"}


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("folder", FOLDERS)
def test_every_item_says_where_it_is_from(folder):
    _, origin = resolved(folder)
    content = compiling.compile_pack(folder)
    for kind in ("rules", "questions", "parameters", "tables", "sources"):
        for item in content[kind]:
            assert item["origin"] == origin[kind[:-1], item["id"]]
    assert set(origin.values()) <= {"base", "adds", "overrides"}


def test_pins_change_with_the_content_and_not_with_the_place(tmp_path):
    """Comments, blank lines and the line numbers of cells are no content; a digit in a cell is."""
    shutil.copytree(RULES / "base", tmp_path / "base")
    before = {key: pin(item) for key, item in read_folder(tmp_path / "base").items.items()}
    rule = tmp_path / "base" / "rules" / "earth-present.toml"
    rule.write_text("# a comment\n\n" + rule.read_text("utf-8"), "utf-8")
    sheet = tmp_path / "base" / "tables" / "grouping-factor.csv"
    sheet.write_text(sheet.read_text("utf-8").replace("0.80", "0.79"), "utf-8")
    after = {key: pin(item) for key, item in read_folder(tmp_path / "base").items.items()}
    assert {key for key in before if before[key] != after[key]} == {("table", "grouping-factor")}
    assert all(re.fullmatch("[0-9a-f]{8}", value) for value in after.values())


# --- a source checkout never judges by yesterday's rules ---

PROGRAM = """
import json, os, sys, time
from pathlib import Path
from checker import packs
from checker.dev.rulebook.fresh import refresh

def built():
    refresh()
    return {name: json.loads(packs.read(name)) for name in packs.names()}

def stamps():
    return {p.name: p.stat().st_mtime_ns for p in Path("checker/packs").glob("*.json")}

said = {}
first = built()
said["built when missing"] = sorted(first) == ["iec@2017"]
old = stamps()
built()
said["left alone when nothing changed"] = stamps() == old
cell = Path("rules/base/tables/grouping-factor.csv")
cell.write_text(cell.read_text().replace("0.80", "0.79"))
os.utime(cell)
said["rebuilt when a cell is newer"] = built()["iec@2017"]["sha256"] != first["iec@2017"]["sha256"] and stamps() != old
rules = len(built()["iec@2017"]["content"]["rules"])
Path("rules/base/rules/room-on-rail.toml").unlink()
said["rebuilt when a file is deleted"] = len(built()["iec@2017"]["content"]["rules"]) == rules - 1
for part in ("dev/rulebook/compile.py", "core/quantities/load.py"):
    old = stamps()
    os.utime(Path("checker") / part)
    built()
    said[f"rebuilt when {part} is newer"] = stamps() != old
Path("rules/base/pack.toml").write_text("broken")
try:
    built()
    said["a broken rule file is told"] = False
except Exception as fault:
    said["a broken rule file is told"] = "pack.toml" in str(fault)
print(json.dumps(said))
"""


def test_packs_are_rebuilt_when_a_rule_or_the_compiler_is_newer(tmp_path):
    ignore = shutil.ignore_patterns("*.json", "__pycache__", "cli", "web")
    shutil.copytree(ROOT / "checker", tmp_path / "checker", ignore=ignore)
    shutil.copytree(RULES / "base", tmp_path / "rules" / "base")
    done = subprocess.run(
        [sys.executable, "-B", "-c", PROGRAM], cwd=tmp_path, capture_output=True, text=True, timeout=600, check=False
    )
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert [what for what, holds in said.items() if not holds] == []
    assert len(said) == 7


REGIONS = [pytest.param(folder, id=folder.name) for folder in region_folders()[1:]]


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("folder", REGIONS)
@pytest.mark.parametrize("kind", ["stages", "plan_stages"])
def test_a_region_runs_through_the_stages_of_base(folder, kind):
    """Only titles may differ: order, ids and what a failure leads to are base's."""
    mine, theirs = resolved(folder)[0].pack[kind], read_folder(RULES / "base").pack[kind]
    assert [{**stage, "title": ""} for stage in mine] == [{**stage, "title": ""} for stage in theirs]


@pytest.mark.parametrize(
    "kind, named, put",
    [
        pytest.param("stages", "load", '[stage_titles]\nload = "Quite another title"\n', id="check"),
        pytest.param(
            "plan_stages",
            "clock",
            '[plan_stage_titles]\nclock = "Quite another title"\n\n[stage_titles]\n',
            id="schedule",
        ),
    ],
)
def test_a_title_of_a_region_takes_the_place_of_bases_and_of_no_other(kind, named, put, tmp_path):
    rules = tmp_path / "rules"
    for name in ("base", "za"):
        shutil.copytree(RULES / name, rules / name)
    before = {stage["id"]: stage["title"] for stage in resolved(rules / "za", rules)[0].pack[kind]}
    head = rules / "za" / "pack.toml"
    head.write_text(head.read_text("utf-8").replace("[stage_titles]\n", put, 1), "utf-8")
    now = {stage["id"]: stage["title"] for stage in resolved(rules / "za", rules)[0].pack[kind]}
    assert now == {**before, named: "Quite another title"}


def test_words_of_a_region_leave_its_own_titles_alone():
    """`[vocabulary]` is for sentences taken over from base; a title of [stage_titles] is the region's own."""
    us = read_folder(RULES / "us").pack["stage_titles"]
    held = {stage["id"]: stage["title"] for stage in asking.contents()["us"]["stages"]}
    assert {name: held[name] for name in us} == us

"""The pages of the regions say what the rule files say: the law, every reason, every status, every day of review."""

from __future__ import annotations

import csv
import re
import shutil
import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from checker.core import describe
from checker.core.pack import Pack
from checker.dev.cases import second_copies as second
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import RULES, pin
from checker.dev.site import pages, regions
from checker.dev.site.markdown import edition_page, filled, reference_folder
from tests.core import asking
from tests.docs.written import written

FOLDERS = [path for path in region_folders() if path.parent.name != "editions"]
PACKS = [tomllib.loads((path / "pack.toml").read_text("utf-8")) for path in FOLDERS]

each_folder = pytest.mark.parametrize(("folder", "pack"), list(zip(FOLDERS, PACKS, strict=True)), ids=lambda x: "")


def told(pack: dict) -> str:
    return written()[f"regions/{edition_page(pack)}.md"]


def one_line(text: str) -> str:
    return text.replace("\n", " ").replace("|", "\\|").strip()


@each_folder
def test_every_reason_for_an_override_stands_on_the_page(folder: Path, pack: dict):
    reasons: list[str] = []
    for file in sorted(folder.rglob("*.toml")):
        if "editions" not in file.parts[len(folder.parts) :]:
            held = tomllib.loads(file.read_text("utf-8"))
            reasons += [i["override"]["why"] for i in (held, *held.get("item", ())) if "override" in i]
    assert bool(reasons) == ("extends" in pack)
    assert [why for why in reasons if one_line(why) not in told(pack)] == []


@each_folder
def test_a_rule_of_law_on_who_may_stands_first_with_its_source_and_status(folder: Path, pack: dict):
    content = asking.contents()[pack["id"]]
    stages = {stage["id"] for stage in content["stages"] if stage["part"] == "who"}
    law = [rule for rule in content["rules"] if rule["weight"] == "law" and rule["stage"] in stages]
    who = told(pack).partition("## Who may do it")[2].partition("\n## ")[0]
    assert bool(law) != ("This rule set contains no law" in who)
    for rule in law:
        assert filled({"pack": {"words": content["words"]}}, rule["say"]["failed"]) in who
        assert f"{rule['clause']} · status: {rule['status']}" in who


@each_folder
def test_the_counts_by_status_are_those_of_the_compiled_pack(folder: Path, pack: dict):
    content = asking.contents()[pack["id"]]
    statuses = [x["status"] for x in [*content["rules"], *content["parameters"]]]
    statuses += [c["status"] for t in content["tables"] for c in t["cells"]]
    known = told(pack).partition("## How well it is known")[2].partition("\n## ")[0]
    shown = {row[0]: int(row[1]) for row in re.findall(r"^\| (\S+) \| \d+ \| (\d+) \|", known, re.M)}
    assert shown == {status: statuses.count(status) for status in set(statuses)}
    # The bar says the same: its label, and as many pieces.
    assert all(f"{n} {status}" in known for status, n in shown.items())
    assert known.count("<rect") == len(shown)
    # And so does the overview of all.
    (line,) = (
        line
        for line in written()["regions/index.md"].splitlines()
        if line.startswith(f"**{pack['title']}, {pack['edition']}**: ")
    )
    assert {s: int(n) for n, s in re.findall(r"(\d+) ([a-z-]+)(?:,|$)", line.partition("**: ")[2])} == shown


@each_folder
def test_what_is_due_is_told_with_its_day(folder: Path, pack: dict):
    content = asking.contents()[pack["id"]]
    days = {x["stale_after"] for x in [*content["rules"], *content["parameters"]]}
    days |= {c["stale_after"] for t in content["tables"] for c in t["cells"]}
    due = told(pack).partition("## Due for review")[2].partition("\n## ")[0]
    assert set(re.findall(r"^\| (\d{4}-\d\d-\d\d) \|", due, re.M)) == days


@each_folder
def test_a_thin_rule_set_is_marked_on_its_pages_and_in_the_lists(folder: Path, pack: dict):
    why = pack.get("preview_why")
    for name in (f"regions/{edition_page(pack)}.md", f"{pack['id']}/index.md"):
        assert ('!!! warning "Preview"' in written()[name]) == bool(why)
        assert why is None or why in written()[name]
    for name in ("index.md", "regions/index.md"):
        (row,) = (line for line in written()[name].splitlines() if line.startswith(f"| [{pack['title']}]"))
        assert ("**preview**" in row) == bool(why)


def test_every_link_leads_to_a_page_and_a_heading_that_is_there():
    for name, text in written().items():
        if name.startswith("regions/"):
            for target, anchor in re.findall(r"\]\((?!http)([^)#]+)#?([^)]*)\)", text):
                path = (Path("/", name).parent / target).resolve().relative_to("/")
                assert str(path) in written(), (name, target)
                assert not anchor or f"{{ #{anchor} }}" in written()[str(path)], (name, target, anchor)


# --- the share of cells that were typed twice ---


def base_described() -> dict:
    return pages._ask({"ask": "describe", "pack": "iec"})


def test_the_share_typed_twice_is_counted_from_the_copies():
    """The base table of cable currents, counted here from the two files alone."""
    held = base_described()
    (share,) = (s for s in second.agreements(held, held) if s.table == "cable-current")
    folder = second.RULES / "base" / "second"
    with (folder / "cable-current.csv").open(encoding="utf-8", newline="") as file:
        keys = {tuple(row.values())[:5] for row in csv.DictReader(file)}
    assert (share.copied, share.cells) == (len(keys), 328)
    assert share.agree + share.settled == share.copied


def test_a_figure_of_a_regions_own_is_not_counted_with_the_copies_of_base():
    held = pages._ask({"ask": "describe", "pack": "de"})
    found = {share.table: share for share in second.agreements(held, base_described())}
    assert found["cable-current"].copied == 0
    assert found["grouping-factor"].copied == found["grouping-factor"].cells


def test_a_wrong_figure_lowers_the_share():
    held = base_described()
    before = {share.table: share for share in second.agreements(held, held)}["grouping-factor"]
    (table,) = (t for t in held["tables"] if t["id"] == "grouping-factor")
    table["cells"][1]["value"] = "0.81"
    after = {share.table: share for share in second.agreements(held, held)}["grouping-factor"]
    assert (after.copied, after.agree) == (before.copied, before.agree - 1)


@pytest.mark.parametrize(
    ("printed", "value", "same"),
    [("exact", "18", False), ("truncated", "18", True), ("rounded-up", "18.51", True), ("rounded-up", "18.49", False)],
)
def test_a_printed_figure_is_compared_as_it_was_rounded(printed, value, same):
    assert second.agrees(Decimal("18.5"), {"printed": printed, "value": Decimal(value)}) is same


# --- editions beside each other ---


def test_two_editions_stand_side_by_side_with_the_reason_for_each_difference(tmp_path, monkeypatch):
    """A copy of South Africa's rules with an older edition of our own invention, in which one figure differs."""
    for name in ("base", "za", "schema"):
        shutil.copytree(RULES / name, tmp_path / name)
    folder = tmp_path / "za/editions/2"
    (folder / "parameters").mkdir(parents=True)
    (folder / "pack.toml").write_text(
        'edition = "2"\ntitle = "South Africa, the edition before"\nvalid_from = 2012-01-01\nvalid_until = 2020-09-16\n',
        "utf-8",
    )
    region, _ = resolved(tmp_path / "za", tmp_path)
    item = region.items["parameter", "socket_breaker_a"]
    text = item.path.read_text("utf-8").replace("value = 20", "value = 16")
    text += f'\n[override]\nagainst = "{pin(item)}"\nwhy = "The older book allowed less."\n'
    (folder / "parameters/socket_breaker_a.toml").write_text(text, "utf-8")
    packs = [tmp_path / "base", tmp_path / "za", folder]
    described = [describe.pack_described(Pack(compile_pack(path, tmp_path), "0" * 64)) for path in packs]
    monkeypatch.setattr(regions, "region_folders", lambda: packs)
    made = dict(regions.pages(described))
    for name in ("regions/za-2.md", "regions/za-3.md"):
        beside = made[name].partition("## Editions side by side")[2]
        assert "| parameter | `socket_breaker_a` | The older book allowed less. |" in beside
        assert beside.count("| parameter |") == 1
        assert "2012-01-01 until 2020-09-16" in beside
    heads = [held["pack"] for held in described]
    assert [reference_folder(head, heads) for head in heads[1:]] == ["za", "za-2"]

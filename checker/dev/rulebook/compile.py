"""From `rules/` to compiled packs: resolved, typed, canonical JSON that the core loads in CPython and in Pyodide.

`checks` holds what every item is held against; `items` and `texts` make them.
"""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

from checker.core.pack import FORMAT
from checker.core.schedule.situation import PlanSituation
from checker.dev.checkout import ROOT
from checker.dev.rulebook import items as compile_items
from checker.dev.rulebook import preview
from checker.dev.rulebook.checks import Checks
from checker.dev.rulebook.pictures import pictures
from checker.dev.rulebook.resolve import Origins, region_folders, resolved, resolved_plan
from checker.dev.rulebook.rulefiles import RULES, Folder, Item, as_text, canonical, once, read_folder, read_once
from checker.dev.rulebook.texts import texts
from checker.dev.rulebook.vocabulary import localised, worded

PACKS = ROOT / "checker" / "packs"


def write_packs(out: Path = PACKS, rules: Path = RULES) -> list[Path]:
    """Compiles every pack into `out`, replacing what is there. Raises `RuleFaults` and writes nothing when any is wrong."""
    made = {}
    with read_once():
        for folder in region_folders(rules):
            content = compile_pack(folder, rules)
            made[f"{content['pack']['id']}@{content['pack']['edition']}.json"] = packed(content)
    for old in out.glob("*.json"):
        if old.name not in made:
            old.unlink()
    for name, text in made.items():
        # Written aside and renamed: another process never reads half a pack.
        aside = out / f".{name}.{os.getpid()}"
        aside.write_text(text, encoding="utf-8")
        aside.replace(out / name)
    return [out / name for name in sorted(made)]


def packed(content: dict[str, Any]) -> str:
    """The file of a compiled pack: its head once more in front, its content, and the hash of that content."""
    text = canonical(content)
    return f'{{"about":{canonical(content["pack"])},"content":{text},"sha256":"{_hash(text)}"}}'


def load_content(text: str) -> dict[str, Any]:
    """The content of a compiled pack's file. Raises `ValueError` when it does not have the hash that the file states."""
    held = json.loads(text)
    if _hash(canonical(held["content"])) != held["sha256"]:
        raise ValueError("the pack's hash does not match its content")
    return held["content"]


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def compile_pack(path: Path, rules: Path = RULES) -> dict[str, Any]:
    """One pack's content. Raises `RuleFaults` naming every item that is wrong."""
    return once(("pack", path, rules), lambda: _content(path, rules))


def _content(path: Path, rules: Path) -> dict[str, Any]:
    folder, origin = resolved(path, rules)
    folder = worded(localised(folder, origin))
    checks = Checks(folder, origin, rules)
    content = {
        "format": FORMAT,
        "pack": _head(folder.pack),
        "words": folder.pack["words"],
        "removed": _removed(folder, rules),
        "unread": _unread(folder),
        "phrases": {item.id: item.data["text"] for item in checks.of("phrase")},
        "sources": [checks.with_origin(item, item.data) for item in checks.of("source")],
        "parameters": [compile_items.parameter(checks, item) for item in checks.of("parameter")],
        "tables": [compile_items.table(checks, item) for item in checks.of("table")],
        "pictures": pictures(checks),
        **_asked_and_judged(checks, checks.of("question")),
    }
    checks.finish()
    dates = [cell["stale_after"] for table in content["tables"] for cell in table["cells"]]
    dates += [entry["stale_after"] for kind in ("parameters", "rules") for entry in content[kind]]
    content["pack"]["review_by"] = min(dates, default="9999-12-31")
    content["pack"]["preview"] = folder.pack.get("preview_why") or preview.why_preview(content)
    content["plan"] = _plan(path, folder, origin, rules)
    return content


def _plan(path: Path, folder: Folder, origin: Origins, rules: Path) -> dict[str, Any]:
    """The schedule's part of a pack: its questions, rules and texts, which may name all that the check knows too."""
    own, own_origin = resolved_plan(path, rules)
    # A word is explained in the questions of the check, which come first.
    head = {**folder.pack, "stages": folder.pack["plan_stages"], "explained": {}}
    own = worded(localised(own._replace(pack=head), own_origin))
    shared = {key: item for key, item in folder.items.items() if key[0] not in ("rule", "text")}
    view = own._replace(path=path, items={**shared, **own.items})
    checks = Checks(view, {**origin, **own_origin}, rules, PlanSituation.quantities)
    plan = _asked_and_judged(checks, [item for item in checks.of("question") if ("question", item.id) in own.items])
    checks.finish()
    return plan


def _asked_and_judged(checks: Checks, questions: list[Item]) -> dict[str, Any]:
    """What check and schedule have each of its own, `questions` among it."""
    asked = [compile_items.question(checks, item) for item in questions]
    rules = [compile_items.rule(checks, item) for item in checks.of("rule")]
    return {
        "stages": checks.folder.pack["stages"],
        "units": checks.units,
        "questions": sorted(asked, key=lambda question: question["order"]),
        "rules": sorted(rules, key=lambda rule: (checks.stages.get(rule["stage"], 99), rule["id"])),
        "texts": texts(checks),
    }


def _head(pack: dict[str, Any]) -> dict[str, Any]:
    return {
        **{key: pack[key] for key in ("id", "title", "region", "edition", "version", "language")},
        "valid_from": as_text(pack["valid_from"]),
        "valid_until": as_text(pack["valid_until"]) if "valid_until" in pack else None,
        "extends": pack.get("extends"),
    }


def _removed(folder: Folder, rules: Path) -> list[str]:
    """Questions, parameters and tables of base that this pack goes without: the core takes them for not known."""
    if "extends" not in folder.pack:
        return []
    gone = set(read_folder(rules / "base").items) - set(folder.items)
    return sorted(item_id for kind, item_id in gone if kind in ("question", "parameter", "table"))


def _unread(folder: Folder) -> dict[str, str]:
    """Questions of the common vocabulary that this pack does not ask, and why: an answer to one is no slip of the pen."""
    named = {entry["id"]: entry["why"] for entry in folder.pack.get("unread", [])}
    removed = {entry["id"]: entry["why"] for entry in folder.pack.get("removes", []) if entry["kind"] == "question"}
    return {name: why for name, why in sorted((named | removed).items()) if ("question", name) not in folder.items}

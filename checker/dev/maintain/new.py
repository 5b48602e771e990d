"""`spareway rules new`: the folder of a region that knows nothing yet, and says so.

What another region found for itself is not copied: each of its figures becomes a figure left out, or one of base that
counts as recalled until somebody looked. So the new rule set can send people away and ask, but lets nobody begin.
"""

from __future__ import annotations

import json
import re
import shutil
from argparse import Namespace
from pathlib import Path
from typing import Any

from checker.dev.maintain import day
from checker.dev.rulebook import lint, rulefiles
from checker.dev.rulebook.positions import position
from checker.dev.rulebook.resolve import region_folders
from checker.dev.rulebook.rulefiles import CELL_COLUMNS, Folder, Item, pin, read_folder
from checker.terminal import output
from checker.terminal.problem import Problem

# Words that name a place's own law, paper and people: those of another region would mislead.
_LOCAL_WORDS = ("code", "cable_code", "authority", "certificate", "licensed_person", "line_colours", "neutral_colours")
_TABLES, _RULES = "cable-current", "skilled-worker"


def run(options: Namespace) -> int:
    """Writes rules/REGION, lints it, tells what to do next. Nothing is left behind when it does not lint."""
    rules, region = rulefiles.RULES, options.region
    _usable(region, rules)
    like = _like(options.like, rules)
    base = read_folder(rules / "base")
    title = options.title or f"{region.upper()} (draft)"
    for name, text in files(region, title, day(options.as_of), base, like).items():
        path = rules / region / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    faults = [f for f in lint.lint(rules) if position(f, rules.parent)[0].startswith(f"rules/{region}/")]
    if faults:
        shutil.rmtree(rules / region)
        first = faults[0]
        raise Problem(
            f"{first.where} (not kept)", first.what, first.why, f"{first.fix} Or start --like another rule set."
        )
    output.write("\n".join(_steps(region, base, like)) + "\n")
    return 0


def _usable(region: str, rules: Path) -> None:
    if not re.fullmatch(r"[a-z]{2,8}", region) or region in ("base", "schema", "iec"):
        raise Problem(
            "REGION",
            f"{region!r} cannot be the id of a region.",
            "Folders and pages are named after it.",
            "Use two to eight small letters, such as fr.",
        )
    if (rules / region).exists():
        raise Problem(
            "REGION", f"The rule set {region!r} already exists.", "You would lose its files.", "Choose another id."
        )


def _like(wanted: str, rules: Path) -> Folder:
    others = [read_folder(path) for path in region_folders(rules) if path.parent == rules and path.name != "base"]
    for other in others:
        if other.pack["id"] == wanted:
            return other
    known = ", ".join(other.pack["id"] for other in others)
    raise Problem(
        "--like",
        f"There is no region {wanted!r}.",
        "The new rule set takes its words and its list of things to find out from there.",
        f"Name one of: {known}.",
    )


def files(region: str, title: str, today: str, base: Folder, like: Folder) -> dict[str, str]:
    """The files of the new folder by their names in it."""
    made = {"pack.toml": _head(region, title, today, like), "sources.toml": _sources(region, title)}
    made["questions/code_current_a.toml"] = _question(title)
    made[f"rules/{_RULES}.toml"] = _law(region, title, today, base.items["rule", _RULES])
    made["texts/defers-to.toml"] = _text(region, title, base.items["text", "defers-to/standard-itself"])
    for item in base.items.values():
        own = (item.kind, item.id) in like.items
        if item.kind == "table" and item.data["value"] == "number" and (own or item.id == _TABLES):
            made[f"tables/{item.id}.toml"] = _table(region, title, item)
            axes = [axis["name"] for axis in item.data["axes"]]
            made[f"tables/{item.id}.csv"] = ",".join([*axes, *CELL_COLUMNS]) + "\n"
        elif item.kind == "parameter" and own:
            made[f"parameters/{item.id}.toml"] = _parameter(region, title, today, item)
    return made


def _q(text: Any) -> str:
    """A text as TOML writes it."""
    return json.dumps(str(text), ensure_ascii=False)


def _head(region: str, title: str, today: str, like: Folder) -> str:
    words = {key: text for key, text in like.pack.get("words", {}).items() if key not in _LOCAL_WORDS}
    words |= {"code": f"the wiring rules of {title}", "authority": "the authority where you live"}
    year, month, _ = today.split("-")
    why = f"The rule set for {title} is new. Its law and figures are not looked up yet. It can ask and warn, but it cannot give a pass."
    return f"""#:schema ../schema/pack.schema.json
# Started like {like.pack["id"]}. Fill in each figure as you look it up; see DEVELOPERS.md.
id = "{region}"
title = {_q(title)}
region = {_q(title)}
version = "{year}.{month}"
edition = "draft"
valid_from = {today}
review_days = 365
extends = "iec"
language = "en"
preview = true
preview_why = {_q(why)}

[words]
""" + "".join(f"{key} = {_q(text)}\n" for key, text in words.items())  # fmt: skip


def _sources(region: str, title: str) -> str:
    return f"""#:schema ../schema/sources.schema.json
# Replace both with the real ones: title as printed, edition, address, and in `note` what you saw of it.

[[source]]
id = "{region}-law"
title = {_q(f"The law of {title} on who may do electrical work (not found yet)")}
kind = "law"

[[source]]
id = "{region}-code"
title = {_q(f"The wiring rules of {title} (not opened yet)")}
kind = "standard"
"""


def _question(title: str) -> str:
    return f"""#:schema ../../schema/question.schema.json
id = "code_current_a"
kind = "number"
stage = "cable"
order = 405
text = {_q(f"What current does your own copy of the wiring rules of {title} give for this cable, laid as it is?")}
label = "Current in your own copy"
help = "This rule set has no cable ratings yet. If you have the wiring rules, take the row of the size and the column of how the cable is laid. Give the printed figure, before any factor for warmth or for other circuits. Do not use a web page or another country's tables. Without the rules, choose “the label does not say”."
why = "Everything about the cable depends on this figure."
find_out = {_q(f"Open the current edition of the wiring rules of {title} at the table of current-carrying capacities. A licensed person has it.")}
unit = "A"
minimum = 1
maximum = 200
unanswered = "not-stated"
"""


def _law(region: str, title: str, today: str, below: Item) -> str:
    failed = f"Somebody without a licence would do the work, and the law of {title} is not looked up yet. Treat work in a {{board}} as reserved for a {{licensed_person}} until your local authority says otherwise."
    return f"""#:schema ../../schema/rule.schema.json
id = "{_RULES}"
title = "Who may do the work by law"
stage = "who-may"
weight = "law"
status = "memory"
source = "{region}-law"
clause = "not found yet"
checked = {today}
note = "Nobody has read this law for the rule set. It counts as reserving the work, and cannot give a pass."
applies = "True"
requires = "worker != 'unlicensed'"
fix = "Call a {{licensed_person}}. Or ask your local authority in writing whether you may do this work yourself. Keep this report for that talk."

[say]
passed = "A {{licensed_person}} does the work or supervises it. Your place may ask for more, such as a permit or a certificate."
failed = {_q(failed)}
cannot-tell = "It is not known who will do the work. That decides whether it may be done at all."

[override]
against = "{pin(below)}"
why = {_q(f"The law of {title} decides who may do the work, and it is not looked up yet.")}
"""


def _text(region: str, title: str, below: Item) -> str:
    told = f"This is a new preview for {title}. The wiring rules of {title} come before any figure here. Most of their figures are still missing."
    return f"""#:schema ../../schema/texts.schema.json

[[item]]
id = "standard-itself"
text = {_q(told)}
source = "{region}-code"
status = "practice"

[item.override]
against = "{pin(below)}"
why = "Readers must know that the figures of the region are missing."
"""


def _table(region: str, title: str, below: Item) -> str:
    data = below.data
    look = f"look = {_q(f'the wiring rules of {title}')}\n"
    parts = [
        f"""#:schema ../../schema/table.schema.json
id = "{below.id}"
title = {_q(data["title"])}
unit = "{data["unit"]}"
value = "number"
{look}note = "Empty: nobody has seen a figure of {region}-code yet, and a figure of another country would be a guess."

[override]
against = "{pin(below)}"
why = {_q(f"As far as we know, {title} has its own figures for this. Nobody has looked them up yet.")}
"""
    ]
    for axis in data["axes"]:
        parts.append("[[axes]]\n" + "".join(f"{key} = {_q(value)}\n" for key, value in axis.items()))
    return "\n".join(parts)


def _parameter(region: str, title: str, today: str, below: Item) -> str:
    return f"""#:schema ../../schema/parameter.schema.json
id = "{below.id}"
title = {_q(below.data["title"])}
value = {below.data["value"]}
unit = "{below.data["unit"]}"
source = "{region}-code"
clause = "not looked up yet"
status = "memory"
checked = {today}
note = "The figure of base. It cannot give a pass until somebody looks it up in {region}-code."

[override]
against = "{pin(below)}"
why = {_q(f"Rule sets like this one have their own figure here. Nobody has looked up that of {title} yet.")}
"""


def _steps(region: str, base: Folder, like: Folder) -> list[str]:
    """What to do next, in order of what helps most."""
    own = [
        item
        for key, item in like.items.items()
        if key in base.items and item.kind in ("table", "parameter", "rule", "question")
    ]
    new = [
        item
        for key, item in like.items.items()
        if key not in base.items and item.kind in ("table", "parameter", "rule", "question")
    ]
    listed = lambda kind, items: ", ".join(item.id for item in items if item.kind == kind) or "none"  # noqa: E731
    return [
        f"Made rules/{region}. Lint finds no fault. It is a preview: it asks and warns, but it cannot give a pass.",
        "",
        "Next steps:",
        f"1. The law. Find out who may do the work. Put the law into rules/{region}/sources.toml, and its words, its clause and",
        f"   a status you can justify into rules/{region}/rules/{_RULES}.toml.",
        f"2. Cable ratings: spareway rules import {region}/{_TABLES} FILE.csv --source {region}-code --clause ...",
        f"   Other tables that {like.pack['id']} replaces: {listed('table', own)}",
        f"   Tables that only {like.pack['id']} has: {listed('table', new)}",
        f"3. Figures that {like.pack['id']} replaces; here they are those of base and cannot give a pass yet: {listed('parameter', own)}",
        f"4. Rules that {like.pack['id']} replaces: {listed('rule', own)}",
        f"   Rules that only {like.pack['id']} has: {listed('rule', new)}",
        f"5. Words, colours and marks: edit [words] in rules/{region}/pack.toml; conductor-colour and terminal-marks come from base.",
        f'6. Write three worked cases in scenarios/ with pack = "{region}" and try them with spareway check.',
        "7. Run spareway rules lint until nothing is left, then open a pull request.",
    ]

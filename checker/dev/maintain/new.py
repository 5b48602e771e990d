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
            f"{first.where} (not kept)", first.what, first.why, f"{first.fix} Or begin --like another rule set."
        )
    output.write("\n".join(_steps(region, base, like)) + "\n")
    return 0


def _usable(region: str, rules: Path) -> None:
    if not re.fullmatch(r"[a-z]{2,8}", region) or region in ("base", "schema", "iec"):
        raise Problem(
            "REGION",
            f"{region!r} is no id of a region.",
            "Folders and pages are named by it.",
            "Use two to eight small letters, such as fr.",
        )
    if (rules / region).exists():
        raise Problem(
            "REGION", f"There is a rule set {region!r} already.", "Its files would be lost.", "Choose another id."
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
        "It gives the words and the list of things to find.",
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
    words |= {"code": f"the wiring rules of {title}", "authority": "the authority of your place"}
    year, month, _ = today.split("-")
    why = f"The rule set for {title} has just been begun: its law and its figures are not looked up yet. It can ask and warn, and lets nobody begin."
    return f"""#:schema ../schema/pack.schema.json
# Begun like {like.pack["id"]}. Every figure that somebody looked up takes the place of one left out; see DEVELOPERS.md.
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
# Replace both by the real ones: title as printed, edition, address, and in `note` what you saw of it.

[[source]]
id = "{region}-law"
title = {_q(f"The law of {title} on who may do electrical work: not found yet")}
kind = "law"

[[source]]
id = "{region}-code"
title = {_q(f"The wiring rules of {title}: not opened yet")}
kind = "standard"
"""


def _question(title: str) -> str:
    return f"""#:schema ../../schema/question.schema.json
id = "code_current_a"
kind = "number"
stage = "cable"
order = 405
text = {_q(f"Which current do the wiring rules of {title} give for this cable, laid as it is?")}
help = "This rule set holds no rating of a cable yet. If you have the rules, take the row of the size and the column of how the cable is laid, as printed, before any factor for warmth or for other circuits. Do not take it from the tables of another country. Without them, say that it is not stated."
why = "Everything about the cable hangs on this figure."
find_out = {_q(f"Open the current edition of the wiring rules of {title} at the table of current-carrying capacities. An electrician has it.")}
unit = "A"
minimum = 1
maximum = 200
unanswered = "not-stated"
"""


def _law(region: str, title: str, today: str, below: Item) -> str:
    failed = f"The law of {title} is not looked up yet. Work in a board must be left to a {{licensed_person}} until the authority of your place says otherwise."
    return f"""#:schema ../../schema/rule.schema.json
id = "{_RULES}"
title = "Somebody who may do the work does it"
stage = "who-may"
weight = "law"
status = "memory"
source = "{region}-law"
clause = "not found yet"
checked = {today}
note = "Nobody has read this law for the rule set: it counts as reserving the work, and gives no pass."
applies = "True"
requires = "worker != 'unlicensed'"
fix = "Call a {{licensed_person}}, or ask the authority of your place in writing whether you may do this work yourself. Keep this report for that talk."

[say]
passed = "A {{licensed_person}} does the work or supervises it. Your place may ask for more, such as a permit or a certificate."
failed = {_q(failed)}
cannot-tell = "It is not known who will do the work. That decides whether it may be done at all."

[override]
against = "{pin(below)}"
why = {_q(f"The law of {title} decides who may do the work, and it is not looked up yet.")}
"""


def _text(region: str, title: str, below: Item) -> str:
    told = f"This is a preview for {title}, just begun. The wiring rules of {title} come before any figure here, and most of theirs are not in it yet."
    return f"""#:schema ../../schema/texts.schema.json

[[item]]
id = "standard-itself"
text = {_q(told)}
source = "{region}-code"
status = "practice"

[item.override]
against = "{pin(below)}"
why = "The reader has to know that the figures of the region are missing."
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
{look}note = "Empty: no figure of {region}-code was seen yet, and one of another country would be a guess."

[override]
against = "{pin(below)}"
why = {_q(f"{title} has figures of its own for this, as far as anybody knows; none was looked up yet.")}
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
note = "The figure of base. It gives no pass until somebody looked it up for {region}-code."

[override]
against = "{pin(below)}"
why = {_q(f"Rule sets like this one have a figure of their own here; that of {title} is not looked up yet.")}
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
        f"Made rules/{region}. It lints. It is a preview: it asks and warns, and lets nobody begin.",
        "",
        "Next steps:",
        f"1. The law. Find who may do the work; put the law into rules/{region}/sources.toml, and its words, clause and a",
        f"   status you can name a reason for into rules/{region}/rules/{_RULES}.toml.",
        f"2. Cable ratings: spareway rules import {region}/{_TABLES} FILE.csv --source {region}-code --clause ...",
        f"   Other tables that {like.pack['id']} has of its own: {listed('table', own)}",
        f"   and that only it has: {listed('table', new)}",
        f"3. Figures that {like.pack['id']} has of its own, here still those of base and without force: {listed('parameter', own)}",
        f"4. Rules that {like.pack['id']} says in its own way: {listed('rule', own)}",
        f"   and that only it has: {listed('rule', new)}",
        f"5. Words, colours and marks: [words] in rules/{region}/pack.toml; conductor-colour and terminal-marks are those of base.",
        f'6. Three worked cases in scenarios/ with pack = "{region}"; try them with spareway check.',
        "7. spareway rules lint, until nothing is left; then a pull request.",
    ]

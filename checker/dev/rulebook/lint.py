"""Everything the build refuses in rule files beyond what the compiler needs: shapes, tables, wording, loose ends."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema

from checker.dev.rulebook.compile import compile_pack, load_content, packed
from checker.dev.rulebook.faults import Fault, RuleFaults, counted, place
from checker.dev.rulebook.hazards import STARTS
from checker.dev.rulebook.lint_hazards import hazard_log
from checker.dev.rulebook.lint_tables import tables
from checker.dev.rulebook.lint_use import loose_ends, unpictured, unread
from checker.dev.rulebook.looks import looks
from checker.dev.rulebook.resolve import is_edition, region_folders, resolved, resolved_plan
from checker.dev.rulebook.rulefiles import (
    PLAN,
    RULES,
    Folder,
    Item,
    as_text,
    canonical,
    read_folder,
    read_once,
    read_toml,
)

# "safe" as a word of its own: nothing here may be called that. "Safety" and "unsafe" in the title of a source may stand.
_FORBIDDEN = re.compile(r"\bsafe(ly|r|st)?\b", re.IGNORECASE)


def main(arguments: list[str]) -> int:
    """Lints every pack; prints what is wrong and how to mend it."""
    faults = lint(RULES)
    for fault in faults:
        print(fault)
    print(f"{counted(len(faults), 'fault')} in {counted(len(region_folders()), 'pack')}")
    return 1 if faults else 0


def lint(rules: Path = RULES) -> list[Fault]:
    """Every fault in the packs below `rules`."""
    with read_once():
        return _lint(rules)


def _lint(rules: Path) -> list[Fault]:
    faults: list[Fault] = []
    for path in region_folders(rules):
        try:
            own = read_folder(path)
            misshapen = shapes(own, rules)
            faults += misshapen
            if misshapen:
                continue
            folder, origin = resolved(path, rules)
            content = compile_pack(path, rules)
            load_content(packed(content))
            for check in (tables, wording, loose_ends, unread, unpictured, looks, run_of_questions, bounds):
                faults += check(folder, content, rules)
            faults += hazard_log(folder, origin, content, rules)
            faults += _schedule(path, content, rules)
        except RuleFaults as wrong:
            faults += wrong.faults
    return list(dict.fromkeys(faults))


def _schedule(path: Path, content: dict, rules: Path) -> list[Fault]:
    """The schedule's own items, by the same measure as those of the check."""
    faults = shapes(read_folder(path / PLAN), rules)
    if faults:
        return faults
    items = resolved_plan(path, rules)[0].items
    view = Folder(path, {**content["pack"], "words": content["words"]}, items)
    held = {**content, **content["plan"]}
    for check in (wording, run_of_questions, bounds):
        faults += check(view, held, rules)
    return faults


def shapes(folder: Folder, rules: Path) -> list[Fault]:
    """Files against their JSON Schema."""
    faults = []
    head = "edition" if is_edition(folder.path) else "pack"
    held: list[tuple[Path, str, str, Any]] = [(folder.path / "pack.toml", head, "", folder.pack)]
    if folder.path.name == PLAN:
        held = []  # the schedule's items have no head of their own
    phrases = folder.path / "phrases.toml"
    if phrases.exists():
        held.append((phrases, "phrases", "", read_toml(phrases)))
    starts = folder.path / STARTS
    if starts.exists():
        held.append((starts, "starts", "", read_toml(starts)))
    held += [(item.path, item.kind, item.id, item.data) for item in folder.items.values() if item.kind != "phrase"]
    for path, kind, item_id, data in held:
        if kind == "pack" and "extends" not in data and "stages" not in data:
            faults.append(
                Fault(
                    place(path, rules),
                    "has no stages and extends nothing",
                    "The questions come in the order of the stages.",
                    "Add [[stages]].",
                )
            )
        for error in _validator(kind).iter_errors(
            json.loads(canonical(data), parse_float=Decimal) if kind == "phrases" else _plain(data)
        ):
            position = ".".join(str(part) for part in error.absolute_path)
            line = data["cells"][error.absolute_path[1]]["line"] if position.startswith("cells.") else ""
            named = (
                f"{place(path.with_suffix('.csv'), rules)}:{line}"
                if line
                else f"{place(path, rules)}{f' ({item_id})' if item_id else ''}"
            )
            faults.append(
                Fault(
                    f"{named}{f' at {position}' if position else ''}",
                    error.message,
                    "An unknown or misplaced key could hide a slip, so none is ignored.",
                    f"Correct the key or its value. The allowed ones are in rules/schema/{kind}.schema.json.",
                )
            )
    return faults


_validators: dict[str, Any] = {}


def _validator(kind: str):
    if kind not in _validators:
        schema = json.loads((RULES / "schema" / f"{kind}.schema.json").read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        _validators[kind] = jsonschema.Draft202012Validator(schema)
    return _validators[kind]


def _plain(value: Any) -> Any:
    """TOML values as JSON Schema sees them: dates as text."""
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return as_text(value) if hasattr(value, "isoformat") else value


def wording(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Law says must, advice says should, and nothing is called safe."""
    about = {
        "text": " ".join(
            [folder.pack["title"], *folder.pack["words"].values(), *(s["title"] for s in content["stages"])]
        )
    }
    for item in (Item("pack", folder.pack["id"], about, folder.path / "pack.toml"), *folder.items.values()):
        where = f"{place(item.path, rules)} ({item.id})"
        for key, text in _sentences(item):
            if word := _FORBIDDEN.search(text):
                yield Fault(
                    where,
                    f"{key} uses a forbidden word ({word[0]})",
                    "A verdict on paper cannot promise that.",
                    "Say what was checked instead.",
                )
            if item.kind == "rule" and item.data["weight"] == "advice" and re.search(r"\bmust\b", text):
                yield Fault(
                    where,
                    f"{key} says “must” in a rule of weight advice",
                    "Advice does not bind anybody.",
                    "Write “should”, or give the rule another weight.",
                )
            if item.kind == "rule" and item.data["weight"] == "law" and re.search(r"\bshould\b", text):
                yield Fault(
                    where,
                    f"{key} says “should” in a rule of weight law",
                    "Law leaves no choice, but “should” sounds as if it did.",
                    "Write “must” or “may only”, or give the rule another weight.",
                )


_TOLD = (
    "title",
    "text",
    "otherwise",
    "help",
    "why",
    "find_out",
    "fix",
    "default_why",
    "note",
    "what",
    "who",
    "noticed",
)


def _sentences(item: Item) -> Iterator[tuple[str, str]]:
    for key in _TOLD:
        # The title of a source is not ours to choose.
        if isinstance(item.data.get(key), str) and (item.kind, key) != ("source", "title"):
            yield key, item.data[key]
    for entry in (item.data.get("override", {}), *item.data.get("absent", ())):
        yield "why", entry.get("why", "")
    for cell in item.data.get("cells", ()):
        yield f"the note of line {cell['line']}", cell["note"]
    for key, text in item.data.get("say", {}).items():
        yield f"say.{key}", text
    for choice in item.data.get("choices", ()):
        yield f"choice {choice['value']}", f"{choice['label']} {choice.get('help', '')}"


def run_of_questions(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Every place in the run taken once, stages in their order."""
    stages = [stage["id"] for stage in content["stages"]]
    taken: dict[int, str] = {}
    last = -1
    for question in content["questions"]:
        where = place(folder.items["question", question["id"]].path, rules)
        if question["order"] in taken:
            yield Fault(
                where,
                f"has the same order as {taken[question['order']]}",
                "The order of the questions would depend on chance.",
                "Give it an unused number.",
            )
        taken[question["order"]] = question["id"]
        if stages.index(question["stage"]) < last:
            yield Fault(
                where,
                f"comes after a question of a later stage than {question['stage']}",
                "Questions must follow the stages: danger and law before sizes.",
                "Change its order.",
            )
        last = max(last, stages.index(question["stage"]))


def bounds(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Every question can be answered, its own default included."""
    for question in content["questions"]:
        choices = [choice["value"] for choice in question["choices"]]
        if question["kind"] == "number":
            low, high = Decimal(question["minimum"]), Decimal(question["maximum"])
            wrong = [] if low < high else ["its minimum is not below its maximum"]
            if "default" in question and not low <= Decimal(question["default"]) <= high:
                wrong.append("its default lies outside its bounds")
        else:
            wrong = [] if len(set(choices)) == len(choices) else ["a choice is given twice"]
            if "default" in question and question["default"] not in choices:
                wrong.append("its default is not one of its choices")
            areas = [Decimal(choice["mm2"]) for choice in question["choices"] if "mm2" in choice]
            if areas and (len(areas) < len(choices) or areas != sorted(set(areas))):
                wrong.append("its sizes do not all give their mm2, thinnest first")
        for what in wrong:
            yield Fault(
                place(folder.items["question", question["id"]].path, rules),
                what,
                "Nobody could answer it properly.",
                "Correct the bounds, the choices or the default.",
            )

"""From `rules/` to compiled packs: resolved, typed, canonical JSON that the core loads in CPython and in Pyodide."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from ..core.messages import HOLE
from ..core.pack import FORMAT
from ..core.plan.kind import PlanSituation
from ..core.quantities import QUANTITIES, Quantity
from ..core.values import plain
from . import expressions, reads, share, units
from .expressions import Choice, ExpressionFault, Names, Number, Truth
from .faults import Fault, RuleFaults, place
from .reach import add_reach
from .resolve import region_folders, resolved, resolved_plan
from .rulefiles import RULES, Folder, Item, as_text, canonical, once, read_folder, read_once
from .vocabulary import localised

PACKS = Path(__file__).resolve().parents[1] / "packs"
_NOT_STATED = "not-stated"


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
    return f'{{"about":{canonical(content["pack"])},"content":{text},"sha256":"{hashlib.sha256(text.encode()).hexdigest()}"}}'


def compile_pack(path: Path, rules: Path = RULES, reach: bool = True) -> dict[str, Any]:
    """One pack's content. Raises `RuleFaults` naming every item that is wrong.

    Without `reach` what bounds the questions still to come is left out: it costs most of the time, and no fault shows in it.
    """
    if not reach:
        return once(("pack", path, rules), lambda: _content(path, rules))
    content = _content(path, rules)
    add_reach(content)
    return content


def _content(path: Path, rules: Path) -> dict[str, Any]:
    folder, origin = resolved(path, rules)
    folder = localised(folder, origin)
    content = Compiler(folder, origin, rules).content()
    content["plan"] = _plan(path, folder, origin, rules)
    return content


def _plan(path: Path, folder: Folder, origin: dict, rules: Path) -> dict[str, Any]:
    """The schedule's part of a pack: its questions, rules and texts, which may name all that the check knows too."""
    own, own_origin = resolved_plan(path, rules)
    shared = {key: item for key, item in folder.items.items() if key[0] not in ("rule", "text")}
    own = localised(own._replace(pack={**folder.pack, "stages": folder.pack["plan_stages"]}), own_origin)
    view = own._replace(path=path, items={**shared, **own.items})
    return Compiler(view, {**origin, **own_origin}, rules, PlanSituation.quantities, own.items).plan()


class Compiler:
    """`only`, when given, holds the items whose stage counts and whose questions are kept: those of a schedule."""

    def __init__(
        self,
        folder: Folder,
        origin: dict,
        rules: Path,
        quantities: Mapping[str, Quantity] = QUANTITIES,
        only: Mapping[tuple[str, str], Item] | None = None,
    ) -> None:
        self.quantities, self.only = quantities, only
        self.folder, self.origin, self.rules = folder, origin, rules
        self.faults: list[Fault] = []
        self.pack = folder.pack
        self.by_kind: dict[str, list[Item]] = {}
        for (kind, _), item in sorted(folder.items.items()):
            self.by_kind.setdefault(kind, []).append(item)
        self.stages = {stage["id"]: number for number, stage in enumerate(self.pack["stages"])}
        self.sources = {item.id for item in self._items("source")}
        self.types: dict[str, Any] = {}
        self.units: dict[str, str] = {}
        self.in_order = [i.id for i in sorted(self._items("question"), key=lambda i: i.data["order"])]
        # Tables are looked up by the names of their axes, so a table that is mentioned reads them.
        self.axes = {i.id: [axis["name"] for axis in i.data["axes"]] for i in self._items("table")}
        self._declare()
        self.names = Names(
            self.types, frozenset(i.id for i in self._items("question") if i.data.get("unanswered") == _NOT_STATED)
        )

    def _items(self, kind: str) -> list[Item]:
        return self.by_kind.get(kind, [])

    def _own(self, kind: str) -> list[Item]:
        return [item for item in self._items(kind) if self.only is None or (kind, item.id) in self.only]

    def _declare(self) -> None:
        """Types and units of every name an expression may use."""
        for item in self._items("question"):
            data = item.data
            if data["kind"] == "number":
                self._number(item, item.id, data["unit"])
            else:
                self.types[item.id] = (
                    Truth() if data["kind"] == "yes-no" else Choice(tuple(c["value"] for c in data["choices"]))
                )
        for item in self._items("parameter"):
            self._number(item, item.id, item.data["unit"])
        for name, quantity in self.quantities.items():
            if name in self.types:
                self._fault(
                    self.folder.items.get(("question", name)) or self._items("parameter")[0],
                    f"{name!r} is the name of a quantity",
                    "One name, one meaning.",
                    "Choose another id.",
                )
            if quantity.unit:
                self.types[name], self.units[name] = Number(units.parse(quantity.unit)), quantity.unit
            elif quantity.choices:
                self.types[name] = Choice(quantity.choices)

    def _number(self, item: Item, name: str, unit: str) -> None:
        try:
            self.types[name] = Number(units.parse(unit))
            self.units[name] = unit
        except KeyError:
            self._fault(
                item,
                f"the unit {unit!r} is not known",
                "Units are checked in every comparison.",
                f"Use one of: {', '.join(units.KNOWN)}.",
            )

    def content(self) -> dict[str, Any]:
        pack = self.pack
        made = {
            "format": FORMAT,
            "pack": {
                **{key: pack[key] for key in ("id", "title", "region", "edition", "version", "language")},
                "valid_from": as_text(pack["valid_from"]),
                "valid_until": as_text(pack["valid_until"]) if "valid_until" in pack else None,
                "extends": pack.get("extends"),
                "preview": pack.get("preview_why"),
            },
            "words": pack["words"],
            "removed": self._removed(),
            "unread": self._unread(),
            "phrases": {item.id: item.data["text"] for item in self._items("phrase")},
            "sources": [self._with_origin(item, item.data) for item in self._items("source")],
            "parameters": [
                self._with_origin(
                    item, self._standing(item, {**item.data, "value": self._digits(item, item.data["value"])})
                )
                for item in self._items("parameter")
            ],
            "tables": [self._table(item) for item in self._items("table")],
            **self._asked_and_judged(),
        }
        dates = [cell["stale_after"] for table in made["tables"] for cell in table["cells"]]
        dates += [entry["stale_after"] for kind in ("parameters", "rules") for entry in made[kind]]
        made["pack"]["review_by"] = min(dates, default="9999-12-31")
        made["pack"]["preview"] = made["pack"]["preview"] or share.thin(made)
        self._without_faults()
        return made

    def plan(self) -> dict[str, Any]:
        """What a schedule has of its own; the rest is the pack's."""
        made = self._asked_and_judged()
        self._without_faults()
        return made

    def _asked_and_judged(self) -> dict[str, Any]:
        return {
            "stages": self.pack["stages"],
            "units": self.units,
            "questions": sorted((self._question(item) for item in self._own("question")), key=lambda q: q["order"]),
            "rules": sorted(
                (self._rule(item) for item in self._items("rule")),
                key=lambda r: (self.stages.get(r["stage"], 99), r["id"]),
            ),
            "texts": self._texts(),
        }

    def _without_faults(self) -> None:
        if self.faults:
            raise RuleFaults(self.faults)

    def _removed(self) -> list[str]:
        """Questions, parameters and tables of base that this pack goes without: the core takes them for not known."""
        if "extends" not in self.pack:
            return []
        gone = set(read_folder(self.rules / "base").items) - set(self.folder.items)
        return sorted(item_id for kind, item_id in gone if kind in ("question", "parameter", "table"))

    def _unread(self) -> dict[str, str]:
        """Questions of the common vocabulary that this pack does not ask, and why: an answer to one is no slip of the pen."""
        named = {entry["id"]: entry["why"] for entry in self.pack.get("unread", [])}
        removed = {r["id"]: r["why"] for r in self.pack.get("removes", []) if r["kind"] == "question"}
        asked = {item.id for item in self._items("question")}
        return {name: why for name, why in sorted((named | removed).items()) if name not in asked}

    def _with_origin(self, item: Item, data: dict) -> dict:
        return {**data, "origin": self.origin[item.kind, item.id]}

    def _question(self, item: Item) -> dict:
        data = {"unanswered": "unknown", "choices": [], **item.data}
        if data["kind"] == "number":
            data.setdefault("step", "0.01")
        for key in ("minimum", "maximum", "default", "step"):
            if key in data and data["kind"] == "number":
                data[key] = self._digits(item, data[key])
        if "change" in data:
            data["change"] = self._change(item, data)
        self._in_a_stage(item, "The run of questions follows the stages.")
        data["choices"] = [
            {"help": "", **choice, **({"mm2": self._digits(item, choice["mm2"])} if "mm2" in choice else {})}
            for choice in data["choices"]
        ]
        return self._with_origin(item, data)

    def _change(self, item: Item, question: dict) -> dict:
        """What counsel may propose for a question: every text in it and everything it names has to exist."""
        change = dict(question["change"])
        for hole in set(HOLE.findall(change["text"])) - {"value"}:
            self._template(item, "{" + hole + "}")
        if question["kind"] == "number" and "values" in change:
            change["values"] = [self._digits(item, value) for value in change["values"]]
        if "to" in change and question["kind"] == "choice":
            # A region may have other choices: it can only be told to take one of its own.
            known = [choice["value"] for choice in question["choices"]]
            change["to"] = [value for value in change["to"] if value in known]
        if "table" in change and ("table", change["table"]) not in self.folder.items:
            self._fault(
                item,
                f"change: there is no table {change['table']!r}",
                "Counsel would have nothing to propose.",
                "Name a table of the pack, or list `values`.",
            )
        number, choice = question["kind"] == "number", question["kind"] == "choice"
        if ("to" in change and number) or ("toward" in change and not number and not choice):
            self._fault(
                item,
                "change: a number moves `toward` somewhere; another answer is gone `to`, or a list walked `toward` an end",
                "Counsel would propose what cannot be answered.",
                "Use the keys that belong to the kind of question.",
            )
        return change

    def _in_a_stage(self, item: Item, why: str) -> None:
        stage = item.data["stage"]
        if stage not in self.stages:
            self._fault(item, f"there is no stage {stage!r}", why, f"Use one of: {', '.join(self.stages)}.")

    def _has_source(self, item: Item, source: str, why: str, where: str = "") -> None:
        if source not in self.sources:
            what = f"{where}the source {source!r} is not in sources.toml"
            self._fault(item, what, why, "Add the source, or mend the id.")

    def _standing(self, item: Item, data: dict, where: str = "") -> dict:
        """`data` with source, clause, status, dates and note completed; its source must exist."""
        self._has_source(item, data["source"], "Every figure has to be traced.", where)
        try:
            checked = data["checked"] if isinstance(data["checked"], date) else date.fromisoformat(data["checked"])
        except ValueError:
            self._fault(
                item,
                f"{where}{data['checked']!r} is not a date",
                "A figure grows stale with its date.",
                'Write the day it was checked as "2026-11-25".',
            )
            checked = date.min
        stale = checked + timedelta(days=int(self.pack["review_days"]))
        return {"note": "", "clause": "", **data, "checked": checked.isoformat(), "stale_after": stale.isoformat()}

    def _table(self, item: Item) -> dict:
        data = item.data
        axes = [
            {"between": "none", "below": "absent", "above": "absent", "unit": "", "trend": "", **axis}
            for axis in data["axes"]
        ]
        sheet = item.path.with_suffix(".csv").name
        cells = []
        for cell in data["cells"]:
            where = f"{sheet}:{cell['line']}: "
            keys = [
                self._digits(item, key, where) if axis["kind"] == "number" else key
                for key, axis in zip(cell["keys"], axes, strict=True)
            ]
            value = self._digits(item, cell["value"], where) if data["value"] == "number" else cell["value"]
            made = self._standing(item, {**cell, "keys": keys, "value": value}, where)
            cells.append(
                {
                    key: made[key]
                    for key in ("keys", "value", "source", "clause", "status", "checked", "stale_after", "note")
                }
            )
        kept = {"note": "", "absent": [], **{k: v for k, v in data.items() if k != "cells"}}
        return self._with_origin(item, {**kept, "axes": axes, "cells": cells})

    def _rule(self, item: Item) -> dict:
        data = self._standing(item, item.data)
        applies, requires = (self._expression(item, key, data[key]) for key in ("applies", "requires"))
        self._in_a_stage(item, "The stage decides what a failure leads to.")
        for text in (data["title"], data["fix"], *data["say"].values()):
            self._template(item, text)
        read = reads.closure(reads.tree_names(applies) | reads.tree_names(requires), self.axes)
        questions = [name for name in self.in_order if name in read]
        return self._with_origin(
            item,
            {
                **data,
                "applies": applies,
                "requires": requires,
                "applies_text": item.data["applies"],
                "requires_text": item.data["requires"],
                "comparisons": expressions.comparisons(requires, self._unit_of),
                "reads": questions,
            },
        )

    def _unit_of(self, tree: list) -> str | None:
        return self.units.get(tree[1]) if tree[0] == "name" else None

    def _expression(self, item: Item, key: str, text: str) -> list:
        try:
            return expressions.parse_truth(text, self.names)
        except ExpressionFault as bad:
            self._fault(item, f"{key}: {bad}", "A rule that cannot be read would never fire.", "Mend the expression.")
            return ["truth", False]

    def _template(self, item: Item, text: str) -> None:
        for hole in HOLE.findall(text):
            if hole not in self.types and hole not in self.quantities and hole not in self.pack["words"]:
                self._fault(
                    item,
                    f"the text names {{{hole}}}, which does not exist",
                    "A reader would see a hole.",
                    "Use a question, parameter, quantity or word of the pack.",
                )

    def _otherwise(self, item: Item) -> None:
        """What a text says while a value is not known: it must have its moment, and no value that may be missing too."""
        otherwise = item.data.get("otherwise")
        if otherwise is None:
            return
        self._template(item, otherwise)
        always = {*self.pack["words"], *(parameter.id for parameter in self._items("parameter"))}
        if set(HOLE.findall(item.data["text"])) <= always:
            self._fault(
                item,
                "has an `otherwise`, but its text names no value that can be unknown",
                "It would never be shown.",
                "Drop `otherwise`, or name the value in the text.",
            )
        for hole in sorted(set(HOLE.findall(otherwise)) - always):
            self._fault(
                item,
                f"`otherwise` names {{{hole}}}, which may not be known either",
                "A reader would see a hole in place of a hole.",
                "Name parameters and words of the pack only.",
            )

    def _texts(self) -> dict[str, list[dict]]:
        sections: dict[str, list[dict]] = {}
        # The order of a section is that of its file: base first, then what the region adds.
        for (kind, key), item in self.folder.items.items():
            if kind != "text":
                continue
            section, _, text_id = key.partition("/")
            self._template(item, item.data["text"])
            self._otherwise(item)
            self._has_source(item, item.data["source"], "Every sentence has to be traced.")
            when = item.data.get("when", "True")
            sections.setdefault(section.replace("-", "_"), []).append(
                self._with_origin(
                    item,
                    {
                        "clause": "",
                        "otherwise": "",
                        **item.data,
                        "id": text_id,
                        "when": self._expression(item, "when", when),
                        "when_text": when,
                    },
                )
            )
        return {section: self._in_order(section, entries) for section, entries in sections.items()}

    def _in_order(self, section: str, entries: list[dict]) -> list[dict]:
        """The texts of a section, each that names another in `after` moved behind it."""
        ordered = [entry for entry in entries if "after" not in entry]
        waiting = [entry for entry in entries if "after" in entry]
        while waiting:
            places = {entry["id"]: number for number, entry in enumerate(ordered)}
            found = next((entry for entry in waiting if entry["after"] in places), None)
            if found is None:
                for entry in waiting:
                    self._fault(
                        self.folder.items["text", f"{section.replace('_', '-')}/{entry['id']}"],
                        f"stands after {entry['after']!r}, which this section does not have",
                        "Its place in the order of the work would be lost.",
                        "Name another text of the same section.",
                    )
                return ordered + waiting
            waiting.remove(found)
            ordered.insert(places[found["after"]] + 1, found)
        return ordered

    def _digits(self, item: Item, value: Any, where: str = "") -> str:
        """A number as plain digits: 20.0 and 20 are one key."""
        try:
            number = Decimal(str(value))
        except InvalidOperation:
            number = Decimal("NaN")
        if not number.is_finite():
            self._fault(
                item, f"{where}{value} is not a number", "Nothing can be compared with it.", "Write its digits."
            )
            return "0"
        return plain(number)

    def _fault(self, item: Item, what: str, why: str, fix: str) -> None:
        self.faults.append(Fault(f"{place(item.path, self.rules)} ({item.id})", what, why, fix))


def load_content(text: str) -> dict[str, Any]:
    """The content of a compiled pack's file, its hash checked."""
    held = json.loads(text)
    if hashlib.sha256(canonical(held["content"]).encode()).hexdigest() != held["sha256"]:
        raise ValueError("the pack's hash does not match its content")
    return held["content"]

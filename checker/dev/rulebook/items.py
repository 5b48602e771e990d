"""One item of a rule set as the core loads it: question, parameter, table, rule. Texts are in `compile_texts`."""

from __future__ import annotations

from decimal import Decimal
from fnmatch import fnmatchcase
from typing import Any

from checker.core.messages import holes
from checker.dev.rulebook import expressions, reads
from checker.dev.rulebook.checks import Checks
from checker.dev.rulebook.looks import look_of
from checker.dev.rulebook.rulefiles import CELL_COLUMNS, Item
from checker.dev.rulebook.vocabulary import sentences_of


def question(checks: Checks, item: Item) -> dict[str, Any]:
    data = {"unanswered": "unknown", "choices": [], **item.data}
    if data["kind"] == "number":
        data.setdefault("step", "0.01")
        for key in ("minimum", "maximum", "default", "step"):
            if key in data:
                data[key] = checks.digits(item, data[key])
    # A region may say what is usual there of a question that it takes over from base.
    data["usual"] = checks.folder.pack.get("usual", {}).get(item.id, data.get("usual"))
    data["look"] = look_of(checks.folder, item.id)
    if data["usual"]:
        data["usual"] = _usual(checks, item, data)
    if "change" in data:
        data["change"] = _change(checks, item, data)
    checks.in_a_stage(item, "The questions come in the order of the stages.")
    for text in sentences_of(data):
        # Only words of the pack, which are put in when it is compiled: a question is asked before there is a case.
        for hole in holes(text):
            checks.fault(
                item,
                f"the question names {{{hole}}}, which is no word of the pack",
                "Readers would see a gap.",
                "Use a word from [words] in pack.toml, or write it out.",
            )
    data["choices"] = [
        {"help": "", **choice, **({"mm2": checks.digits(item, choice["mm2"])} if "mm2" in choice else {})}
        for choice in data["choices"]
    ]
    return checks.with_origin(item, data)


# What decides the case itself, or is a matter of danger or of law: nobody may suppose it. A pattern ends in `*`.
NEVER_USUAL = (
    *("isolation", "lock_off", "tester", "tester_proved", "other_supply", "board_condition", "earth_present"),
    *("conductor_metal", "life_safety_load", "worker", "premises", "place", "load_kind"),
    *("load_power_w", "load_current_a"),
    *("motor_output_*", "lamp_count", "lamp_power_w", "device_kind", "device_resistive_a", "device_inductive_a"),
    *("device_motor_*", "device_*_w", "contactor_resistive_a", "contactor_motor_*", "breaker_rating_a", "cable_size"),
    "measured_loop_ohm",
)


def _usual(checks: Checks, item: Item, asked: dict[str, Any]) -> dict[str, Any]:
    """The usual answer of a question: one that it takes, and never where nothing may be supposed."""
    usual, name = dict(asked["usual"]), asked["id"]
    reserved = checks.part_of(asked["stage"]) in ("danger", "who")
    if reserved or any(fnmatchcase(name, pattern) for pattern in NEVER_USUAL):
        checks.fault(
            item,
            "has a usual answer, but nobody may suppose this",
            "It is a matter of danger or law, or it decides the case.",
            "Take [usual] out.",
        )
    if "same_as" in usual:
        takes = usual["same_as"] in checks.asked
    elif asked["kind"] == "number" and usual["value"] != "not-stated":
        usual["value"] = checks.digits(item, usual["value"])
        takes = Decimal(asked["minimum"]) <= Decimal(usual["value"]) <= Decimal(asked["maximum"])
    elif asked["kind"] == "choice":
        takes = usual["value"] in [choice["value"] for choice in asked["choices"]]
    else:
        takes = isinstance(usual["value"], bool)
    if not takes and not (usual.get("value") == "not-stated" == asked["unanswered"]):
        checks.fault(
            item,
            f"the usual answer {usual.get('value', usual.get('same_as'))!r} is none that the question takes",
            "The short run could not suppose it.",
            "Use one of its choices, a number within its bounds, not-stated, or same_as with another question.",
        )
    checks.has_source(item, usual["source"], "A reader should be able to look it up.", "usual: ")
    return usual


def _change(checks: Checks, item: Item, asked: dict[str, Any]) -> dict[str, Any]:
    """What counsel may propose for a question: every text in it and everything it names has to exist."""
    change, kind = dict(asked["change"]), asked["kind"]
    checks.template(item, change["text"], filled={"value": kind == "number"})
    if kind == "number" and "values" in change:
        change["values"] = [checks.digits(item, value) for value in change["values"]]
    if kind == "choice" and "to" in change:
        # A region may have other choices: it can only be told to take one of its own.
        known = [choice["value"] for choice in asked["choices"]]
        change["to"] = [value for value in change["to"] if value in known]
    if "table" in change and ("table", change["table"]) not in checks.folder.items:
        checks.fault(
            item,
            f"change: there is no table {change['table']!r}",
            "The report would have no value to suggest.",
            "Name a table of the pack, or list `values`.",
        )
    if (kind == "number" and "to" in change) or (kind == "yes-no" and "toward" in change):
        checks.fault(
            item,
            "change: a number takes `toward`; yes or no takes `to`; a choice takes `to`, or `toward` one end of its list",
            "The report would suggest an answer that nobody can give.",
            "Use the keys for this kind of question.",
        )
    return change


def parameter(checks: Checks, item: Item) -> dict[str, Any]:
    figure = checks.digits(item, item.data["value"])
    return checks.with_origin(item, checks.standing(item, {**item.data, "value": figure}))


def table(checks: Checks, item: Item) -> dict[str, Any]:
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
            checks.digits(item, key, where) if axis["kind"] == "number" else key
            for key, axis in zip(cell["keys"], axes, strict=True)
        ]
        value = checks.digits(item, cell["value"], where) if data["value"] == "number" else cell["value"]
        made = checks.standing(item, {**cell, "keys": keys, "value": value}, where)
        cells.append({key: made[key] for key in ("keys", *CELL_COLUMNS, "stale_after", "most") if key in made})
    return checks.with_origin(item, {"note": "", "absent": [], **data, "axes": axes, "cells": cells})


def rule(checks: Checks, item: Item) -> dict[str, Any]:
    data = checks.standing(item, item.data)
    trees = {key: checks.expression(item, key, data[key]) for key in ("applies", "requires")}
    checks.in_a_stage(item, "The stage decides what a failure leads to.")
    checks.decides_if_law(item)
    for text in (data["title"], data["fix"], *data["say"].values()):
        checks.template(item, text)
    read = reads.closure(reads.rule_names(trees), checks.axes)
    return checks.with_origin(
        item,
        {
            **data,
            **trees,
            "applies_text": data["applies"],
            "requires_text": data["requires"],
            "comparisons": expressions.comparisons(
                trees["requires"], lambda side: checks.units.get(side[1]) if side[0] == "name" else None
            ),
            "reads": [name for name in checks.asked if name in read],
        },
    )

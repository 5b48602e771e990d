"""`spareway compare`: one answers file under several rule packs, what differs first."""

from __future__ import annotations

import sys

from checker.cli import files
from checker.cli.client import Client, exit_code
from checker.terminal import output
from checker.terminal.blocks import Document, Item, Listing, Paragraph, Section, Table
from checker.terminal.problem import Problem
from checker.terminal.report import MARKS, WORDS
from checker.terminal.units import named, value_of, with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace
    from typing import Any

_WHO = {"stop": "nobody", "licensed-only": "licensed person", "supervised": "supervised", "permitted": "permitted"}
_OUTCOMES = {"not-applicable": "-", **MARKS}
_SIGNS = {"<": "<", "<=": "≤", ">": ">", ">=": "≥", "==": "=", "!=": "≠"}


def run(options: Namespace) -> int:
    """Compare the packs that the options name; the exit code is that of the worst verdict among them."""
    file = files.read(options.file)
    inputs = file.inputs()
    inputs.as_of = options.as_of or inputs.as_of or files.today()
    inputs.confirmed += options.confirm
    packs = [name.strip() for name in options.packs.split(",") if name.strip()]
    try:
        reply, text = Client().compare(inputs, packs)
    except Problem as problem:
        on_line = {"packs": "--packs", "as_of": "--as-of" if options.as_of else ""}.get(problem.where, "")
        problem.where = f"{on_line} on the command line" if on_line else file.place(problem.where)
        raise
    code = max((exit_code(one) for one in reply["packs"]), key=(0, 2, 1).index)
    if options.json:
        output.write_json(text)
        return code
    output.write(_shown(reply, options.markdown))
    return code


def _shown(reply: dict[str, Any], markdown: bool) -> str:
    from checker.terminal.display import display_of

    if markdown:
        from checker.terminal.markdown import render
    else:
        from checker.terminal.text import render
    return render(document(reply), display_of(sys.stdout))


def document(reply: dict[str, Any]) -> Document:
    """The document of a `compare` reply, headed by the worst of its verdicts."""
    heads = reply["packs"]
    names = _names(heads)
    worst = min(heads, key=lambda one: list(WORDS).index(one["headline"]))
    same = len({one["headline"] for one in heads}) == 1
    text = (
        "Every rule set gives the same verdict."
        if same
        else f"The verdicts differ. The worst: {worst['headline_text']}"
    )
    sections = [
        Section("", [Table(["", *names], _verdicts(heads))]),
        *_findings(reply["findings"], names),
        Section("Results that differ", _quantities(reply["quantities"], names)),
        Section("Answers left out", _left_out(heads, names)),
        Section("Editions and versions", [Listing([Item(_version(one), _notice(one)) for one in heads])]),
    ]
    return Document(worst["headline"], WORDS[worst["headline"]], text, [], [s for s in sections if s.blocks])


def _names(heads: list[dict[str, Any]]) -> list[str]:
    """Pack ids, with the edition where one pack comes twice."""
    ids = [one["pack"]["id"] for one in heads]
    return [f"{i}@{one['pack']['edition']}" if ids.count(i) > 1 else i for i, one in zip(ids, heads, strict=True)]


def _verdicts(heads: list[dict[str, Any]]) -> list[list[str]]:
    return [
        ["verdict", *(WORDS[one["headline"]].lower() for one in heads)],
        ["who may", *(_WHO[one["who"]["outcome"]] for one in heads)],
        ["sizing", *(one["sizing"]["outcome"].replace("-", " ") for one in heads)],
    ]


def _findings(rows: list[dict[str, Any]], names: list[str]) -> list[Section]:
    outcome = [Item(row["title"], _entries(row, names)) for row in rows if row["differs"] == "outcome"]
    figures = [Item(row["title"], _entries(row, names)) for row in rows if row["differs"] == "figures"]
    same = sum(row["differs"] == "same" for row in rows)
    rules = "1 rule gives" if same == 1 else f"{same} rules give"
    rest = [Paragraph(f"{rules} the same result everywhere.")] if same else []
    return [
        Section("Different results", [Listing(outcome)] if outcome else []),
        Section("Same result, different figures", [Listing(figures)] if figures else []),
        Section("", rest),
    ]


def _entries(row: dict[str, Any], names: list[str]) -> list[str]:
    lines = []
    for name, entry in zip(names, row["by_pack"], strict=True):
        if entry is None:
            lines.append(f"{name}: no such rule")
            continue
        source = entry["sources"][0] if entry["sources"] else None
        place = f" [{source['title']}{', ' + source['clause'] if source['clause'] else ''}]" if source else ""
        applies = entry["outcome"] != "not-applicable"
        figures = f" {_figures(entry)}." if applies and entry["left"] else ""
        lines.append(f"{name}: {_OUTCOMES[entry['outcome']]}{figures} {entry['message']}{place if applies else ''}")
    return lines


def _figures(entry: dict[str, Any]) -> str:
    left, right = (with_unit(entry[side]["value"], entry[side]["unit"]) for side in ("left", "right"))
    return f"{left} must be {_SIGNS[entry['relation']]} {right}"


def _quantities(rows: list[dict[str, Any]], names: list[str]) -> list[Table]:
    table = [
        [named(row["quantity"]), *(with_unit(e["value"], e["unit"]) if e else "-" for e in row["by_pack"])]
        for row in rows
        if row["differs"] != "same"
    ]
    return [Table(["", *names], table)] if table else []


def _left_out(heads: list[dict[str, Any]], names: list[str]) -> list[Listing]:
    items = [
        Item(f"{name}: {entry['label']} = {value_of(entry['question'], entry['value'])}", [f"{entry['why']}."])
        for name, one in zip(names, heads, strict=True)
        for entry in one["left_out"]
    ]
    return [Listing(items)] if items else []


def _version(one: dict[str, Any]) -> str:
    pack = one["pack"]
    return f"{pack['id']}, {pack['title']}, edition {pack['edition']}, version {pack['version']}"


def _notice(one: dict[str, Any]) -> list[str]:
    preview = one["pack"]["preview"]
    return [*([f"Preview: {preview}"] if preview else []), *([one["pack"]["notice"]] if one["pack"]["notice"] else [])]

"""Pages about the form of rule files: the rule language from the table its tests run, the files from their schemas."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any

from checker.dev.rulebook import expressions
from checker.dev.rulebook.rulefiles import RULES
from checker.dev.site.markdown import table

TABLE = Path(expressions.__file__).with_suffix(".toml")
_FILES = {
    "pack": "`pack.toml`",
    "edition": "`editions/<edition>/pack.toml`",
    "question": "`questions/*.toml`",
    "rule": "`rules/*.toml`",
    "parameter": "`parameters/*.toml`",
    "table": "`tables/*.toml`, with its cells in the `.csv` beside it",
    "picture": "`pictures/*.toml`",
    "hazard": "`hazards/*.toml`",
    "starts": "`starts.toml`",
    "texts": "`texts/*.toml`",
    "text": "an item of `texts/*.toml`",
    "phrases": "`phrases.toml`",
    "sources": "`sources.toml`",
    "source": "a source of `sources.toml`",
}
_REASONS = {"not-asked": "not asked", "dont-know": "not known", "not-stated": "the label does not say"}


def pages() -> Iterable[tuple[str, str]]:
    """The pages, as (path below the reference folder, Markdown)."""
    yield "language.md", language(tomllib.loads(TABLE.read_text("utf-8"), parse_float=Decimal))
    schemas = {path.name.split(".")[0]: json.loads(path.read_text("utf-8")) for path in RULES.glob("schema/*.json")}
    rows = [[f"[{schemas[name]['title']}]({name}.md)", _FILES[name], schemas[name]["description"]] for name in _FILES]
    yield (
        "schema/index.md",
        "# Rule files\n\nWhat each file may hold. These pages come from the schemas that `make lint` checks the files "
        "against. Expressions use the [rule language](../language.md).\n\n"
        + table(["Form", "File", "What it is"], rows),
    )
    for name, schema in schemas.items():
        yield f"schema/{name}.md", schema_page(name, schema)


def language(data: dict[str, Any]) -> str:
    """The page of the rule language."""
    parts = [
        "# The rule language\n\n`applies`, `requires` and `when` are expressions. They use a small part of Python's syntax. "
        "The build reads them when it compiles the rules. Tests run every row below, on the computer and in the "
        "browser.\n\n"
        "- A name is a question, a figure or a quantity. A figure needs a name and a source; you can write only 0 and 1 as numbers.\n"
        "- Units are checked: you compare amperes with amperes, and volts divided by ohms are amperes.\n"
        "- A missing fact is *unknown*, with the reason. It never counts as false or as zero.\n"
        f"- An expression has at most {expressions.MOST_CHARACTERS} characters. Split a longer one into two rules.\n",
        "## Names in the examples\n",
        table(["Name", "Holds"], [[f"`{name}`", _kind(about)] for name, about in data["names"].items()]),
    ]
    for group in data["group"]:
        refused = all("refused" in row for row in group["rows"])
        head = ["Expression", "What the build says"] if refused else ["Expression", "With", "Gives"]
        rows = [
            [_code(row["is"]), "… ".join(row["refused"])]
            if refused
            else [
                _code(row["is"]),
                ", ".join(f"{n} = {_given(v)}" for n, v in row.get("with", {}).items()),
                _gives(row),
            ]
            for row in group["rows"]
        ]
        parts += [f"## {group['title']}\n", table(head, rows)]
    return "\n".join(parts)


def _code(text: str) -> str:
    return f"`{text}`" if text.strip() else "(nothing)"


def _kind(about: dict[str, Any]) -> str:
    if about["kind"] == "choice":
        held = "one of " + ", ".join(f"`{choice}`" for choice in about["choices"])
    else:
        held = "yes or no" if about["kind"] == "yes-no" else f"a number in {about['unit']}".removesuffix(" in 1")
    return (
        held
        + ("; a label may leave it out" if "unanswered" in about else "")
        + (f"; {about['default']} if not answered" if "default" in about else "")
    )


def _given(value: Any) -> str:
    if isinstance(value, dict):
        bound = f", at least {value['at_least']}" if "at_least" in value else ""
        return f"unknown ({_REASONS[value['unknown']]}{bound})"
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _gives(row: dict[str, Any]) -> str:
    if "unknown" in row:
        named = [reason.partition(" ") for reason in row["unknown"]]
        return "unknown: " + ", ".join(f"{name} ({_REASONS.get(why, why)})" for why, _, name in named)
    return f"refused at run: {'… '.join(row['fault'])}" if "fault" in row else f"**{_given(row['gives'])}**"


def schema_page(name: str, schema: dict[str, Any]) -> str:
    """The page of one schema: every field with its type, whether it is needed, and what it means."""
    return (
        f"# {schema['title']}\n\n{schema['description']} File: {_FILES[name]}. You can use only these fields. "
        "[All forms](index.md).\n\n" + table(["Field", "Type", "Required", "Meaning"], fields(schema))
    )


def fields(schema: dict[str, Any], above: str = "") -> Iterable[list[str]]:
    """A row for each field; the fields of a list are written `list[].field`."""
    for name, field in schema.get("properties", {}).items():
        if field is False:
            continue
        needed = "yes" if name in schema.get("required", ()) else "no"
        yield [f"`{above}{name}`", _type(field), needed, field["description"]]
        yield from fields(field, f"{above}{name}.")
        if isinstance(field.get("items"), dict):
            yield from fields(field["items"], f"{above}{name}[].")


def _type(field: dict[str, Any]) -> str:
    if "enum" in field:
        return "one of " + ", ".join(f"`{value or '(nothing)'}`" for value in field["enum"])
    if "const" in field:
        return f"`{json.dumps(field['const'])}`"
    kinds = field.get("type", "any")
    kind = " or ".join([kinds] if isinstance(kinds, str) else kinds).replace("array", "list").replace("object", "table")
    bounds = [f"from {field['minimum']}"] if "minimum" in field else []
    bounds += [f"to {field['maximum']}"] if "maximum" in field else []
    pattern = field.get("pattern", "")
    # That a sentence begins and ends with a letter needs no word.
    return " ".join([kind, *bounds]) + (f", in the form `{pattern}`" if pattern and "\\s\\S" not in pattern else "")

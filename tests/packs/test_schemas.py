"""The schemas of the rule files are valid 2020-12, closed at every level, and read what the reader reads."""

from __future__ import annotations

import json

import jsonschema
import pytest

from checker.dev.rulebook.rulefiles import FOLDERS, RULES

SCHEMAS = sorted((RULES / "schema").glob("*.schema.json"))
KINDS = {path.name.partition(".")[0] for path in SCHEMAS}


def load(kind: str) -> dict:
    return json.loads((RULES / "schema" / f"{kind}.schema.json").read_text("utf-8"))


def open_objects(schema: object, spot: str = "#") -> list[str]:
    """Where a schema describes an object but lets unknown keys pass."""
    found = []
    if isinstance(schema, dict):
        # `where` of a table names the table's own axes, and phrases are named freely: their values are described.
        free = spot.endswith("/where") or isinstance(schema.get("additionalProperties"), dict)
        partial = any(part in spot for part in ("/if", "/then", "/else", "/allOf"))
        if (
            schema.get("type") == "object"
            and schema.get("additionalProperties") is not False
            and not free
            and not partial
        ):
            found.append(spot)
        for key, inner in schema.items():
            found += open_objects(inner, f"{spot}/{key}")
    elif isinstance(schema, list):
        for at, inner in enumerate(schema):
            found += open_objects(inner, f"{spot}/{at}")
    return found


def test_there_is_one_for_every_kind_of_item():
    assert {*FOLDERS.values(), "pack", "phrases", "source", "text"} <= KINDS


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_it_is_valid_2020_12(kind):
    schema = load(kind)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_its_keys_are_closed_at_every_level(kind):
    assert open_objects(load(kind)) == []


def test_an_open_object_would_be_found():
    assert open_objects({"type": "object", "properties": {"a": {"type": "object"}}}) == ["#", "#/properties/a"]
    assert open_objects({"type": "object", "additionalProperties": False, "items": [{"type": "object"}]}) == [
        "#/items/0"
    ]


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_what_it_requires_it_describes(kind):
    schema = load(kind)
    assert set(schema.get("required", [])) <= set(schema["properties"])


def test_the_statuses_are_the_same_everywhere_and_in_the_order_of_the_contract():
    """Strongest first; the gate of the core knows two of them by name."""
    order = ["opened", "two-sources", "derived", "one-source", "cross-checked", "practice", "memory", "conflict"]
    held = []
    for kind in KINDS:
        text = json.dumps(load(kind))
        if '"memory"' in text:
            held.append(kind)
            assert json.dumps(order) in text, kind
    assert {"rule", "parameter", "table", "text"} <= set(held)


@pytest.mark.parametrize(
    ("kind", "file"),
    [
        ("rule", "rules/earth-present.toml"),
        ("question", "questions/tester.toml"),
        ("parameter", "parameters/strip_length_mm.toml"),
        ("table", "tables/grouping-factor.toml"),
    ],
)
def test_files_name_their_schema_for_editors(kind, file):
    first = (RULES / "base" / file).read_text("utf-8").splitlines()[0]
    assert first == f"#:schema ../../schema/{kind}.schema.json"

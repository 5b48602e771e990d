"""The pages about the rule language and the rule files hold all that the tests and the schemas hold."""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal

import pytest

from checker.dev.rulebook.rulefiles import RULES
from checker.dev.site import language

PAGES = dict(language.pages())
TABLE = tomllib.loads(language.TABLE.read_text("utf-8"), parse_float=Decimal)
SCHEMAS = sorted(path.name.split(".")[0] for path in RULES.glob("schema/*.json"))


def test_every_row_of_the_language_stands_on_its_page():
    lines = PAGES["language.md"].splitlines()
    starts = [line.split(" | ")[0].removeprefix("| ") for line in lines if line.startswith("| ")]
    for group in TABLE["group"]:
        assert f"## {group['title']}" in lines
        for row in group["rows"]:
            shown = f"`{row['is']}`".replace("|", "\\|") if row["is"].strip() else "(nothing)"
            assert starts.count(shown) >= 1, row["is"]


def test_what_a_row_gives_is_what_the_page_says():
    """Three rows by hand, one of each kind; the rest is written by the same code."""
    page = PAGES["language.md"]
    assert "| `load_a <= breaker_a` | load_a = 16.000000000001, breaker_a = 16 | **false** |" in page
    assert "| `load_a <= breaker_a` | load_a = 16 | unknown: breaker_a (not asked) |" in page
    assert "| `load_a <= size_mm2` | A against mm2 |" in page


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_field_of_a_schema_stands_on_its_page_with_a_meaning(name):
    def paths(schema: dict, above: str = ""):
        for key, field in schema.get("properties", {}).items():
            yield above + key, field
            yield from paths(field, f"{above}{key}.")
            yield from paths(field.get("items", {}), f"{above}{key}[].")

    schema = json.loads((RULES / "schema" / f"{name}.schema.json").read_text("utf-8"))
    page = PAGES[f"schema/{name}.md"]
    assert f"]({name}.md)" in PAGES["schema/index.md"]
    for path, field in paths(schema):
        assert len(field.get("description", "")) > 8, path
        (row,) = (line for line in page.splitlines() if line.startswith(f"| `{path}` |"))
        assert field["description"] in row

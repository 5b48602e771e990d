"""docs/format.md against the schema beside it, and the schema against what the checker really replies."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path

import jsonschema
import pytest

from checker.core.api import handle
from tests.runtimes import batch

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs/format.md").read_text("utf-8")
SCHEMA = json.loads((ROOT / "docs/format.schema.json").read_text("utf-8"))
DEFS = SCHEMA["$defs"]
KINDS = ("check", "check_short", "next", "sheet", "plan", "compare", "describe", "error")
OBJECTS = [name for name, schema in DEFS.items() if "properties" in schema or "oneOf" in schema]


REF = jsonschema.Draft202012Validator.VALIDATORS["$ref"]


def validator(name: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator({"$ref": f"#/$defs/{name}", "$defs": DEFS})


# Taken out of a case, so that something is left to suppose.
SUPPOSED = ("run_length_m", "breaker_capacity_ka", "device_contact")


def sampled() -> Iterator[str]:
    """Requests of every kind and every rule set: worked cases whole, cut short and by chance."""
    checks = (json.loads(text) for name, text in batch.scenarios().items() if name.endswith(": check"))
    for _, group in groupby(sorted(checks, key=_rule_set), key=_rule_set):
        cases = list(group)
        first, middle, last = cases[0], cases[len(cases) // 2], cases[-1]
        half = dict(list(first["answers"].items())[::2])
        for changed in (
            {},
            {"working": False},
            {"ask": "next", "answers": half},
            {"ask": "sheet"},
            {"suppose": True, "answers": {name: a for name, a in first["answers"].items() if name not in SUPPOSED}},
            {"suppose": True, "working": False},
            {"suppose": True, "ask": "next", "answers": half},
        ):
            yield json.dumps(first | changed)
        yield json.dumps(middle | {"counsel": False, "answers": half, "confirmed": []})
        yield json.dumps(last | {"ask": "next"})
        yield json.dumps(last | {"ask": "sheet"})
    # The international rule set knows no law of a place: it passes such an answer over and says so.
    for ask in ("check", "plan"):
        plan = {"zone": "UTC", "programme": [{"on": "06:00", "off": "07:00"}]} if ask == "plan" else None
        request = {"format": 1, "ask": ask, "pack": "iec", "as_of": "2026-11-25", "answers": {"place": "here"}}
        yield json.dumps(request | {"plan": plan})
    yield from list(batch.plans().values())[::4]
    yield from list(batch.compared().values())[:2]
    yield from list(batch.described().values())[::5]
    yield from list(batch.random_answers(each=2).values())
    yield from batch.bad_requests().values()


def _rule_set(request: dict) -> tuple[str, str]:
    return request["pack"], request.get("edition") or ""


@cache
def replies() -> list[tuple[str, str, dict]]:
    """Kind, request and reply of the sample."""
    told = []
    for text in dict.fromkeys(sampled()):
        reply = json.loads(handle(text))
        request = {} if "error" in reply else json.loads(text)
        kind = "error" if "error" in reply else "check_short" if request.get("working") is False else request["ask"]
        told.append((kind, text, reply))
    return told


@cache
def validated() -> tuple[dict[str, list[tuple[str, str, str]]], set[str]]:
    """What is wrong with the replies of each kind, and the parts of the schema that some reply fitted."""
    fitted: set[str] = set(KINDS)

    def noted(held, to, instance, schema):
        faults = list(REF(held, to, instance, schema))
        if not faults:
            fitted.add(to.rpartition("/")[2])
        return faults

    watching = jsonschema.validators.extend(jsonschema.Draft202012Validator, {"$ref": noted})
    wrong: dict[str, list[tuple[str, str, str]]] = {kind: [] for kind in KINDS}
    for kind, text, reply in replies():
        checked = watching({"$ref": f"#/$defs/{kind}", "$defs": DEFS})
        wrong[kind] += [(text[:200], fault.json_path, fault.message[:200]) for fault in checked.iter_errors(reply)]
    return wrong, fitted


# --- the schema and the checker ---


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("kind", KINDS)
def test_every_reply_is_as_the_schema_says(kind):
    assert sum(its_kind == kind for its_kind, _, _ in replies()) > 1, "the sample has too few replies of this kind"
    assert validated()[0][kind] == []


def test_every_part_of_the_schema_was_met_in_a_reply():
    assert set(DEFS) - validated()[1] == {"request"}


def test_every_request_that_was_answered_is_as_the_schema_says():
    checked = validator("request")
    wrong = [text[:300] for kind, text, _ in replies() if kind != "error" and not checked.is_valid(json.loads(text))]
    assert wrong == []


def test_the_door_takes_the_keys_of_a_request_that_the_schema_has_and_no_other():
    fix = json.loads(handle('{"format": 1, "ask": "check", "zz": 1}'))["error"]["fix"]
    assert set(re.findall(r"[a-z_]+", fix.partition(":")[2])) == set(DEFS["request"]["properties"])


@pytest.mark.parametrize("name", OBJECTS)
def test_every_object_is_closed(name):
    """So a new key in a reply fails the tests until it stands in the schema, and then until it stands on the page."""
    held = [schema for _, schema in objects(DEFS[name], name) if "properties" in schema]
    assert [schema for schema in held if schema.get("additionalProperties") is not False] == []


def test_a_reply_with_one_key_more_or_one_less_is_refused():
    kind, _, reply = next(row for row in replies() if row[0] == "check" and row[2]["flips"])
    checked = validator(kind)
    flip = reply["flips"][0]
    for wrong in (flip | {"zz": 1}, {key: flip[key] for key in flip if key != "unit"}, flip | {"now": 1.5}):
        assert not checked.is_valid(reply | {"flips": [wrong]}), wrong
    assert checked.is_valid(reply | {"flips": [flip]})


# --- the page and the schema ---


def objects(schema: dict, path: str) -> Iterator[tuple[str, dict]]:
    """Every object of a part of the schema that is written out there, with its path."""
    yield path, schema
    for name, held in schema.get("properties", {}).items():
        yield from objects(held, f"{path}.{name}")
    if isinstance(schema.get("items"), dict):
        yield from objects(schema["items"], f"{path}[]")
    for branch in (*schema.get("oneOf", ()), *schema.get("anyOf", ())):
        yield from objects(branch, path)


def keys(name: str) -> dict[str, bool]:
    """The keys of an object, those of objects written out in it by path, and whether each is always there."""
    found: dict[str, bool] = {}
    holders = set()
    for path, schema in objects(DEFS[name], ""):
        for key in schema.get("properties", {}):
            holders.add(path)
            found[f"{path}.{key}".lstrip(".")] = key in schema.get("required", ())
    return {key: always for key, always in found.items() if not {f".{key}", f".{key}[]"} & holders}


def documented(name: str) -> dict[str, str]:
    """Key to meaning, from the table under the heading with this id."""
    (section,) = re.findall(rf"^#+ .+ {{ #{name} }}\n(.+?)(?=^#|\Z)", PAGE, re.M | re.S)
    rows = re.findall(r"^\| (`.+?`) \| (.+) \|$", section, re.M)
    told = [(key, meaning) for names, meaning in rows for key in re.findall(r"`(.+?)`", names)]
    assert len(told) == len(dict(told)), f"a key stands twice under {name}"
    return dict(told)


@pytest.mark.parametrize("name", OBJECTS)
def test_the_page_names_the_keys_of_the_schema_and_no_other(name):
    assert set(documented(name)) == set(keys(name))


@pytest.mark.parametrize("name", OBJECTS)
def test_the_page_says_which_keys_may_be_missing(name):
    first = DEFS[name].get("required", ())
    missing = {key for key, always in keys(name).items() if not always or re.split(r"\W", key)[0] not in first}
    if "oneOf" in DEFS[name]:
        missing = set()  # each kind has keys of its own, and the page says which belong to which
    assert {key for key, meaning in documented(name).items() if "ptional" in meaning} == missing


def test_the_page_has_no_section_without_an_object():
    assert set(re.findall(r"^#+ .+ { #(\w+) }$", PAGE, re.M)) == set(OBJECTS)


def test_every_link_within_the_page_leads_to_a_section():
    assert set(re.findall(r"\]\(#(\w+)\)", PAGE)) <= set(OBJECTS)


def test_the_request_shown_is_answered():
    (shown,) = re.findall(r"```json\n(.+?)```", PAGE, re.S)
    assert json.loads(handle(shown))["headline"]

"""A fault of ours is told as one: never a traceback, never anything that looks like a verdict."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from checker import packs
from checker.core import api, findings, pack, quantities
from checker.core.api import handle
from tests.core import asking
from tests.packs.conftest import install

VERDICTS = {"headline", "headline_text", "who", "sizing", "findings", "settled", "question", "quantities"}


@pytest.mark.parametrize("ask", ["check", "next"])
@pytest.mark.parametrize(
    "fault",
    [ZeroDivisionError("9 / 0"), KeyError("x"), RecursionError(), AssertionError("half \ud800"), MemoryError()],
    ids=repr,
)
def test_a_fault_inside_is_no_verdict(ask, fault, monkeypatch):
    def broken(read):
        raise fault

    quantity = quantities.QUANTITIES["design_current_a"]
    monkeypatch.setitem(quantities.QUANTITIES, "design_current_a", quantity._replace(work_out=broken))
    reply = json.loads(handle(asking.text(asking.FITS, ask=ask)))
    assert set(reply) == {"format", "engine", "error", "fault"}
    assert reply["fault"] is True
    assert set(reply["error"]) == {"where", "what", "why", "fix"}
    assert type(fault).__name__ in reply["error"]["what"]
    assert "licensed" in reply["error"]["fix"]


@pytest.mark.parametrize("part", ["judge", "reach", "build"])
def test_a_fault_in_any_stop_of_the_flow_is_no_verdict(part, monkeypatch):
    def broken(*given):
        raise RuntimeError("lost")

    module = {"judge": findings, "reach": api.verdict, "build": api.report}[part]
    monkeypatch.setattr(module, part, broken)
    reply = json.loads(handle(asking.text(asking.FITS)))
    assert reply["fault"] is True
    assert not VERDICTS & reply.keys()


def test_a_pack_that_cannot_be_read_is_no_verdict(monkeypatch):
    monkeypatch.setattr(pack, "_loaded", {})
    monkeypatch.setattr(packs, "read", lambda name: b'{"content": {"format": 2}, "sha256": ""}')
    reply = json.loads(handle(asking.text(asking.FITS)))
    assert reply["fault"] is True
    assert not VERDICTS & reply.keys()


def requiring(tree: list) -> Callable[[dict[str, Any]], None]:
    """An edit of a pack: what one rule requires."""

    def edit(content: dict[str, Any]) -> None:
        next(rule for rule in content["rules"] if rule["id"] == "breaker-within-cable")["requires"] = tree

    return edit


def without_a_table(content: dict[str, Any]) -> None:
    content["tables"] = [table for table in content["tables"] if table["id"] != "cable-current"]


def with_an_axis_more(content: dict[str, Any]) -> None:
    marks = next(table for table in content["tables"] if table["id"] == "terminal-marks")
    marks["axes"].append({**marks["axes"][0], "name": "phases"})
    for cell in marks["cells"]:
        cell["keys"].append("single")


@pytest.mark.parametrize(
    ("broken", "ask", "told"),
    [
        pytest.param(lambda content: content.update(format=2), "check", "has format 2", id="of another format"),
        pytest.param(requiring(["name", "nowhere"]), "check", "is called 'nowhere'", id="a rule names nothing"),
        pytest.param(
            requiring(["stated", "cable_size"]), "check", "stated(cable_size)", id="asks a label for what it never says"
        ),
        pytest.param(without_a_table, "check", "is called 'cable-current'", id="a table is missing"),
        pytest.param(with_an_axis_more, "sheet", "asked with 1 keys", id="a table has another number of axes"),
    ],
)
def test_a_pack_that_the_build_could_not_have_made_is_no_verdict(broken, ask, told, monkeypatch):
    content = copy.deepcopy(asking.contents()["iec"])
    broken(content)
    install(monkeypatch, content)
    reply = json.loads(handle(asking.text(asking.FITS, ask=ask)))
    assert reply["fault"] is True
    assert told in reply["error"]["what"]
    assert not VERDICTS & reply.keys()

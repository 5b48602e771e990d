"""A fault of ours is told as one: never a traceback, never anything that looks like a verdict."""

from __future__ import annotations

import json

import pytest

from checker import packs
from checker.core import api, findings, pack, quantities
from checker.core.api import handle
from tests.core import asking

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

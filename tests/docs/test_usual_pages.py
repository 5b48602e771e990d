"""The pages of the questions say what is usual: what the short form supposes can be looked up."""

from __future__ import annotations

import json
import re

import pytest

from checker.core.api import handle
from tests.docs.written import written

PACKS = [
    pack["id"]
    for pack in json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"]
    if pack["valid_until"] is None
]


def told(question: str) -> str:
    """What stands on a page about one question, where a pack has no region."""
    return written()["iec/questions.md"].partition(f"{{ #{question} }}")[2].partition("\n## ")[0]


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("breaker_capacity_ka", "- Usual here: `6` kA."),
        ("grouped_circuits", "- Usual here: `1`."),
        ("circuit_dedicated", "- Usual here: `true`."),
        ("link_size", "- Usual here: as [cable_size](#cable_size)."),
        ("device_short_circuit_ka", "- Usual here: `not-stated`."),
    ],
)
def test_the_usual_answer_stands_with_its_question(question, line):
    assert line in told(question)


def test_how_to_see_it_stands_with_it():
    assert "How to see it: The number in the box on its front is 6000." in told("breaker_capacity_ka")


def test_nothing_is_called_usual_that_nobody_may_suppose():
    assert "Usual here" not in told("isolation")


@pytest.mark.parametrize("pack", PACKS)
def test_each_source_of_a_usual_answer_is_on_the_page_of_the_sources(pack):
    named = set(re.findall(r"- Usual here: .*\(sources\.md#([^)]+)\)", written()[f"{pack}/questions.md"]))
    assert named
    assert [source for source in named if f"{{ #{source} }}" not in written()[f"{pack}/sources.md"]] == []

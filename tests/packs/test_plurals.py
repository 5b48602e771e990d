"""A count and its word agree: 1 lamp, 2 lamps. Held for every sentence of every pack, and in what a report says.

The rule is that of English grammar: one takes the singular, every other number the plural (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from checker.core.messages import put, with_unit
from tests.core import asking

# What may follow any number: words that do not agree with it.
_EITHER = frozenset(
    [
        "a",
        "above",
        "ahead",
        "and",
        "at",
        "before",
        "between",
        "beside",
        "but",
        "by",
        "each",
        "for",
        "free",
        "from",
        "in",
        "it",
        "on",
        "of",
        "or",
        "per",
        "that",
        "the",
        "to",
        "together",
        "when",
        "while",
        "within",
        "wide",
    ]
)
_FOLLOWS = re.compile(r"<(?P<number>[0-9.]+)> (?P<word>[a-z]+)")  # what comes from a hole stands in these brackets
PHRASE_COUNTS = {"n", "wires"}
_SHORT = frozenset({"mod"})


def disagreeing(text: str) -> list[str]:
    """The counts of a sentence whose next word has the wrong number."""
    found = []
    for place in _FOLLOWS.finditer(text):
        number, word = place["number"], place["word"]
        many = word in ("are", "have", "were") or (word.endswith("s") and word not in ("is", "has", "was"))
        if word not in _EITHER | _SHORT and many == (number == "1"):
            found.append(f"{number} {word}")
    return found


def templates(content: dict[str, Any]) -> Iterator[tuple[str, str, set[str]]]:
    """Every sentence with holes: what it belongs to, its text, and its holes that are counts beside those of the pack."""
    for part in (content, content["plan"]):
        for rule in part["rules"]:
            yield from ((rule["id"], text, set()) for text in (rule["title"], rule["fix"], *rule["say"].values()))
        for section, items in part["texts"].items():
            for item in items:
                yield from ((f"{section}/{item['id']}", item[key], set()) for key in ("text", "otherwise"))
        for question in part["questions"]:
            if "change" in question:
                counted = question["kind"] == "number" and question["unit"] == "1"
                yield question["id"], question["change"]["text"], {"value"} if counted else set()
    for name, text in content["phrases"].items():
        yield name, text, PHRASE_COUNTS


def said(content: dict[str, Any], text: str, counted: set[str], number: int) -> str:
    """The sentence with `number` in every count, and a dash in the holes that hold something else."""
    units = content["units"] | content["plan"]["units"]
    fixed = {parameter["id"]: parameter["value"] for parameter in content["parameters"]}

    def value(name: str) -> str:
        return fixed.get(name, str(number))

    def say(name: str) -> str:
        if name not in counted and units.get(name) not in ("1", "modules"):
            return "–"
        figure, _, unit = with_unit(value(name), "" if name in counted else units[name]).partition(" ")
        return f"<{figure}> {unit}".rstrip()

    return put(text, say, lambda name: value(name) == "1")


@pytest.mark.parametrize("number", [1, 2])
@pytest.mark.parametrize("pack", sorted(asking.contents()))
def test_a_count_and_its_word_agree(pack, number):
    content = asking.contents()[pack]
    wrong = [
        (where, text, found)
        for where, text, counted in templates(content)
        if (found := disagreeing(said(content, text, counted, number)))
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("at most <1> circuits run together", ["1 circuits"]),
        ("Put at most <2> lamp on the circuit", ["2 lamp"]),
        ("There are <2> drivers, <1> of them new", []),
        ("<1> are", ["1 are"]),
        ("<2> is", ["2 is"]),
        ("<2> modules, <1> module, <0.5> modules", []),
    ],
)
def test_the_search_finds_a_wrong_number(text, found):
    assert disagreeing(text) == found


def test_the_sentences_hold_counts():
    """A search that saw no count would find nothing wrong."""
    content = asking.contents()["iec"]
    counted = [
        where for where, text, own in templates(content) if said(content, text, own, 1) != said(content, text, own, 2)
    ]
    assert {"grouped_circuits", "lamp_count", "commands-fit", "sheet.ways-left"} <= set(counted)


@pytest.mark.parametrize(
    ("size", "text"),
    [
        ("1.5 mm2", "Lay the cable so that it runs alone."),
        ("2.5 mm2", "Lay the cable so that at most 3 circuits run together."),
    ],
)
def test_counsel_says_how_many_circuits_may_run_together(size, text):
    report = asking.ask(asking.sound("iec") | {"grouped_circuits": 4, "cable_size": size}, "iec", counsel=True)
    assert text in [change["text"] for change in report["changes"]]


@pytest.mark.parametrize(("starts", "text"), [(1, "starts 1 time in an hour"), (2, "starts 2 times in an hour")])
def test_a_message_counts_the_starts_of_a_motor(starts, text):
    motor = {"load_kind": "motor", "motor_output_w": 750, "starts_per_hour": starts}
    findings = asking.ask(asking.sound("iec") | motor, "iec")["findings"]
    assert text in next(f["message"] for f in findings if f["rule"] == "starts-within-motor")

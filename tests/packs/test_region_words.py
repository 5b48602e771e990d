"""The words of a region in what it takes over from base: in its questions, explained once, and at the start of a sentence."""

from __future__ import annotations

import pytest

from checker.core.messages import put
from checker.dev.rulebook.resolve import resolved
from checker.dev.rulebook.rulefiles import RULES
from checker.dev.rulebook.vocabulary import sentences_of, worded
from tests.core import asking


def questions(pack: str) -> list[dict]:
    content = asking.contents()[pack]
    return [*content["questions"], *content["plan"]["questions"]]


@pytest.mark.parametrize("pack", sorted(asking.contents()))
def test_no_question_shows_a_hole(pack):
    assert [q["id"] for q in questions(pack) for text in sentences_of(q) if "{" in text or "}" in text] == []


def test_a_question_of_base_takes_the_word_of_its_region():
    asked = {pack: {q["id"]: q for q in questions(pack)}["spare_modules"]["text"] for pack in ("iec", "gb", "au")}
    assert asked == {
        pack: f"How many modules are free on the rail of the {asking.contents()[pack]['words']['board']}?"
        for pack in asked
    }
    assert len(set(asked.values())) == 3


def test_a_word_is_explained_where_it_is_first_asked_about_and_nowhere_else():
    folder, _ = resolved(RULES / "gb")
    asked = worded(folder._replace(pack={**folder.pack, "explained": {"board": "the box with the breakers"}}))
    order = sorted((key for key in folder.items if key[0] == "question"), key=lambda k: folder.items[k].data["order"])
    first = next(key for key in order if any("{board}" in text for text in sentences_of(folder.items[key].data)))
    bearing = {
        key: said.count("consumer unit (the box with the breakers)")
        for key in order
        if "the box with" in (said := " ".join(sentences_of(asked.items[key].data)))
    }
    assert bearing == {first: 1}


def test_a_sentence_that_begins_with_a_word_begins_with_a_capital():
    def say(_: str) -> str:
        return "earth leakage unit"

    said = put("{x}, live. {x} and {x}.", say, lambda _: False)
    assert said == "Earth leakage unit, live. Earth leakage unit and earth leakage unit."


def test_a_name_that_begins_with_a_word_stays_as_it_is():
    assert put("{x} of the circuit", lambda _: "breaker", lambda _: False) == "breaker of the circuit"

"""Answers for property tests, made from the questions of a pack: a new question is covered at once."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

from hypothesis import strategies as st

from tests.core import asking

DONT_KNOW, NOT_STATED = "dont-know", "not-stated"
_FIGURES = (
    "0.5",
    "1",
    "1.5",
    "2.5",
    "4",
    "6",
    "10",
    "13",
    "16",
    "16.000000000001",
    "20",
    "23",
    "30",
    "32",
    "40",
    "63",
    "3680",
)


@cache
def questions(pack: str) -> dict[str, dict[str, Any]]:
    return {question["id"]: question for question in asking.contents()[pack]["questions"]}


@cache
def known(pack: str, question: str) -> st.SearchStrategy:
    """Any answer but "don't know"; numbers mostly at the figures that rules and tables turn on."""
    asked = questions(pack)[question]
    if asked["kind"] == "yes-no":
        return st.booleans()
    if asked["kind"] == "choice":
        return st.sampled_from([choice["value"] for choice in asked["choices"]])
    low, high = Decimal(asked["minimum"]), Decimal(asked["maximum"])
    figures = [asked["minimum"], asked["maximum"], *(f for f in _FIGURES if low <= Decimal(f) <= high)]
    number = st.sampled_from(figures) | st.decimals(low, high, places=2, allow_nan=False).map(str)
    return number | st.just(NOT_STATED) if asked["unanswered"] == NOT_STATED else number


def answer(pack: str, question: str) -> st.SearchStrategy:
    return known(pack, question) | st.just(DONT_KNOW)


@st.composite
def cases(draw: st.DrawFn, pack: str) -> dict[str, Any]:
    """The sound case with some answers changed and some left out, so that most rules stay decided."""
    names = sorted(questions(pack))
    changed = draw(st.lists(st.sampled_from(names), max_size=12, unique=True))
    given = asking.sound(pack) | {name: draw(answer(pack, name)) for name in changed}
    for name in draw(st.lists(st.sampled_from(names), max_size=6, unique=True)):
        given.pop(name, None)
    return given


def packs() -> st.SearchStrategy:
    return st.sampled_from(asking.PACKS)

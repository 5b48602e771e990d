"""What a person typed at a question: a value, a command, or something that is not understood."""

from __future__ import annotations

import re
from decimal import Decimal
from string import ascii_lowercase

from checker.terminal.display import shorten
from checker.terminal.units import sign_of, with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

DONT_KNOW, NOT_STATED = "dont-know", "not-stated"
COMMANDS = {
    "?": "why",
    "why": "why",
    "help": "help",
    "back": "back",
    "change": "change",
    "verdict": "verdict",
    "quit": "quit",
    "exit": "quit",
}
_NOT_KNOWN = ("dk", "don't know", "dont know", "dont-know", "i don't know", "i dont know")
_LABEL_SILENT = ("ns", "not stated", "not-stated", "the label does not say")
_YES, _NO = ("y", "yes", "true"), ("n", "no", "false")
_NUMBER = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)(.*)\Z", re.DOTALL)
_GROUPED = re.compile(r"(?<=[0-9])[ \xa0\u2009\u202f](?=[0-9]{3}(?![0-9]))")
_FIGURE = re.compile(r"([0-9]+(?:\.[0-9]+)?)(?![0-9./])")
_MOST_DIGITS = 24  # twelve on each side of the point are more than any instrument shows
_THOUSANDS = {"kw": "W", "kva": "VA"}  # labels are often written in these


class NotUnderstood(Exception):
    """What was typed is no answer; the text says what would be."""


def parse(question: dict[str, Any], typed: str) -> tuple[str, Any]:
    """("value", answer) or ("command", name). Raises NotUnderstood.

    A value of the question wins over a command of the same name. Decimals come as text with a point.
    """
    word = _folded(typed)
    if question["kind"] == "choice":
        chosen = _choice(question["choices"], word)
        if chosen is not None:
            return "value", chosen
    if word in COMMANDS:
        return "command", COMMANDS[word]
    if word in _NOT_KNOWN:
        if question.get("dont_know", True):
            return "value", DONT_KNOW
        raise NotUnderstood("This question needs an answer. Without it, nothing can be judged.")
    if word in _LABEL_SILENT:
        if question.get("not_stated"):
            return "value", NOT_STATED
        raise NotUnderstood("This question is not about a label. If you don't know, type dk.")
    if question["kind"] == "yes-no" and word in _YES + _NO:
        return "value", word in _YES
    if question["kind"] == "number":
        return "value", _number(question, typed.strip())
    quoted = f'"{shorten(typed, 40)}" is not one of the answers. ' if word else ""
    expected = "Type yes or no"
    if question["kind"] == "choice":
        expected = f"Type {signs_shown(question['choices'])}, or an answer itself"
    raise NotUnderstood(f"{quoted}{expected}; ? explains.")


def keys(choices: list[dict[str, Any]]) -> list[str]:
    """The sign to type for each choice: numbers, or letters when the choices themselves begin with figures.

    With numbers before "4 mm2" and "6 mm2", typing 6 for 6 mm² would silently pick the sixth size.
    """
    count = len(choices)
    if not any(text[:1].isdigit() for choice in choices for text in (choice["value"], choice["label"])):
        return [str(number) for number in range(1, count + 1)]
    taken = {_folded(choice["value"]) for choice in choices}
    signs = [*ascii_lowercase, *(first + second for first in ascii_lowercase for second in ascii_lowercase)]
    return [sign for sign in signs if sign not in taken][:count]


def signs_shown(choices: list[dict[str, Any]]) -> str:
    """ "1 to 3", "a to f"."""
    signs = keys(choices)
    return f"{signs[0]} to {signs[-1]}"


def _folded(text: str) -> str:
    return " ".join(text.replace("’", "'").split()).casefold()


def _bare(text: str) -> str:
    return _folded(text).replace("²", "2").replace(" ", "").replace(",", ".")


def _choice(choices: list[dict[str, Any]], word: str) -> str | None:
    for choice in choices:
        if word and _bare(word) in (_bare(choice["value"]), _bare(choice["label"])):
            return choice["value"]
    signs = keys(choices)
    if word in signs:
        return choices[signs.index(word)]["value"]
    if not signs[0].isdigit() and re.fullmatch(r"[0-9]+([.,][0-9]+)?", word):
        figure = word.replace(",", ".")
        fitting = [c["value"] for c in choices if (found := _FIGURE.match(c["value"])) and found[1] == figure]
        if len(fitting) == 1:
            return fitting[0]
    return None


def _number(question: dict[str, Any], typed: str) -> int | str:
    found = _NUMBER.match(_GROUPED.sub("", typed.replace("−", "-")))
    span = range_shown(question)
    if not found:
        quoted = f'"{shorten(typed, 40)}" is not a number. ' if typed else ""
        raise NotUnderstood(f"{quoted}Type a number: {span}.")
    figure, unit = found[1], _bare(found[2])
    if len(figure) > _MOST_DIGITS:
        raise NotUnderstood(f"This number has {len(figure)} digits. Type a number: {span}.")
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figure):
        whole, part = figure.split(",")
        raise NotUnderstood(f"{figure} can be read in two ways. Type {whole}{part} or {whole}.{part}.")
    value = Decimal(figure.replace(",", "."))
    own = question["unit"] or "1"
    if _THOUSANDS.get(unit) == own:
        value = Decimal(int(value * 1000)) if value * 1000 == int(value * 1000) else value * 1000
    elif unit not in ("", _bare(own), _bare(sign_of(own)), *_MORE_NAMES.get(own, ())):
        raise NotUnderstood(f'"{shorten(found[2], 20)}" is the wrong unit. Type a number: {span}.')
    low, high = question["minimum"], question["maximum"]
    if (low is not None and value < Decimal(str(low))) or (high is not None and value > Decimal(str(high))):
        raise NotUnderstood(
            f"{with_unit(format(value, 'f'), own)} is outside {span}. Read it again. If it is right, type dk: "
            "this rule set cannot judge it."
        )
    return int(value) if value == value.to_integral_value() and "." not in format(value, "f") else format(value, "f")


_MORE_NAMES = {"1": ("x",), "h": ("hours", "hour"), "modules": ("module",), "m": ("metres", "metre"), "C": ("c", "°")}


def range_shown(question: dict[str, Any]) -> str:
    """The range of a number question: "1 to 125 A"."""
    low, high, unit = question["minimum"], question["maximum"], question["unit"]
    if low is None or high is None:
        return sign_of(unit)
    return with_unit(f"{low} to {high}", unit)


def answer_shown(question: dict[str, Any], value: Any) -> str:
    """An answer in words."""
    if value == DONT_KNOW:
        return "I don't know"
    if value == NOT_STATED:
        return "the label does not say"
    if isinstance(value, bool):
        return "yes" if value else "no"
    for choice in question["choices"] or ():
        if choice["value"] == value:
            return choice["label"]
    return with_unit(value, question["unit"]) if question["kind"] == "number" else str(value)

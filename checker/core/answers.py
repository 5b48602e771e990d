"""From the answers of a request to checked values. Every fault of an answer is named, with how to mend it."""

from __future__ import annotations

import re
from collections.abc import Container
from decimal import Decimal

from checker.core.errors import BadRequest
from checker.core.situation import DONT_KNOW, NOT_STATED
from checker.core.values import Value, plain

# Twelve places on either side are more than any instrument shows, and keep every product exact.
_NUMBER = re.compile(r"[+-]?[0-9]{1,12}(\.[0-9]{1,12})?\Z")


def check_answers(given: object, questions: dict[str, dict], unread: Container[str] = frozenset()) -> dict[str, Value]:
    """The answers by question id, as Decimal, str or bool. Raises `BadRequest` at the first fault, in the given order.

    `unread` are ids of the common vocabulary that this rule set does not ask: they are passed over, the report names them.
    """
    held = {name: value for name, value in table(given).items() if name not in unread}
    return {name: _check(name, value, questions) for name, value in held.items()}


def table(given: object) -> dict[str, object]:
    """The answers of a request as the table they have to be; raises `BadRequest` for anything else."""
    if not isinstance(given, dict):
        raise BadRequest(
            "answers",
            f"this is {_kind(given)}, not a table of answers",
            "Each answer needs the id of its question.",
            "Write the answers as a table: question id = answer.",
        )
    return given


def _check(name: str, value: object, questions: dict[str, dict]) -> Value:
    question = questions.get(name)
    where = f"answers.{name[:60]}"
    if question is None:
        raise BadRequest(
            where,
            "this rule set has no such question",
            "Ignoring it could hide a typing slip.",
            f"{_nearest(name, questions)} The reference pages list every question with its id.",
        )
    if value == DONT_KNOW:
        return DONT_KNOW
    if value == NOT_STATED:
        if question["unanswered"] == NOT_STATED:
            return NOT_STATED
        raise BadRequest(
            where,
            f'"{NOT_STATED}" is not an answer to this question',
            "It is only for facts that a label may leave out.",
            f'Give the answer, or "{DONT_KNOW}".',
        )
    kind = question["kind"]
    if kind == "number":
        return _number(where, value, question)
    if kind == "yes-no":
        if isinstance(value, bool):
            return value
        raise BadRequest(
            where, f"this is {_kind(value)}", "The question takes yes or no.", f'Write true, false or "{DONT_KNOW}".'
        )
    choices = [choice["value"] for choice in question["choices"]]
    if isinstance(value, str) and value in choices:
        return value
    listed = ", ".join(f'"{choice}"' for choice in choices)
    what = f"{_quoted(value)} is not one of the answers" if isinstance(value, str) else f"this is {_kind(value)}"
    raise BadRequest(
        where,
        what,
        "Each answer in the list has its own limits.",
        f'Write one of: {listed}; or "{DONT_KNOW}".',
    )


def _number(where: str, value: object, question: dict) -> Decimal:
    unit = question["unit"]
    low, high = Decimal(question["minimum"]), Decimal(question["maximum"])
    span = f"{plain(low)} to {plain(high)}{'' if unit == '1' else ' ' + unit}"
    if isinstance(value, str):
        if not _NUMBER.match(value):
            raise BadRequest(
                where,
                f"{_quoted(value)} is not a number",
                "The check calculates with it.",
                f'Write digits with a decimal point and no unit, {span}; or "{DONT_KNOW}".',
            )
        value = Decimal(value)
    if not isinstance(value, Decimal):
        raise BadRequest(
            where,
            f"this is {_kind(value)}",
            "The question takes a number.",
            f'Write a number, {span}; or "{DONT_KNOW}".',
        )
    if not low <= value <= high:
        raise BadRequest(
            where,
            f"{_short(value)} is out of range",
            "A figure so far out is probably a typing slip.",
            f'Write a number, {span}; or "{DONT_KNOW}".',
        )
    if value.as_tuple().exponent < -12:  # type: ignore[operator]  # finite: it lies within the range
        raise BadRequest(
            where,
            "the number has more than twelve decimal places",
            "No plate or instrument shows that many.",
            "Write fewer decimal places.",
        )
    return value


def _short(value: Decimal) -> str:
    return f"{value:.3e}" if abs(value.adjusted()) > 12 else plain(value)


def _quoted(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:37] + "...")


def _kind(value: object) -> str:
    names = {
        bool: "true or false",
        str: "a text",
        dict: "a table",
        list: "a list",
        Decimal: "a number",
        type(None): "empty",
    }
    return names.get(type(value), "something else")


def _nearest(name: str, questions: dict[str, dict]) -> str:
    """A hint at the id that was meant: the known id sharing the longest opening, if it shares enough."""
    import difflib

    close = difflib.get_close_matches(name[:60], questions, n=1)
    return f"Did you mean {close[0]}?" if close else "Check the spelling."

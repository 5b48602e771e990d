"""A request as named fields, read once from its JSON text. Every fault of it is named, with how to mend it."""

from __future__ import annotations

import json
import re
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from checker.core.errors import BadRequest, told
from checker.core.findings import Gate

FORMAT = 1
ASKS = ("check", "next", "sheet", "plan", "compare", "describe")
MOST_CHARACTERS = 1_000_000
MOST_EXPONENT_DIGITS = 6
MOST_BRACKETS = 200
_KEYS = {
    "format",
    "ask",
    "pack",
    "packs",
    "edition",
    "as_of",
    "answers",
    "confirmed",
    "counsel",
    "plan",
    "working",
    "suppose",
}
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")


class Request(NamedTuple):
    """What is asked, of which rule set, by which gate. `pack`, `edition`, `packs`, `answers` and `plan` are as given:
    only the rule set can tell whether they are right."""

    ask: str
    pack: object
    edition: object
    packs: object
    gate: Gate | None  # None where `describe` names no day
    answers: object
    plan: object
    counsel: bool
    working: bool
    suppose: bool


def read(text: object) -> Request:
    """The request in this JSON text. Raises `BadRequest` at its first fault."""
    held = _parse(text)
    ask = held.get("ask")
    if ask not in ASKS:
        raise BadRequest(
            "ask",
            f"{told(ask)} is not something to ask",
            "The reply depends on what you ask.",
            'Write "check", "next", "sheet", "plan", "compare" or "describe".',
        )
    plan = held.get("plan")
    if plan is not None and ask != "plan":
        raise BadRequest(
            "plan",
            f"there is a plan, but the request asks {told(ask)}",
            "Nobody would read the plan, and it could look as if it had been judged.",
            'Write "ask": "plan", or leave out the plan.',
        )
    return Request(
        ask=ask,
        pack=held.get("pack"),
        edition=held.get("edition"),
        packs=held.get("packs"),
        gate=None if ask == "describe" and held.get("as_of") is None else Gate(_date(held), _confirmed(held)),
        answers=held.get("answers", {}),
        plan=plan,
        counsel=_wish(held, "counsel"),
        working=_wish(held, "working"),
        suppose=_suppose(held, ask),
    )


def _parse(text: object) -> dict:
    if not isinstance(text, str):
        raise BadRequest(
            "request", "the request is not text", "The checker reads JSON text.", "Send the request as JSON text."
        )
    if len(text) > MOST_CHARACTERS:
        raise BadRequest(
            "request",
            "the request is longer than a million characters",
            "No set of answers is that long.",
            "Send only the answers.",
        )
    if text.count("[") + text.count("{") > MOST_BRACKETS:
        # Where the parser runs out of stack differs from Python to Python, and in a browser it ends the worker.
        raise BadRequest(
            "request",
            "the JSON is nested too deeply",
            "The checker cannot read it.",
            "Send one table of answers with nothing inside it.",
        )
    try:
        # json reads NaN and Infinity, which no standard allows: they are refused by name, like a key given twice.
        request = json.loads(
            text, parse_float=_number, parse_int=_number, parse_constant=_no_constant, object_pairs_hook=_no_doubles
        )
    except BadRequest:
        raise
    except ValueError:
        # The parser's own words and places differ between versions of Python; replies may not.
        raise BadRequest(
            "request", "this is not JSON", "The checker cannot read any of it.", "Check brackets, commas and quotes."
        ) from None
    if not isinstance(request, dict):
        raise BadRequest(
            "request",
            "the request is not a JSON object",
            "The checker looks up its parts by name.",
            'Send {"format": 1, "ask": "check", ...}.',
        )
    # True equals 1 in Python, but it is no format.
    if isinstance(request.get("format"), bool) or request.get("format") != Decimal(FORMAT):
        raise BadRequest(
            "format",
            "the request format is not 1",
            "In another format, the parts may mean something else.",
            'Write "format": 1.',
        )
    for key in request:
        if key not in _KEYS:
            raise BadRequest(
                _named(key),
                f"there is no such part of a request as {told(key)}",
                "Ignoring it could hide a typing slip.",
                f"Use only: {', '.join(sorted(_KEYS))}.",
            )
    return request


def _named(key: str) -> str:
    """A part of the request as the place of an error: never blank, never longer than a line."""
    return key[:60] if key.strip() else "request"


def _number(digits: str) -> Decimal:
    exponent = digits.lower().partition("e")[2]
    if len(exponent.lstrip("+-0")) > MOST_EXPONENT_DIGITS:
        # How large an exponent may be differs between builds of Python; replies may not.
        raise BadRequest(
            "request",
            f"{told(digits)} is not a number this program can hold",
            "Its exponent is far too large or too small.",
            "Write the number as it is on the plate.",
        )
    return Decimal(digits)


def _no_constant(name: str) -> Decimal:
    raise BadRequest(
        "request", f"{name} is not a number", "Nothing can be compared with it.", "Write an ordinary number."
    )


def _no_doubles(pairs: list[tuple[str, object]]) -> dict:
    held = dict(pairs)
    if len(held) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise BadRequest(
            _named(twice),
            f"{told(twice)} is given twice",
            "Only one of the two can count, and it is not clear which.",
            "Keep one.",
        )
    return held


_WISHES = {
    "counsel": "It decides whether the report works out changes and flips.",
    "working": "It decides whether the report shows figures, steps and connections with the verdict.",
}


def _suppose(held: dict, ask: str) -> bool:
    wanted = held.get("suppose", False)
    if not isinstance(wanted, bool) or (wanted and ask not in ("check", "next")):
        raise BadRequest(
            "suppose",
            f"{told(wanted)} is neither true nor false"
            if not isinstance(wanted, bool)
            else f"{told(ask)} supposes nothing",
            "What is usual is told beside a verdict or the next question only.",
            'Write true with "ask": "check" or "next", or delete the key.',
        )
    return wanted


def _wish(held: dict, part: str) -> bool:
    wanted = held.get(part, True)
    if not isinstance(wanted, bool):
        raise BadRequest(
            part,
            f"{told(wanted)} is neither true nor false",
            _WISHES[part],
            "Write false to leave them out, or delete the key.",
        )
    return wanted


def _date(held: dict) -> str:
    given = held.get("as_of")
    if isinstance(given, str) and _DATE.match(given):
        try:
            return date.fromisoformat(given).isoformat()
        except ValueError:
            pass  # the 31st of February: told below like any other text that is no date
    what = "there is no date" if given is None else "this is not a date"
    raise BadRequest(
        "as_of",
        what,
        "Rules and figures have dates, and the checker does not look at the clock.",
        'Write the date as "2026-11-25".',
    )


def _confirmed(held: dict) -> frozenset[str]:
    """The figures the reader compared with their copy. An id this pack does not have confirms nothing."""
    given = held.get("confirmed", [])
    if not isinstance(given, list) or not all(isinstance(cell, str) for cell in given):
        raise BadRequest(
            "confirmed",
            "this is not a list of figure ids",
            "Each entry names one figure that you compared with your own copy.",
            'Write a list of texts, such as ["table/row/column"].',
        )
    return frozenset(given)

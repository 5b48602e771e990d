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
_KEYS = {"format", "ask", "pack", "packs", "edition", "as_of", "answers", "confirmed", "counsel", "plan", "working"}
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


def read(text: object) -> Request:
    """The request in this JSON text. Raises `BadRequest` at its first fault."""
    held = _parse(text)
    ask = held.get("ask")
    if ask not in ASKS:
        raise BadRequest(
            "ask",
            f"{told(ask)} is not something to ask",
            "The reply depends on it.",
            'Write "check", "next", "sheet", "plan", "compare" or "describe".',
        )
    plan = held.get("plan")
    if plan is not None and ask != "plan":
        raise BadRequest(
            "plan",
            f"there is a plan, and the request asks {told(ask)}",
            "A plan that nobody reads could be taken for one that was judged.",
            'Write "ask": "plan", or leave the plan out.',
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
    )


def _parse(text: object) -> dict:
    if not isinstance(text, str):
        raise BadRequest(
            "request", "the request is not text", "The checker reads JSON text.", "Send the request as a JSON string."
        )
    if len(text) > MOST_CHARACTERS:
        raise BadRequest(
            "request",
            "the request is longer than a million characters",
            "No set of answers is.",
            "Send the answers alone.",
        )
    if text.count("[") + text.count("{") > MOST_BRACKETS:
        # Where the parser runs out of stack differs from Python to Python, and in a browser it ends the worker.
        raise BadRequest(
            "request", "the JSON is nested too deeply", "It cannot be read.", "Send a flat table of answers."
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
            "request", "this is not JSON", "Nothing of it can be read.", "Check brackets, commas and quotes."
        ) from None
    if not isinstance(request, dict):
        raise BadRequest(
            "request",
            "the request is not a JSON object",
            "Its parts are named.",
            'Send {"format": 1, "ask": "check", ...}.',
        )
    # True equals 1 in Python, but it is no format.
    if isinstance(request.get("format"), bool) or request.get("format") != Decimal(FORMAT):
        raise BadRequest(
            "format", "the request format is not 1", "Other formats may mean other things.", 'Write "format": 1.'
        )
    for key in request:
        if key not in _KEYS:
            raise BadRequest(
                _named(key),
                f"there is no such part of a request as {told(key)}",
                "A part nobody reads could hide a slip of the pen.",
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
            "Its exponent is out of all bounds.",
            "Write the number as it stands on the plate.",
        )
    return Decimal(digits)


def _no_constant(name: str) -> Decimal:
    raise BadRequest("request", f"{name} is not a number", "Nothing can be compared with it.", "Write a finite number.")


def _no_doubles(pairs: list[tuple[str, object]]) -> dict:
    held = dict(pairs)
    if len(held) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise BadRequest(
            _named(twice),
            f"{told(twice)} is given twice",
            "Only one of the two could count, and it is not clear which.",
            "Keep one.",
        )
    return held


_WISHES = {
    "counsel": "It says whether changes and flips are worked out.",
    "working": "It says whether the report shows figures, steps and connections beside the verdict.",
}


def _wish(held: dict, part: str) -> bool:
    wanted = held.get(part, True)
    if not isinstance(wanted, bool):
        raise BadRequest(
            part,
            f"{told(wanted)} is neither true nor false",
            _WISHES[part],
            "Write false to leave them out, or drop the key.",
        )
    return wanted


def _date(held: dict) -> str:
    given = held.get("as_of")
    if isinstance(given, str) and _DATE.match(given):
        try:
            return date.fromisoformat(given).isoformat()
        except ValueError:
            pass  # the 31st of February: told below like any other text that is no date
    what = "no date of judgement is given" if given is None else "this is not a date"
    raise BadRequest(
        "as_of",
        what,
        "Rules and figures have dates, and the checker does not read the clock.",
        'Write the date as "2026-11-25".',
    )


def _confirmed(held: dict) -> frozenset[str]:
    """The figures the reader compared with their copy. An id this pack does not have confirms nothing."""
    given = held.get("confirmed", [])
    if not isinstance(given, list) or not all(isinstance(cell, str) for cell in given):
        raise BadRequest(
            "confirmed",
            "this is not a list of figure ids",
            "Each names a figure you compared with your copy.",
            "Write a list of texts.",
        )
    return frozenset(given)

"""TOML and JSON text turned into data, with errors that name line and column."""

from __future__ import annotations

import json
import re

from checker.terminal.display import shorten
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

DIGITS = 40  # most digits of one number; the core works with fewer

WRITE = (
    "Write each answer as name = value: text in double quotes, numbers with a point (2.5), yes or no as true or false."
)
TWICE = "Two values for one key leave open which one is meant."
_TWO_WAYS = "A file that can be read in two ways must not be judged at all."
_KEEP_ONE = "Keep one of the two and delete the other."
_AT = re.compile(r"^(.*) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)


class Unusable:
    """A number that cannot be used, kept until it is known under which key it stands."""

    def __init__(self, what: str) -> None:
        self.what = what


def parse_toml(name: str, text: str) -> dict[str, Any]:
    """The data of a TOML text; floats become Decimal or Unusable. Raises Problem, which calls the text `name`."""
    import tomllib

    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        raise _broken_toml(name, text, str(error)) from None
    except RecursionError:
        raise _too_deep(name) from None
    except ValueError:  # int() refuses thousands of digits
        raise Problem(
            name,
            "A whole number in the file has thousands of digits.",
            "No answer is that large, so the file is damaged or mistyped.",
            "Look for the long number and put the figure as read in its place.",
        ) from None


def _broken_toml(name: str, text: str, message: str) -> Problem:
    found = _AT.match(message)
    said = found[1] if found else message
    lines = text.split("\n")
    if found and found[2]:
        line, column = int(found[2]), int(found[3])
    else:
        end = text.rstrip()
        line, column = end.count("\n") + 1, len(end) - end.rfind("\n")
    broken = lines[line - 1] if line <= len(lines) else ""
    where = f"{name}, line {line}, column {column}"
    if said.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate")):
        return Problem(where, f"A key is given twice: {shorten(broken)}", TWICE, _KEEP_ONE)
    fix = WRITE
    if re.search(r"=\s*[0-9]+,[0-9]", broken):
        fix = "Write the decimal sign as a point: 2.5, not 2,5."
    what = f"This is not TOML: {said[:1].lower()}{shorten(said[1:])}, in the line: {shorten(broken) or '(empty)'}"
    return Problem(where, what, _TWO_WAYS, fix)


def parse_json(name: str, text: str) -> Any:
    """The data of a JSON text; numbers become int, Decimal or Unusable. Raises Problem, which calls the text `name`."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key, value in pairs:
            if key in result:
                raise Problem(f"{name}: {shorten(key)}", "This key is given twice.", TWICE, _KEEP_ONE)
            result[key] = value
        return result

    try:
        return json.loads(
            text, parse_float=_decimal, parse_int=_whole, parse_constant=_no_number, object_pairs_hook=once
        )
    except json.JSONDecodeError as error:
        raise Problem(
            f"{name}, line {error.lineno}, column {error.colno}",
            f"This is not JSON: {shorten(error.msg)}.",
            _TWO_WAYS,
            "Check quotes, commas and brackets near that place. (A file that begins with { is read as JSON.)",
        ) from None
    except RecursionError:
        raise _too_deep(name) from None


def _too_deep(name: str) -> Problem:
    return Problem(
        name, "The file is nested too deeply.", "An answers file has one table, answers, and no more levels.", WRITE
    )


def _decimal(text: str) -> Any:
    import decimal

    try:
        value = decimal.Decimal(text)
    except decimal.InvalidOperation:
        return Unusable("This number is beyond all bounds.")
    if not value.is_finite():
        return _no_number(text)
    if len(value.as_tuple().digits) > DIGITS or abs(value.adjusted()) > DIGITS:
        return Unusable(f"This number has more than {DIGITS} digits.")
    return value


def _whole(text: str) -> Any:
    return int(text) if len(text) <= DIGITS else Unusable(f"This number has more than {DIGITS} digits.")


def _no_number(text: str) -> Unusable:
    return Unusable(f"{shorten(text)} is not a number.")

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
    "Write each answer as name = value. Put text in double quotes, use a point in numbers (2.5), and write true or false "
    "for yes or no."
)
TWICE = "Only one of the two values can count, and it is not clear which."
_TWO_WAYS = "Spareway does not guess what a damaged file was meant to say."
_KEEP_ONE = "Keep one and delete the other."
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
            "No answer is that large. The file is damaged or mistyped.",
            "Find the long number and write the figure as you read it.",
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
        return Problem(where, f"This key appears twice: {shorten(broken)}", TWICE, _KEEP_ONE)
    fix = WRITE
    if re.search(r"=\s*[0-9]+,[0-9]", broken):
        fix = "Use a decimal point: 2.5, not 2,5."
    what = f"This is not TOML: {said[:1].lower()}{shorten(said[1:])}, in the line: {shorten(broken) or '(empty)'}"
    return Problem(where, what, _TWO_WAYS, fix)


def parse_json(name: str, text: str) -> Any:
    """The data of a JSON text; numbers become int, Decimal or Unusable. Raises Problem, which calls the text `name`."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key, value in pairs:
            if key in result:
                raise Problem(f"{name}: {shorten(key)}", "This key appears twice.", TWICE, _KEEP_ONE)
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
            "Check quotes, commas and brackets near that place. (Spareway reads a file that begins with { as JSON.)",
        ) from None
    except RecursionError:
        raise _too_deep(name) from None


def _too_deep(name: str) -> Problem:
    return Problem(
        name, "The file has too many levels.", "An answers file has one table, answers, and nothing inside it.", WRITE
    )


def _decimal(text: str) -> Any:
    import decimal

    try:
        value = decimal.Decimal(text)
    except decimal.InvalidOperation:
        return Unusable("This number is far too large or too small.")
    if not value.is_finite():
        return _no_number(text)
    if len(value.as_tuple().digits) > DIGITS or abs(value.adjusted()) > DIGITS:
        return Unusable(f"This number has more than {DIGITS} digits.")
    return value


def _whole(text: str) -> Any:
    return int(text) if len(text) <= DIGITS else Unusable(f"This number has more than {DIGITS} digits.")


def _no_number(text: str) -> Unusable:
    return Unusable(f"{shorten(text)} is not a number.")

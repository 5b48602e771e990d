"""Reading an answers file, from a file or from standard input, with errors that say where."""

from __future__ import annotations

import os
import re
import sys
import time

from checker.cli.client import Inputs
from checker.cli.formats import DIGITS, WRITE, Unusable, parse_json, parse_toml
from checker.terminal.display import shorten
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, BinaryIO, NoReturn

LIMIT = 1_000_000  # bytes; an answers file has some thousand
KEYS = ("pack", "edition", "as_of", "confirmed", "answers", "plan")  # a plan is for `spareway plan` alone
SCENARIO_KEYS = ("title", "story", "expect")  # a worked case is an answers file too; these are not for us
_NOTHING = "Without answers there is nothing to judge."
_FIGURE = "Write the figure as you read it."


class AnswersFile:
    """The text of an answers file and what it holds. Raises Problem for whatever is wrong with it."""

    def __init__(self, name: str, text: str) -> None:
        self.name, self.text = name, text
        self.is_json = text.lstrip().startswith("{")
        self.data = parse_json(name, text) if self.is_json else parse_toml(name, text)

    def place(self, path: str) -> str:
        """Where `path` ("answers.breaker_rating_a") stands: the file, the line if one is found, and the path."""
        key = re.escape(path.rsplit(".", 1)[-1])
        pattern = rf'"{key}"\s*:' if self.is_json else rf'^[ \t]*(?:answers\.)?"?{key}"?[ \t]*='
        found = re.search(pattern, self.text, re.MULTILINE)
        if not found:
            return f"{self.name}: {path}"
        return f"{self.name}, line {self.text.count(chr(10), 0, found.start()) + 1}: {path}"

    def _refuse(self, path: str, what: str, why: str, fix: str) -> NoReturn:
        raise Problem(self.place(path) if path else self.name, what, why, fix)

    def inputs(self) -> Inputs:
        """The case in the file: its shape is checked here, its meaning by the core."""
        data = self.data
        self._check_keys(data)
        answers = data.get("answers")
        if answers is None:
            fix = 'Put them under "answers".' if self.is_json else "Put them under a line that says [answers]."
            self._refuse("", "The file has no table of answers.", _NOTHING, fix)
        if not isinstance(answers, dict):
            self._refuse("answers", "This is not a table.", "Each answer needs its question's id.", WRITE)
        for key in ("pack", "edition"):
            if data.get(key) is not None and not isinstance(data[key], str):
                self._refuse(key, "This is not text.", f"It names the {key} to judge by.", "Write it in double quotes.")
        confirmed = data.get("confirmed", [])
        if not isinstance(confirmed, list) or not all(isinstance(cell, str) for cell in confirmed):
            self._refuse(
                "confirmed",
                "This is not a list of table cells.",
                "Each entry names one figure that your own copy confirms.",
                'Write the cell ids as the report shows them: ["table/row/column"].',
            )
        return Inputs(
            data.get("pack") or "",
            self._date(data.get("as_of")),
            {key: self._value(f"answers.{shorten(key)}", value) for key, value in answers.items()},
            data.get("edition"),
            confirmed,
        )

    def _check_keys(self, data: dict[str, Any]) -> None:
        for key, value in data.items():
            if key in KEYS or key in SCENARIO_KEYS:
                continue
            fix = "Delete the key, or correct its name."
            if not isinstance(value, dict):
                fix = "If it is an answer, move it under [answers]. If not, delete it or correct its name."
            self._refuse(
                shorten(key),
                "The top of an answers file has no such key.",
                "Ignoring it could hide an answer that matters.",
                f"{fix} You can use: {', '.join(KEYS)}.",
            )

    def _date(self, value: Any) -> str:
        """A TOML date as ISO text; text is left to the core; no date is an empty text."""
        if value is None or isinstance(value, str):
            return value or ""
        if type(value).__name__ == "date":  # isinstance would let a date with a time of day through
            return value.isoformat()
        return self._refuse(
            "as_of",
            "This is not a date.",
            "The date decides which edition applies and which figures are due for review.",
            "Write year, month and day: " + ('"2026-11-25".' if self.is_json else "2026-11-25."),
        )

    def _value(self, path: str, value: Any) -> Any:
        """One answer as the core takes it; a decimal number as text, digit for digit."""
        if value is None or isinstance(value, (str, bool)):
            return value  # null is for the core to refuse
        if isinstance(value, Unusable):
            self._refuse(path, value.what, "Spareway cannot compare it with a limit.", _FIGURE)
        if isinstance(value, int):
            if abs(value) < 10**DIGITS:
                return value
            self._refuse(path, f"This number has more than {DIGITS} digits.", "No answer is that large.", _FIGURE)
        if hasattr(value, "as_tuple"):  # a Decimal
            return format(value, "f")
        kind = {"list": "a list", "dict": "a table"}.get(type(value).__name__, "a date or a time")
        return self._refuse(path, f"This is {kind}, not a single answer.", "A question takes one value.", WRITE)


def read(path: str, stdin: BinaryIO | None = None) -> AnswersFile:
    """Read an answers file; "-" is standard input."""
    name = "standard input" if path == "-" else shorten(path, 200)
    return AnswersFile(name, _text(name, _bytes(path, name, stdin)))


def _bytes(path: str, name: str, stdin: BinaryIO | None) -> bytes:
    try:
        if path == "-":
            if stdin is None and sys.stdin is None:
                raise OSError("it is closed")
            return (stdin or sys.stdin.buffer).read(LIMIT + 1)
        if os.path.isdir(path):
            raise IsADirectoryError
        with open(path, "rb") as file:
            return file.read(LIMIT + 1)
    except FileNotFoundError:
        what, fix = "There is no such file.", "Check the name and the folder. `spareway ask --save FILE` makes one."
    except IsADirectoryError:
        what, fix = "This is a folder, not a file.", "Name a file in it."
    except PermissionError:
        what, fix = "You do not have permission to read this file.", "Change its permissions, or make a copy."
    except (OSError, ValueError) as error:  # ValueError: NUL in the name
        what = f"Spareway cannot read this: {shorten(getattr(error, 'strerror', None) or error)}."
        fix = "Check the name, or copy the file to another place."
    raise Problem(name, what, _NOTHING, fix)


def _text(name: str, data: bytes) -> str:
    if len(data) > LIMIT:
        raise Problem(
            name,
            "The file is larger than 1 MB.",
            "An answers file has a few thousand characters, so this is something else.",
            "Name your answers file.",
        )
    try:
        if b"\0" not in data:
            return data.decode("utf-8-sig")
        bad = data.index(b"\0")
    except UnicodeDecodeError as error:
        bad = error.start
    line = data.count(b"\n", 0, bad) + 1
    raise Problem(
        f"{name}, line {line}",
        "This is not text in UTF-8.",
        "Answers must be plain text. Spareway cannot read pictures, spreadsheets or text in another encoding.",
        "Name your answers file, or save it again as plain text in UTF-8.",
    )


def today() -> str:
    """Today's date here, as ISO text."""
    return time.strftime("%Y-%m-%d")

"""The table `plan` of an answers file, turned into what the core takes."""

from __future__ import annotations

import re

from checker.cli.formats import DIGITS, Unusable
from checker.terminal.display import shorten
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from checker.cli.files import AnswersFile

_WRITE = 'Write times as "06:30" or 06:30:00, numbers with a point, lists in square brackets.'
_ENTRY = re.compile(r"plan\.(programme|tariff) (\d+)(?:\.(\w+))?\Z")


def read_plan(file: AnswersFile) -> dict[str, Any]:
    """The plan in the file, its values as the core takes them. Raises Problem."""
    plan = file.data.get("plan")
    if not isinstance(plan, dict):
        fix = (
            'Put it under "plan".'
            if file.is_json
            else "Put it under [plan], and each programme under [[plan.programme]]."
        )
        raise Problem(
            file.name, "The file has no table for a plan.", "Without programmes there is nothing to plan.", fix
        )
    return {key: _value(file, f"plan.{shorten(key)}", value) for key, value in plan.items()}


def _value(file: AnswersFile, path: str, value: Any) -> Any:
    if value is None or isinstance(value, (str, bool)):
        return value
    if isinstance(value, dict):
        return {key: _value(file, f"{path}.{shorten(key)}", inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_value(file, f"{path} {number}", inner) for number, inner in enumerate(value, 1)]
    if isinstance(value, Unusable):
        raise Problem(
            place(file, path), value.what, "Spareway cannot compute with it.", "Write the figure as you read it."
        )
    if isinstance(value, int) and abs(value) < 10**DIGITS:
        return value
    if hasattr(value, "as_tuple"):  # a Decimal: as text, digit for digit
        return format(value, "f")
    if type(value).__name__ == "time" and not value.second and not value.microsecond:
        return f"{value:%H:%M}"
    raise Problem(place(file, path), "A plan cannot use this value.", "A plan holds times, numbers and words.", _WRITE)


def place(file: AnswersFile, path: str) -> str:
    """Where a path of the plan stands: the file, the line if one is found, and the path."""
    found = _ENTRY.match(path)
    if not found or file.is_json:
        return file.place(path)
    heads = list(re.finditer(rf"^[ \t]*\[\[[ \t]*plan[ \t]*\.[ \t]*{found[1]}[ \t]*\]\]", file.text, re.MULTILINE))
    number = int(found[2])
    if number > len(heads):
        return f"{file.name}: {path}"
    start = heads[number - 1]
    rest = re.compile(r"^[ \t]*\[", re.MULTILINE).search(file.text, start.end())
    end = rest.start() if rest else len(file.text)
    key = (
        re.compile(rf"^[ \t]*{found[3]}[ \t]*=", re.MULTILINE).search(file.text, start.end(), end) if found[3] else None
    )
    line = file.text.count("\n", 0, (key or start).start()) + 1
    return f"{file.name}, line {line}: {path}"

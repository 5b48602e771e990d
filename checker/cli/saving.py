"""Writing an answers file that `spareway check` and `spareway ask --from` read."""

from __future__ import annotations

import json
import os
import re

from checker.cli.replies import answer_shown
from checker.terminal.display import clean, shorten
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from checker.cli.client import Inputs

_PLAIN_NUMBER = re.compile(r"[+-]?(0|[1-9][0-9]*)(\.[0-9]+)?\Z")


def answers_toml(inputs: Inputs, questions: list[dict[str, Any]], dated: bool = False) -> str:
    """The case as TOML, each answer below its question. `dated`: keep the date, so that it is judged as of then."""
    known = {question["id"]: question for question in questions}
    lines = ["# Answers for `spareway check`. Change what you like.", f"pack = {_text(inputs.pack)}"]
    if inputs.edition:
        lines.append(f"edition = {_text(inputs.edition)}")
    if dated:
        lines.append(f"as_of = {_text(inputs.as_of)}")
    if inputs.confirmed:
        lines.append(f"confirmed = [{', '.join(map(_text, inputs.confirmed))}]")
    lines += ["", "[answers]"]
    for key, value in inputs.answers.items():
        question = known.get(key)
        if question:
            lines.append(f"# {clean(question['text'])} {clean(answer_shown(question, value))}")
        lines.append(f"{key} = {_value(value, question)}")
    return "\n".join(lines) + "\n"


def _value(value: Any, question: dict[str, Any] | None) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if question and question["kind"] == "number" and _PLAIN_NUMBER.match(value):
        return value
    return _text(value)


def _text(value: str) -> str:
    # JSON's escapes are TOML's, but for DEL, which TOML wants escaped as well.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def check_place(path: str, may_replace: bool = False, what: str = "answers") -> None:
    """Raise Problem unless a new file can stand at `path`: better before the questions than after them."""
    folder = os.path.dirname(path) or "."
    if os.path.isdir(path) or (os.path.lexists(path) and not may_replace):
        wrong, fix = "Something with this name is already there.", "Choose another name, or move the old file."
    elif not os.path.isdir(folder):
        wrong, fix = "There is no such folder.", "Make the folder, or choose another."
    elif not os.access(folder, os.W_OK):
        wrong, fix = "You do not have permission to write in this folder.", "Choose another folder."
    else:
        return
    raise Problem(shorten(path, 200), wrong, f"Spareway would save your {what} there.", fix)


def save(path: str, text: str, may_replace: bool = False, what: str = "answers") -> None:
    """Write `text` to `path` whole or not at all, line ends as they are. Raises Problem."""
    check_place(path, may_replace, what)
    part = f"{path}.part"
    try:
        with open(part, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        os.replace(part, path)
    except (OSError, ValueError) as error:
        raise Problem(
            shorten(path, 200),
            f"Spareway could not save the {what}: {shorten(getattr(error, 'strerror', None) or error)}.",
            "Without a file, they are lost.",
            "Choose another folder.",
        ) from None

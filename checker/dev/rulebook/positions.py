"""Faults for an editor: the file, the line, what, why, fix."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from checker.dev.rulebook.faults import Fault

_WHERE = re.compile(r"(?P<file>[^:( ]+)(?::(?P<line>\d+))?(?: \((?P<item>[^)]+)\))?(?: at (?P<at>\S+))?")
_SHEET = re.compile(r"(?P<name>[\w-]+\.csv):(?P<line>\d+): ")
_LINE = re.compile(r"\(?at line (\d+)|\bline (\d+)\b")


def position(fault: Fault, root: Path) -> tuple[str, int, str]:
    """The file of a fault as named from `root` (the folder above rules/), the line in it from 1, and what is wrong."""
    told = _WHERE.match(fault.where)
    file, line, what = (told["file"], int(told["line"] or 0), fault.what) if told else (fault.where, 0, fault.what)
    sheet = _SHEET.match(what)
    if sheet:  # the compiler names the table and, in its words, the line of the sheet
        file, line, what = f"{Path(file).parent.as_posix()}/{sheet['name']}", int(sheet["line"]), what[sheet.end() :]
    if not line and told and (root / file).is_file():
        line = _line_in(
            (root / file).read_text("utf-8", "replace").splitlines(),
            (told["item"] or "").rpartition("/")[2],
            told["at"],
            what,
        )
    return file, max(line, 1), what


def _line_in(lines: list[str], item: str, at: str | None, what: str) -> int:
    """The line a person would look at: the one the parser names, else the key or word that is wrong, else the item's id."""
    named = _LINE.search(what)
    if named:
        return int(named[1] or named[2])
    start = next((n for n, line in enumerate(lines, 1) if item and re.match(rf'id\s*=\s*"{re.escape(item)}"', line)), 0)
    key = re.match(r"(?:say\.)?([\w-]+):? ", what)
    words = [f"{key[1]} ="] if key and (":" in what[: key.end()] or what.startswith("say.")) else []
    words += [f"{part} =" for part in reversed((at or "").split(".")) if part and not part.isdigit()]
    words += [word.strip("'") for word in re.findall(r"'[^']+'|\{\w+\}", what)]
    for word in words:
        # Texts and sources stand many in a file: what is wrong stands behind their id.
        for number in range(max(start, 1), len(lines) + 1):
            if word in lines[number - 1]:
                return number
    return start


def as_json(fault: Fault, root: Path, severity: str = "error") -> dict[str, Any]:
    """A fault as one object for an editor."""
    file, line, what = position(fault, root)
    return {"file": file, "line": line, "severity": severity, "what": what, "why": fault.why, "fix": fault.fix}

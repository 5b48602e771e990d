"""`spareway rules lint`: faults and warnings for people and for editors."""

from __future__ import annotations

import json
from argparse import Namespace
from pathlib import Path

from checker.dev.maintain import day
from checker.dev.rulebook import lint, rulefiles
from checker.dev.rulebook.faults import Fault, counted
from checker.dev.rulebook.lint_notices import notices
from checker.dev.rulebook.positions import as_json, position
from checker.dev.rulebook.rulefiles import read_once
from checker.terminal import output
from checker.terminal.problem import Problem


def run(options: Namespace) -> int:
    """Lints every rule set and tells what is wrong below PATH; a folder that holds `base` is linted in place of rules/."""
    (rules, below), as_of = _scope(options.path), day(options.as_of)
    with read_once():
        faults, warned = lint.lint(rules), notices(as_of, rules)
    shown = {"error": _below(faults, below, rules), "warning": _below(warned, below, rules)}
    if options.json:
        held = [as_json(fault, rules.parent, severity) for severity, some in shown.items() for fault in some]
        output.write_utf8(json.dumps(held, ensure_ascii=False, indent=1) + "\n")
        return 1 if shown["error"] else 0
    for severity, some in shown.items():
        for fault in some:
            output.write(_told(fault, severity, rules.parent))
    elsewhere = len(faults) - len(shown["error"])
    output.write(
        f"{counted(len(shown['error']), 'fault')}, {counted(len(shown['warning']), 'warning')}"
        + (f"; {counted(elsewhere, 'fault')} elsewhere" if elsewhere else "")
        + "\n"
    )
    return 1 if shown["error"] else 0


def _told(fault: Fault, severity: str, root: Path) -> str:
    file, line, what = position(fault, root)
    return f"{file}:{line}: {severity}: {what}\n    why it matters: {fault.why}\n    how to fix: {fault.fix}\n"


def _scope(path: str | None) -> tuple[Path, Path | None]:
    if path is None:
        return rulefiles.RULES, None
    given = Path(path).resolve()
    if not given.exists():
        raise Problem(
            path, "There is no such file or folder.", "Nothing was checked.", "Name a file or folder in rules/."
        )
    if (given / "base" / "pack.toml").exists():
        return given, None
    for above in given.parents:
        if (above / "base" / "pack.toml").exists():
            return above, given
    raise Problem(path, "It is not in rules/.", "Nothing was checked.", "Name a file or folder in rules/.")


def _below(faults: list[Fault], below: Path | None, rules: Path) -> list[Fault]:
    if below is None:
        return faults
    return [
        f for f in faults if (rules.parent.resolve() / position(f, rules.parent)[0]).resolve().is_relative_to(below)
    ]

"""What `spareway rules` does, one module a command; `checker.cli.rules` reads the arguments."""

from __future__ import annotations

import importlib
import re
from argparse import Namespace
from datetime import date, datetime

from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.faults import RuleFaults
from checker.terminal.problem import Problem

_MODULES = {
    "lint": "lint",
    "new": "new",
    "diff": "diff",
    "why": "why",
    "due": "due",
    "import": "import_",
    "export": "export",
}


def run(options: Namespace) -> int:
    """The command `options.do`; its exit code."""
    if not (rulefiles.RULES / "base" / "pack.toml").exists():
        raise Problem(
            "this copy of Spareway",
            "There is no folder rules/ with the rule files.",
            "This command works on those files.",
            "Run it in a checkout of the source.",
        )
    try:
        return importlib.import_module(f"checker.dev.maintain.{_MODULES[options.do]}").run(options)
    except RuleFaults as wrong:
        first, more = wrong.faults[0], len(wrong.faults) - 1
        rest = f" ({more} more: spareway rules lint)" if more else ""
        raise Problem(first.where, f"{first.what}{rest}", first.why, first.fix) from None


def day(given: str | None) -> str:
    """A date of the command line as ISO text, today when none is given. Raises Problem."""
    if given is None:
        return datetime.now().astimezone().date().isoformat()
    try:
        if re.fullmatch(r"\d{4}-\d\d-\d\d", given):
            return date.fromisoformat(given).isoformat()
    except ValueError:
        pass
    raise Problem(
        "the command line",
        f"{given} is not a date.",
        "Whether a figure is stale depends on the day.",
        "Write it as 2026-11-25.",
    )

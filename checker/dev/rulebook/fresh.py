"""Compiles the packs of a checkout when a rule file or the compiler is newer, so that nobody judges by yesterday's table.

Every start of the command in a checkout comes through here: it imports nothing heavy unless something has to be compiled.
"""

from __future__ import annotations

import os

_CHECKER = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
_PACKS = os.path.join(_CHECKER, "packs")
_RULES = os.path.join(os.path.dirname(_CHECKER), "rules")
# What makes packs from rules: the compiler, and the core, whose quantities it checks names and units against.
_MAKERS = (os.path.dirname(os.path.abspath(__file__)), os.path.join(_CHECKER, "core"))


def refresh() -> None:
    """Compiles when a pack is missing or older than what it is made from. Raises `RuleFaults` for a wrong rule file."""
    if not os.path.isdir(_RULES):
        return
    compiled = [entry.stat().st_mtime_ns for entry in os.scandir(_PACKS) if entry.name.endswith(".json")]
    # Equal age counts as older: file clocks tick more slowly than programs write.
    if not compiled or min(compiled) <= max(map(_newest, (_RULES, *_MAKERS))):
        from checker.dev.rulebook.compile import write_packs

        write_packs()


def _newest(folder: str) -> int:
    """The latest change below `folder`. Folders of rules count too, so that a deleted file is noticed."""
    newest = os.stat(folder).st_mtime_ns if folder.startswith(_RULES) else 0
    for entry in os.scandir(folder):
        if entry.name != "__pycache__":
            newest = max(newest, _newest(entry.path) if entry.is_dir() else entry.stat().st_mtime_ns)
    return newest

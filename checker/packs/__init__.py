"""The compiled packs as bytes.

An installed copy carries them. In a source checkout they are built from `rules/` when they are missing or older than
a rule file or the compiler, so that nobody ever judges by yesterday's table.
"""

from __future__ import annotations

import os

_HERE = os.path.dirname(__file__)
_RULES = os.path.join(os.path.dirname(os.path.dirname(_HERE)), "rules")
# What makes packs from rules: the compiler, and the quantities, whose names and units it checks.
_MAKERS = tuple(os.path.join(os.path.dirname(_HERE), part) for part in ("dev", "core"))


def names() -> tuple[str, ...]:
    """The compiled packs there are, each `<pack id>@<edition>`."""
    if _held:
        return tuple(_held)
    _refresh()
    return tuple(sorted(entry[:-5] for entry in os.listdir(_HERE) if entry.endswith(".json")))


def read(name: str) -> bytes:
    """The bytes of the compiled pack `name`. Raises `FileNotFoundError` for a name that `names` does not give."""
    if name in _held:
        return _held[name]
    with open(os.path.join(_HERE, f"{name}.json"), "rb") as file:
        return file.read()


_held: dict[str, bytes] = {}


def hold() -> None:
    """Keeps every pack in memory: a browser that puts back the memory of an earlier visit has no files."""
    _held.update({name: read(name) for name in names()})


_fresh = False


def _refresh() -> None:
    global _fresh
    if _fresh or not os.path.isdir(_RULES) or not os.path.isdir(_MAKERS[0]):
        return
    compiled = [entry.stat().st_mtime_ns for entry in os.scandir(_HERE) if entry.name.endswith(".json")]
    # Of equal age counts as older: clocks of file systems tick slower than programs write.
    if not compiled or min(compiled) <= max(map(_newest, (_RULES, *_MAKERS))):
        from checker.dev.rulebook.compile import write_packs

        write_packs()
    _fresh = True


def _newest(folder: str) -> int:
    """The latest change below `folder`. Folders of rules count too, so that a deleted file is noticed."""
    newest = os.stat(folder).st_mtime_ns if folder.startswith(_RULES) else 0
    for entry in os.scandir(folder):
        if entry.name != "__pycache__":
            newest = max(newest, _newest(entry.path) if entry.is_dir() else entry.stat().st_mtime_ns)
    return newest

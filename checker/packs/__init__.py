"""The compiled packs as bytes. An installed copy carries them; in a checkout `checker.dev.rulebook.fresh` keeps them new."""

from __future__ import annotations

import os

_HERE = os.path.dirname(__file__)


def names() -> tuple[str, ...]:
    """The compiled packs there are, each `<pack id>@<edition>`."""
    if _held:
        return tuple(_held)
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

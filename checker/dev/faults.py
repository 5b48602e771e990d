"""Faults in rule files, told so that a person who knows the code but not Python can mend them."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple


class Fault(NamedTuple):
    """`where` is a file, with a line or a key; then what is wrong, why it matters, how to fix it."""

    where: str
    what: str
    why: str
    fix: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}\n    why it matters: {self.why}\n    how to fix: {self.fix}"


class RuleFaults(Exception):
    """Everything that is wrong with the rule files, at once."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def place(path: Path, root: Path) -> str:
    """A file named from the top of the project."""
    try:
        return path.relative_to(root.parent).as_posix()
    except ValueError:
        pass
    # A copy of rules/ elsewhere: it is the folder that holds base.
    tops = (above.parent for above in path.parents if (above / "base" / "pack.toml").exists())
    top = next(tops, path.parent)
    return path.relative_to(top).as_posix()

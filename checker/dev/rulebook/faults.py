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


def counted(number: int, thing: str) -> str:
    """ "1 fault", "2 faults"."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def place(path: Path, root: Path) -> str:
    """A file named from the top of the project."""
    # By text: a lint asks tens of thousands of times, and Path.relative_to took half of it.
    top, whole = root.parent.as_posix().rstrip("/"), path.as_posix()
    if whole.startswith(f"{top}/"):
        return whole[len(top) + 1 :]
    # A copy of rules/ elsewhere: it is the folder that holds base.
    tops = (above.parent for above in path.parents if (above / "base" / "pack.toml").exists())
    return path.relative_to(next(tops, path.parent)).as_posix()

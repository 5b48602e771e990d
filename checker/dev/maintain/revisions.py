"""What a diff compares: rule sets by name, or every rule set of two revisions."""

from __future__ import annotations

import io
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.resolve import Head, heads
from checker.dev.rulebook.rulefiles import read_once
from checker.terminal.problem import Problem

NOW = "-"  # the files as they are now


class Pair(NamedTuple):
    """Two compiled rule sets under one title; None where there is none. `renamed`: they go by different names."""

    title: str
    old: dict[str, Any] | None
    new: dict[str, Any] | None
    renamed: bool = False


def pairs(old: str, new: str) -> Iterator[Pair]:
    """Each pair to compare. Raises Problem for what is neither rule set nor revision.

    Rule sets whose files are the same in both revisions are not compiled: one program makes the same of them.
    """
    here = heads(rulefiles.RULES)
    named = [_named(name, here) for name in (old, new)]
    if all(named):
        one, other = (_compiled(head, rulefiles.RULES) for head in named)
        yield Pair(f"{old} to {new}", one, other, renamed=True)
        return
    if any(named):
        raise Problem(
            "OLD and NEW",
            "One is a rule set and the other is not.",
            "The two cannot be compared.",
            "Name two rule sets or two revisions.",
        )
    with ExitStack() as held:
        tops = [rulefiles.RULES if name == NOW else held.enter_context(revision(name)) for name in (old, new)]
        yield from _of_revisions(tops[0], tops[1], f"{old} to {new}")


def _of_revisions(before: Path, after: Path, what: str) -> Iterator[Pair]:
    was, now = heads(before), heads(after)
    # One compiles for both what several rule sets share.
    with read_once():
        for name in sorted(was.keys() | now.keys()):
            old = was.get(name) or _edition_before(now[name], was)
            new = now.get(name)
            if old and new and name in was and _bytes(old, before) == _bytes(new, after):
                continue
            title = f"{name}, {what}" if name in was and new else f"{name}, {'new' if new else 'gone'} from {what}"
            if old and new and name not in was:
                title += f", against {old.name}"
            yield Pair(title, _compiled(old, before), _compiled(new, after), renamed=name not in was)


def _edition_before(head: Head, there: dict[str, Head]) -> Head | None:
    """The edition of the same region that was in force last before a new one begins."""
    earlier = [other for other in there.values() if other.id == head.id and other.valid_from <= head.valid_from]
    return max(earlier, key=lambda other: other.valid_from, default=None)


def _compiled(head: Head | None, rules: Path) -> dict[str, Any] | None:
    return head and compile_pack(head.path, rules)


def _bytes(head: Head, rules: Path) -> dict[str, bytes]:
    """Every file that the rule set is made of."""
    folders = (rules / "base", rules / head.path.relative_to(rules).parts[0], head.path)
    files = (path for folder in folders for path in folder.rglob("*") if path.is_file())
    return {
        path.relative_to(rules).as_posix(): path.read_bytes()
        for path in files
        if ("editions" not in path.relative_to(rules).parts or path.is_relative_to(head.path))
        and path.parent.name != "second"
    }


def _named(name: str, here: dict[str, Head]) -> Head | None:
    """The rule set named ID or ID@EDITION; without an edition the one that is newest."""
    wanted = [head for key, head in here.items() if name in (key, head.id)]
    return max(wanted, key=lambda head: head.valid_from or date.min, default=None)


@contextmanager
def revision(name: str) -> Iterator[Path]:
    """The rule files of a revision of Git, in a folder that is gone afterwards. Today's program compiles them."""
    git = shutil.which("git")
    if git is None:
        raise Problem(
            name, "Git is not installed.", "Only Git has the older files.", "Install it, or name two rule sets."
        )
    done = subprocess.run(
        [git, "archive", "--format=tar", "--end-of-options", name, "rules"],
        cwd=rulefiles.RULES.parent,
        capture_output=True,
        check=False,
    )
    if done.returncode:
        known = "to list them, run spareway packs or git log"
        raise Problem(
            name,
            "It is neither a rule set nor a revision with rule files.",
            "There is nothing to compare.",
            f"Name a rule set or a revision; {known}.",
        )
    with tempfile.TemporaryDirectory() as folder:
        with tarfile.open(fileobj=io.BytesIO(done.stdout)) as archive:
            archive.extractall(folder, filter="data")
        yield Path(folder).resolve() / "rules"

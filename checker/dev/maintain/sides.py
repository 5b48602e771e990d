"""The two sides of a diff: rule sets by name, or every rule set of two revisions."""

from __future__ import annotations

import io
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from ...cli.problem import Problem
from .. import rulefiles
from ..compile import compile_pack
from ..resolve import region_folders
from ..rulefiles import read_once

NOW = "-"  # the files as they are now


def sides(old: str, new: str) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    """A title and the compiled contents of each pair to compare. Raises Problem for what is neither pack nor revision."""
    here = _contents(rulefiles.RULES)
    named = [_pack(name, here) for name in (old, new)]
    if all(named):
        yield f"{old} to {new}", named[0], named[1]
        return
    if any(named):
        raise Problem(
            "OLD and NEW",
            "One is a rule set and the other is not.",
            "They cannot be compared.",
            "Name two rule sets or two revisions.",
        )
    with ExitStack() as held:
        before, after = (here if name == NOW else _contents(held.enter_context(_revision(name))) for name in (old, new))
    for name in sorted(before.keys() & after.keys()):
        yield f"{name}, {old} to {new}", before[name], after[name]


def _contents(rules: Path) -> dict[str, dict[str, Any]]:
    """Every pack below `rules` by `<id>@<edition>`."""
    with read_once():
        made = [compile_pack(path, rules, reach=False) for path in region_folders(rules)]
    return {f"{content['pack']['id']}@{content['pack']['edition']}": content for content in made}


def _pack(name: str, here: dict[str, dict[str, Any]]) -> dict[str, Any] | None:
    """The pack named ID or ID@EDITION; without an edition the one that is newest."""
    wanted = [c for key, c in here.items() if name in (key, c["pack"]["id"])]
    return max(wanted, key=lambda c: c["pack"]["valid_from"], default=None)


@contextmanager
def _revision(name: str) -> Iterator[Path]:
    """The rule files of a revision of Git, in a folder that is gone afterwards. Today's program compiles them."""
    git = shutil.which("git")
    if git is None:
        raise Problem(
            name, "Git is not installed.", "Only Git knows what the files were.", "Install it, or name two rule sets."
        )
    done = subprocess.run(
        [git, "archive", "--format=tar", "--end-of-options", name, "rules"],
        cwd=rulefiles.RULES.parent,
        capture_output=True,
        check=False,
    )
    if done.returncode:
        known = "spareway packs lists the rule sets, git log the revisions"
        raise Problem(
            name,
            "It is neither a rule set nor a revision with rule files.",
            "There is nothing to compare.",
            f"Look at what there is: {known}.",
        )
    with tempfile.TemporaryDirectory() as folder:
        with tarfile.open(fileobj=io.BytesIO(done.stdout)) as archive:
            archive.extractall(folder, filter="data")
        yield Path(folder) / "rules"

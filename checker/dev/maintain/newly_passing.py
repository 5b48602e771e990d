"""What stops CI: a rule that failed and now passes, with no named source behind the change.

Compared are the rule files as they are and those of the last release (the newest tag `v...` below HEAD). Before the first
release it is the state before the last commit that touched them. SPAREWAY_DIFF_BASE names another revision.
"""

from __future__ import annotations

import os
import subprocess

from checker.dev.maintain import diff
from checker.dev.maintain.revisions import NOW, pairs
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.faults import RuleFaults, counted
from checker.terminal.problem import Problem

# Fewer boundaries than a maintainer sees: every case as it stands counts first.
MOST_PATHS = 120


def main(arguments: list[str]) -> int:
    """Prints what newly passes; 1 when something does without a source, 0 otherwise. `--notes` prints the release note."""
    notes = arguments == ["--notes"]
    base = since(released_only=notes)
    if base is None:
        print(
            "There is no earlier release to compare with."
            if notes
            else "There are no earlier rule files to compare with."
        )
        return 0
    most = None if notes else MOST_PATHS
    try:
        found = [diff.compared(pair, None, True, most) for pair in pairs(base, NOW)]
    except (Problem, RuleFaults, KeyError, ValueError) as why:
        print(f"This version cannot read the rule files of {base}, so nothing was compared: {why!r}")
        print("Name a revision it can read: SPAREWAY_DIFF_BASE=... Or compare by hand with the older program.")
        # A release has to say what changed; in between the worked cases still hold every outcome.
        return 1 if notes else 0
    bad = sum(unsourced for _, unsourced in found)
    if notes:
        print("\n".join(text for text, _ in found if text) or "No rule set changed.")
    elif bad:
        print("\n".join(line for text, _ in found for line in text.splitlines() if "NO NAMED SOURCE" in line))
    if bad:
        print(f"Since {base}, {counted(bad, 'outcome')} went from failed to passed without a named source.")
        print(
            "    why it matters: we now let somebody through whom we stopped before, and nobody can say on whose word."
        )
        print("    how to fix: name a source and clause that somebody read, or undo the change.")
    elif not notes:
        print(f"Since {base}, no outcome went from failed to passed without a named source.")
    return 1 if bad else 0


def since(released_only: bool = False) -> str | None:
    """The revision to compare with; None without one, as in a source archive."""
    named = os.environ.get("SPAREWAY_DIFF_BASE")
    if named:
        return named
    tag = _git("describe", "--tags", "--abbrev=0", "--match", "v*")
    if tag or released_only:
        return tag
    last = _git("log", "--first-parent", "-1", "--format=%H", "--", "rules", ":(exclude,glob)rules/*/second/**")
    before = last and _git("rev-parse", "--short", "--verify", "--quiet", f"{last}^")
    # In a shallow copy the commit before may be missing.
    return before if before and _git("cat-file", "-e", f"{before}^{{tree}}") is not None else None


def _git(*arguments: str) -> str | None:
    try:
        done = subprocess.run(
            ["git", *arguments], cwd=rulefiles.RULES.parent, capture_output=True, text=True, check=False
        )
    except FileNotFoundError:
        return None
    return done.stdout.strip() if done.returncode == 0 else None

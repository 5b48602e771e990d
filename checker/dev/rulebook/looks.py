"""Looks: what one sees at once and confirms with one tap in the short form (table `[looks]` of a pack.toml)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from checker.dev.rulebook.faults import Fault, place
from checker.dev.rulebook.rulefiles import Folder

# More than five things under one tap and nobody reads each of them. `common practice, no source`.
MOST = 5


def look_of(folder: Folder, question: str) -> str | None:
    """The look that a question belongs to."""
    looks = folder.pack.get("looks", {})
    return next((look for look, questions in looks.items() if question in questions), None)


def looks(folder: Folder, _content: dict, rules: Path) -> Iterator[Fault]:
    """What is wrong with the looks of a resolved folder. A look may name questions that only other rule sets ask."""
    said, where = folder.pack.get("looks", {}), place(folder.path / "pack.toml", rules)
    twice = [name for name, count in Counter(q for questions in said.values() for q in questions).items() if count > 1]
    for name in twice:
        yield Fault(where, f"{name} stands in two looks", "Nobody knows which tap confirms it.", "Keep it in one look.")
    for look, questions in said.items():
        asked = [folder.items["question", name].data for name in questions if ("question", name) in folder.items]
        screens = {question.get("screen") for question in asked}
        if len(screens) > 1:
            yield Fault(
                where,
                f"the look {look} has questions of the screens {', '.join(sorted(map(str, screens)))}",
                "The short form goes from screen to screen, so they can't stand together.",
                "Move the question to another look, or give it another screen.",
            )
        if len(asked) > MOST:
            yield Fault(
                where,
                f"the look {look} has {len(asked)} questions; {MOST} is the most",
                "With more under one tap, nobody reads each of them.",
                "Take some out: each then has a tap of its own.",
            )
        if not asked:
            yield Fault(
                where,
                f"this rule set asks none of the questions in the look {look}",
                "The look has no effect.",
                "Correct the ids, or delete the look.",
            )

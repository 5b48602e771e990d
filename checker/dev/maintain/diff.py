"""`spareway rules diff`: what changed between two rule sets, and whose outcome changes by it."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from checker.dev.maintain import day
from checker.dev.maintain.changed import Change, changed
from checker.dev.maintain.outcomes import Outcome, outcomes
from checker.dev.maintain.revisions import Pair, pairs
from checker.dev.rulebook.faults import counted
from checker.terminal import output

MOST_CASES = 4  # named in one line; the rest is counted


def run(options: Namespace) -> int:
    """Tells the differences; 1 when an outcome goes from failed to passed and no named source stands behind it."""
    as_of = options.as_of and day(options.as_of)
    parts, bad = [], 0
    for pair in pairs(options.old, options.new):
        part, unsourced = compared(pair, as_of, options.markdown)
        parts += [part] if part else []
        bad += unsourced
    output.write("\n".join(parts) if parts else "Nothing differs.\n")
    if bad:
        output.write(f"\n{counted(bad, 'outcome')} went from failed to passed without a named source.\n")
    return 1 if bad else 0


def compared(pair: Pair, as_of: str | None, markdown: bool, most_paths: int | None = None) -> tuple[str, int]:
    """The differences of one pair as text, empty without any; and how many outcomes newly pass without a source.

    `most_paths`: see `outcomes`.
    """
    if pair.old is None or pair.new is None:
        return _come_or_gone(pair, markdown), 0
    changes = list(changed(pair.old, pair.new))
    found = outcomes(pair.old, pair.new, changes, as_of, most_paths)
    text = told(pair.title, changes, found, markdown) if changes or pair.renamed else ""
    return text, sum(outcome.unsourced for outcome in found)


def _come_or_gone(pair: Pair, markdown: bool) -> str:
    head = "## " if markdown else ""
    if pair.new is None:
        return f"{head}{pair.title}\n\nThis rule set is gone. A request that names it gets an error.\n"
    held: dict[str, Any] = pair.new
    cells = sum(len(table["cells"]) for table in held["tables"])
    preview = f" It is a preview: {held['pack']['preview']}" if held["pack"]["preview"] else ""
    return (
        f"{head}{pair.title}\n\nThis rule set is new: {counted(len(held['rules']), 'rule')}, {counted(cells, 'table cell')}. "
        f"It has no earlier edition to compare with.{preview}\n"
    )


def _alike(found: list[Outcome]) -> list[list[Outcome]]:
    """Outcomes of one rule that change in one way, in the order of the first of each."""
    alike: dict[tuple[str, str, str], list[Outcome]] = {}
    for outcome in found:
        alike.setdefault((outcome.rule, outcome.old, outcome.new), []).append(outcome)
    return list(alike.values())


def told(title: str, changes: list[Change], found: list[Outcome], markdown: bool) -> str:
    """The differences of one pair of rule sets as text."""
    head, item = ("## ", "- ") if markdown else ("", "  ")
    lines = [f"{head}{title}", "", f"{head and '### '}Changed items ({len(changes)})", ""]
    lines += [f"{item}{change}" for change in changes]
    lines += ["", f"{head and '### '}Changed outcomes ({len(found)})", ""]
    for same in _alike(found):
        outcome, more = same[0], f" and {len(same) - MOST_CASES} more" if len(same) > MOST_CASES else ""
        where = "; ".join(one.case.about for one in same[:MOST_CASES])
        by = ", ".join(f"{cause.kind} {cause.id}" for cause in outcome.causes[:4]) or "the outcomes of other rules"
        warn = " NO NAMED SOURCE." if outcome.unsourced else ""
        lines.append(f"{item}{outcome.rule}: {outcome.old} to {outcome.new} in {where}{more}. Cause: {by}.{warn}")
    if not found:
        lines.append(f"{item}None, in all cases and at the boundaries of what changed.")
    return "\n".join(lines) + "\n"

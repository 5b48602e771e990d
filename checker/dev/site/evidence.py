"""The page of evidence: every published example with our answer, and what is not decided and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import cache
from typing import Any

from checker.dev.cases.published import AGREES, APART, DIFFERS, REFUSED, Line, held, lines
from checker.dev.site.markdown import table

STATUS = {
    "published": "Read at the named place",
    "memory": "Recalled: the place is known, its figure was not seen",
    "own": "Our own arithmetic on a published rule",
    "wrong": "Published, and wrong",
}


def pages() -> Iterable[tuple[str, str]]:
    """The page, as (path below the reference folder, Markdown)."""
    yield "evidence.md", render(judged(), held().get("undecided", []))


@cache
def judged() -> list[Line]:
    """Every published figure beside what the checker says; asked once, for it takes half a minute."""
    return list(lines(held()))


def counts(found: list[Line]) -> Counter[tuple[str, str]]:
    """How many figures and verdicts there are, by group and result."""
    total: Counter[tuple[str, str]] = Counter()
    for line in found:
        total[line.group, line.result] += line.figures
    return total


def render(found: list[Line], undecided: list[dict[str, Any]]) -> str:
    """The page as Markdown."""
    total = counts(found)
    summary = [[STATUS[group], total[group, AGREES], total[group, DIFFERS], total[group, REFUSED], total[group, APART]]
               for group in STATUS]  # fmt: skip
    parts = [
        "# Evidence\n\nFigures and verdicts that others have published, beside what the checker gives for the same facts. "
        "The page is written by asking the checker; tests hold every line.\n",
        _table(["", "Agree", "Differ, with a reason", "Wrong, and refused", "Do not agree"], summary),
        f"Published examples that these rules do not decide: {len(undecided)}, each [with its reason](#not-decided).\n",
        "A figure that a source rounded is compared as that source rounded it. Inside, nothing is rounded before a comparison.\n",
    ]
    for group, title in STATUS.items():
        rows = [
            [line.source, line.published, line.compared, line.printed, line.ours, _verdict(line)]
            for line in found
            if line.group == group
        ]
        parts.append(f"## {title}\n\n" + _table(["Source", "It says", "Compared", "Printed", "Ours", "Result"], rows))
    parts.append(
        "## Not decided { #not-decided }\n\n"
        + _table(["Published", "Why it is not decided here"], ([u["source"], u["why"]] for u in undecided))
    )
    return "\n".join(parts)


def _verdict(line: Line) -> str:
    return f"{line.result}: {line.remark}" if line.remark else line.result


def _table(head: list[str], rows: Iterable[Iterable[Any]]) -> str:
    return table(head, [list(row) for row in rows])

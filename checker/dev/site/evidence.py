"""The page of evidence: every published example with our answer, and what is not decided and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import cache
from typing import Any

from checker.dev.cases.published import AGREES, APART, DIFFERS, REFUSED, Line, held, lines
from checker.dev.site.markdown import table

STATUS = {
    "published": "Read in the named source",
    "memory": "From memory: the source is known, but we did not see the figure",
    "own": "Our own arithmetic on a published rule",
    "wrong": "Published but wrong",
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
        "# Evidence\n\nFigures and verdicts that others have published, next to what the checker says about the same facts. "
        "The build asks the checker for each line, and tests hold it.\n",
        _table(["", "Agree", "Differ for a reason", "Wrong and refused", "Disagree"], summary),
        f"Published examples that these rules do not cover: {len(undecided)}, each [with its reason](#not-decided).\n",
        "If a source rounded its figure, we round ours the same way for the comparison. The checker itself never rounds first.\n",
    ]
    for group, title in STATUS.items():
        rows = [
            [line.source, line.published, line.compared, line.printed, line.ours, _verdict(line)]
            for line in found
            if line.group == group
        ]
        parts.append(f"## {title}\n\n" + _table(["Source", "It says", "Compared", "Printed", "Ours", "Result"], rows))
    parts.append(
        "## Not covered { #not-decided }\n\n"
        + _table(["Published", "Why these rules do not cover it"], ([u["source"], u["why"]] for u in undecided))
    )
    return "\n".join(parts)


def _verdict(line: Line) -> str:
    return f"{line.result}: {line.remark}" if line.remark else line.result


def _table(head: list[str], rows: Iterable[Iterable[Any]]) -> str:
    return table(head, [list(row) for row in rows])

"""The sources of a report: numbered in the order in which they are first used, and how well each is known."""

from __future__ import annotations

from checker.core.messages import PRACTICE, cited
from checker.terminal.blocks import Item, Listing, Paragraph, Section
from checker.terminal.units import with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

WEAK = ("one-source", "cross-checked", "practice", "memory", "conflict")  # the reader should confirm these

STATUS_WORDS = {
    "opened": "read in the document itself",
    "two-sources": "two sources agree",
    "derived": "worked out by a given formula",
    "one-source": "one source",
    "cross-checked": "from memory, two people agree",
    "practice": "common practice",
    "memory": "from memory",
    "conflict": "sources disagree",
}


_NO_CLAUSE = "trade practice"  # what rules write where there is no clause to name


class References:
    """Numbers for every source and clause that findings name; a star marks what should be confirmed."""

    def __init__(self, findings: list[dict[str, Any]]) -> None:
        self._titles = {source["id"]: source["title"] for finding in findings for source in finding["sources"]}
        self._statuses: dict[tuple[str, str], list[str]] = {}  # by source and clause, in order of first use
        self._cells: dict[str, tuple[dict[str, Any], int]] = {}

    def _number(self, source: str, clause: str | None, status: str) -> int:
        key = (source, "" if clause == _NO_CLAUSE else clause or "")
        known = self._statuses.setdefault(key, [])
        if status not in known:
            known.append(status)
        return list(self._statuses).index(key) + 1

    def mark(self, finding: dict[str, Any]) -> str:
        """Reference marks to put behind a sentence, " [1, 3*]", or nothing."""
        used: dict[int, bool] = {}

        def use(source: str, clause: str | None, status: str) -> int:
            number = self._number(source, clause, status)
            used[number] = used.get(number, False) or status in WEAK
            return number

        for source in finding["sources"]:
            use(source["id"], source["clause"], source["status"])
        for cell in finding["cells"]:
            self._cells[cell["id"]] = (cell, use(cell["source"], cell["clause"], cell["status"]))
        marks = ", ".join(f"{number}{'*' if weak else ''}" for number, weak in sorted(used.items()))
        return f" [{marks}]" if marks else ""

    def sections(self) -> list[Section]:
        """The list of sources, and the figures that were read from tables with the source of each."""
        entries = []
        for (source, clause), statuses in self._statuses.items():
            place = cited(self._titles.get(source, source), source, clause)
            # That common practice is common practice is said once.
            known = [STATUS_WORDS.get(s, s) for s in statuses if not (source == PRACTICE and s == "practice")]
            entries.append(Item(f"{place}{': ' if known else ''}{'; '.join(known)}{_star(statuses)}."))
        figures = [
            Item(f"{cell['id']} = {_value(cell)} [{number}{_star([cell['status']])}]")
            for cell, number in self._cells.values()
            if cell["value"] is not None
        ]
        sources: list[Any] = [Listing(entries, numbered=True)] if entries else []
        if any("*" in item.head for item in entries):
            sources.append(Paragraph("Confirm this in your own copy.", "*"))
        return [Section("Sources", sources), Section("Figures used", [Listing(figures)] if figures else [])]


def _value(cell: dict[str, Any]) -> str:
    """The figure with its unit; of a lower bound that it is one."""
    text = with_unit(cell["value"], cell["unit"])
    return f"{text} or more" if "most" in cell else text


def _star(statuses: list[str]) -> str:
    return "*" if any(status in WEAK for status in statuses) else ""

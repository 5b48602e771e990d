"""A document as Markdown, for pasting into a message or a ticket."""

from __future__ import annotations

import re

from checker.terminal.blocks import Code, Listing, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from checker.terminal.blocks import Document, Item, Section
    from checker.terminal.display import Display

_SPECIAL = re.compile(r"([\\`*_\[\]|~])")


def escape(line: str) -> str:
    """`line` without any meaning to Markdown or HTML: what an answers file holds must not become markup."""
    line = _SPECIAL.sub(r"\\\1", line)
    line = line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    # At the start of a line, these would make a heading or a list.
    return re.sub(r"^([0-9]*)([-+#.)])", r"\1\\\2", line)


def render(document: Document, display: Display) -> str:
    """The whole document, ending with a line break; only characters that the output can show."""

    def put(text: str) -> str:
        return escape(display.plain(text))

    parts = [f"# {put(document.word)}", put(document.text)]
    if document.reasons:
        parts.append("\n".join(f"- {put(reason)}" for reason in document.reasons))
    for section in document.sections:
        parts += _section(section, put, display)
    return "\n\n".join(parts) + "\n"


def _section(section: Section, put: Callable[[str], str], display: Display) -> list[str]:
    parts = [f"## {put(section.title)}"] if section.title else []
    for block in section.blocks:
        if isinstance(block, Table):
            parts.append(_table(block, put))
        elif isinstance(block, Listing):
            rows = [_item(i, f"{n}." if block.numbered else "-", put, display) for n, i in enumerate(block.items, 1)]
            parts.append("\n".join(rows))
        elif isinstance(block, Code):
            parts.append("\n".join(f"    {display.plain(line)}" for line in block.text.split("\n")))
        else:
            label = f"**{put(block.label)}** " if block.label else ""
            parts.append((label + put(block.text)).rstrip())
    return parts


def _item(item: Item, bullet: str, put: Callable[[str], str], display: Display) -> str:
    indent = " " * (len(bullet) + 1)
    mark = f"**{put(item.mark)}** " if item.mark else ""
    lines = [f"{bullet} {mark}{put(item.head)}"]
    lines += [f"{indent}{put(line)}" for line in item.lines]
    if item.code:
        lines.append(f"{indent}`{display.plain(item.code).replace('`', '')}`")
    return "  \n".join(lines)


def _table(block: Table, put: Callable[[str], str]) -> str:
    rows = [[put(cell) for cell in row] for row in (block.head, *block.rows)]
    rows.insert(1, ["---", *["---" if block.words else "---:"] * (len(block.head) - 1)])
    if block.marks:
        marks = ["", "---", *(f"**{put(mark)}**" for mark in block.marks)]
        rows = [[mark, *row] for mark, row in zip(marks, rows, strict=True)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)

"""A document as text for a terminal, 40 to 88 columns wide."""

from __future__ import annotations

import textwrap

from checker.terminal.blocks import Code, Item, Listing, Paragraph, Section, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from checker.terminal.blocks import Document
    from checker.terminal.display import Look

_COLOURS = {"stop": "red", "call": "red", "change": "yellow", "find-out": "yellow", "fits": "green"}
_MARK_COLOURS = {"ok": "green", "NO": "red", "?": "yellow", "!": "yellow"}
_GAP = 2  # blanks between columns
_LEAST = 16  # columns that the text column of a table keeps


def render(document: Document, look: Look) -> str:
    """The whole document, ending with a line break."""
    lines = box(document.headline, document.word, document.text, look)
    for reason in document.reasons:
        lines += look.wrap(reason, "  - ", "    ")
    for section in document.sections:
        lines += ["", look.style("bold", look.plain(section.title))] if section.title else [""]
        lines += _section(section, look)
    # The verdict once more: in a terminal, the top of a long report has gone by when it ends.
    last = look.wrap(document.text, f"{document.word}   ", "  ")
    last[0] = look.style(_COLOURS[document.headline], document.word) + last[0][len(document.word) :]
    return "\n".join([*lines, "", *last]) + "\n"


def box(headline: str, word: str, text: str, look: Look) -> list[str]:
    """A frame around the word of the verdict and its sentence."""
    colour = _COLOURS[headline]
    inside = look.wrap(text, f"{word}   ", " " * 2, less=4)
    wide = max(len(line) for line in inside)
    side, level = look.plain("│"), look.plain("─")
    corners = [look.plain(corner) for corner in "┌┐└┘"]
    lines = [look.style(colour, f"{corners[0]}{level * (wide + 2)}{corners[1]}")]
    for number, line in enumerate(inside):
        shown = line.ljust(wide)
        if number == 0:
            shown = look.style(colour, word) + shown[len(word) :]
        lines.append(f"{look.style(colour, side)} {shown} {look.style(colour, side)}")
    return [*lines, look.style(colour, f"{corners[2]}{level * (wide + 2)}{corners[3]}")]


def _section(section: Section, look: Look) -> list[str]:
    lines: list[str] = []
    for number, block in enumerate(section.blocks):
        if isinstance(block, Table):
            lines += ([""] if number else []) + _table(block, look)
        elif isinstance(block, Listing):
            lines += _listing(block, look)
        elif isinstance(block, Code):
            lines += block.text.splitlines()
        else:
            lines += _paragraph(block, look)
    return lines


def _paragraph(block: Paragraph, look: Look) -> list[str]:
    return look.wrap(f"{block.label} {block.text}", "  ", "    " if block.label else "  ")


def _listing(block: Listing, look: Look) -> list[str]:
    lines: list[str] = []
    digits = len(str(len(block.items)))
    for number, item in enumerate(block.items, 1):
        if block.numbered:
            lines += look.wrap(item.head, f"  {number:>{digits}}. ")
        elif item.mark:
            lines += _marked(item, look)
        else:
            lines += look.wrap(item.head, "  - ")
            lines += _under(item, look)
    return lines


def _marked(item: Item, look: Look) -> list[str]:
    lead = f"  {item.mark:<4}"
    first, *rest = look.wrap(item.head, lead)
    shown = "  " + look.style(_MARK_COLOURS[item.mark], item.mark) + first[2 + len(item.mark) :]
    return [shown, *rest, *_under(item, look, len(lead))]


def _under(item: Item, look: Look, indent: int = 4) -> list[str]:
    lines: list[str] = []
    for line in item.lines:
        lines += look.wrap(line, " " * indent)
    if item.code:
        # Not wrapped: it is there to be copied.
        lines.append(" " * indent + look.plain(item.code))
    return lines


def _table(block: Table, look: Look) -> list[str]:
    rows = [[look.plain(cell) for cell in row] for row in (block.head, *block.rows)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(block.head))]
    indent = 6 if block.marks else 2
    room = look.width - indent - sum(widths[1:]) - _GAP * (len(widths) - 1)
    if room < _LEAST:
        return _stacked(block, look)
    widths[0] = min(widths[0], room)
    lines: list[str] = []
    marks = ["", *(block.marks or [""] * len(block.rows))]
    for row, mark in zip(rows, marks, strict=True):
        head = textwrap.wrap(row[0], widths[0], break_on_hyphens=False) or [""]
        values = "".join(" " * _GAP + value.rjust(width) for value, width in zip(row[1:], widths[1:], strict=True))
        lead = f"  {look.style(_MARK_COLOURS[mark], mark)}{' ' * (4 - len(mark))}" if mark else " " * indent
        shown = [f"{lead}{head[0].ljust(widths[0])}{values}".rstrip()]
        shown += [f"{' ' * indent}{line}" for line in head[1:]]
        lines += shown if lines else [look.style("dim", line) for line in shown]
    return lines


def _stacked(block: Table, look: Look) -> list[str]:
    """A table for a screen too narrow for its columns: the values below their text."""
    lines: list[str] = []
    for number, row in enumerate(block.rows):
        item = Item(row[0], ["  ".join(row[1:])], block.marks[number] if block.marks else "")
        lines += _listing(Listing([item]), look)
    return lines

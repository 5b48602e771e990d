"""A document as text for a terminal, 40 to 88 columns wide."""

from __future__ import annotations

import textwrap

from checker.terminal.blocks import Code, Item, Listing, Paragraph, Section, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from checker.terminal.blocks import Document
    from checker.terminal.display import Display

_COLOURS = {"stop": "red", "call": "red", "change": "yellow", "find-out": "yellow", "fits": "green"}
_MARK_COLOURS = {"ok": "green", "NO": "red", "?": "yellow", "!": "yellow"}
_GAP = 2  # blanks between columns
_LEAST = 16  # columns that the text column of a table keeps


def render(document: Document, display: Display) -> str:
    """The whole document, ending with a line break."""
    lines = box(document.headline, document.word, document.text, display)
    for reason in document.reasons:
        lines += display.wrap(reason, "  - ", "    ")
    for section in document.sections:
        lines += ["", display.style("bold", display.plain(section.title))] if section.title else [""]
        lines += _section(section, display)
    # The verdict once more: in a terminal, the top of a long report has gone by when it ends.
    last = display.wrap(document.text, f"{document.word}   ", "  ")
    last[0] = display.style(_COLOURS[document.headline], document.word) + last[0][len(document.word) :]
    return "\n".join([*lines, "", *last]) + "\n"


def box(headline: str, word: str, text: str, display: Display) -> list[str]:
    """A frame around the word of the verdict and its sentence."""
    colour = _COLOURS[headline]
    inside = display.wrap(text, f"{word}   ", " " * 2, less=4)
    wide = max(len(line) for line in inside)
    side, level = display.plain("│"), display.plain("─")
    corners = [display.plain(corner) for corner in "┌┐└┘"]
    lines = [display.style(colour, f"{corners[0]}{level * (wide + 2)}{corners[1]}")]
    for number, line in enumerate(inside):
        shown = line.ljust(wide)
        if number == 0:
            shown = display.style(colour, word) + shown[len(word) :]
        lines.append(f"{display.style(colour, side)} {shown} {display.style(colour, side)}")
    return [*lines, display.style(colour, f"{corners[2]}{level * (wide + 2)}{corners[3]}")]


def _section(section: Section, display: Display) -> list[str]:
    lines: list[str] = []
    for number, block in enumerate(section.blocks):
        if isinstance(block, Table):
            lines += ([""] if number else []) + _table(block, display)
        elif isinstance(block, Listing):
            lines += _listing(block, display)
        elif isinstance(block, Code):
            lines += block.text.splitlines()
        else:
            lines += _paragraph(block, display)
    return lines


def _paragraph(block: Paragraph, display: Display) -> list[str]:
    return display.wrap(f"{block.label} {block.text}", "  ", "    " if block.label else "  ")


def _listing(block: Listing, display: Display) -> list[str]:
    lines: list[str] = []
    digits = len(str(len(block.items)))
    for number, item in enumerate(block.items, 1):
        if block.numbered:
            lines += display.wrap(item.head, f"  {number:>{digits}}. ")
        elif item.mark:
            lines += _marked(item, display)
        else:
            lines += display.wrap(item.head, "  - ")
            lines += _under(item, display)
    return lines


def _marked(item: Item, display: Display) -> list[str]:
    lead = f"  {item.mark:<4}"
    first, *rest = display.wrap(item.head, lead)
    shown = "  " + display.style(_MARK_COLOURS[item.mark], item.mark) + first[2 + len(item.mark) :]
    return [shown, *rest, *_under(item, display, len(lead))]


def _under(item: Item, display: Display, indent: int = 4) -> list[str]:
    lines: list[str] = []
    for line in item.lines:
        lines += display.wrap(line, " " * indent)
    if item.code:
        # Not wrapped: it is there to be copied.
        lines.append(" " * indent + display.plain(item.code))
    return lines


def _table(block: Table, display: Display) -> list[str]:
    rows = [[display.plain(cell) for cell in row] for row in (block.head, *block.rows)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(block.head))]
    indent = 6 if block.marks else 2
    room = display.width - indent - sum(widths[1:]) - _GAP * (len(widths) - 1)
    if room < _LEAST:
        return _stacked(block, display)
    widths[0] = min(widths[0], room)
    lines: list[str] = []
    marks = ["", *(block.marks or [""] * len(block.rows))]
    for row, mark in zip(rows, marks, strict=True):
        head = textwrap.wrap(row[0], widths[0], break_on_hyphens=False) or [""]
        values = "".join(" " * _GAP + value.rjust(width) for value, width in zip(row[1:], widths[1:], strict=True))
        lead = f"  {display.style(_MARK_COLOURS[mark], mark)}{' ' * (4 - len(mark))}" if mark else " " * indent
        shown = [f"{lead}{head[0].ljust(widths[0])}{values}".rstrip()]
        shown += [f"{' ' * indent}{line}" for line in head[1:]]
        lines += shown if lines else [display.style("dim", line) for line in shown]
    return lines


def _stacked(block: Table, display: Display) -> list[str]:
    """A table for a screen too narrow for its columns: the values below their text."""
    lines: list[str] = []
    for number, row in enumerate(block.rows):
        item = Item(row[0], ["  ".join(row[1:])], block.marks[number] if block.marks else "")
        lines += _listing(Listing([item]), display)
    return lines

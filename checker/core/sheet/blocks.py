"""What a sheet is made of: sections of plain blocks, the same for paper, Markdown and the page.

A block is a dict with `kind`: `text` (text), `list` (items, numbered, boxes: to be ticked), `table` (head, rows; an empty
cell is room to write), `facts` (rows of two), `drawing` (svg, title, text), `code` (text). `label` heads it.
"""

from __future__ import annotations


def section(ident: str, title: str, *blocks: dict | None, page: bool = False) -> dict | None:
    """A section, None without blocks. `page`: begins a new page."""
    kept = [block for block in blocks if block]
    return {"id": ident, "title": title, "page": page, "blocks": kept} if kept else None


def text(content: str, label: str | None = None) -> dict:
    return {"kind": "text", "label": label, "text": content}


def listing(items: list[str], label: str | None = None, *, numbered: bool = False, boxes: bool = False) -> dict | None:
    return {"kind": "list", "label": label, "items": items, "numbered": numbered, "boxes": boxes} if items else None


def table(head: list[str], rows: list[list[str]], label: str | None = None) -> dict | None:
    return {"kind": "table", "label": label, "head": head, "rows": rows} if rows else None


def facts(rows: list[list[str]], label: str | None = None) -> dict | None:
    return {"kind": "facts", "label": label, "rows": rows} if rows else None


def drawing(drawn: dict, words_label: str) -> dict:
    return {
        "kind": "drawing",
        "label": drawn["title"],
        "svg": drawn["svg"],
        "text": drawn["text"],
        "text_label": words_label,
    }


def code(content: str, label: str | None = None) -> dict:
    return {"kind": "code", "label": label, "text": content}

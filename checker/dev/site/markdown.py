"""How the generated pages write: tables, words of a region in a template, and what a status means."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from checker.core.messages import put

STATUS_WORDS = {
    "opened": "somebody read the standard itself",
    "two-sources": "two independent sources agree",
    "derived": "worked out by a formula; a test works it out again",
    "one-source": "one source: confirm in your copy",
    "cross-checked": "from memory; a second person and physics agree: confirm in your copy",
    "practice": "common practice: confirm locally",
    "memory": "from memory: cannot give a pass until you confirm it",
    "conflict": "sources disagree: cannot give a pass",
}


def cell(text: Any) -> str:
    """Text for a table cell: one line, no bar that would end it."""
    return str(text).replace("|", "\\|").replace("\n", " ") or "–"


def table(head: list[str], rows: Iterable[list[Any]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + " - |" * len(head)]
    lines += ["| " + " | ".join(cell(value) for value in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


def filled(held: dict[str, Any], text: str) -> str:
    """A template as a reader sees it: words of the region put in, values named."""
    words = held["pack"]["words"]
    return put(text, lambda name: words.get(name, f"‹{name}›"), lambda _: False)


def edition_page(pack: dict[str, Any]) -> str:
    """The name of the page of a pack, such as `za-3`."""
    return f"{pack['id']}-{pack['edition'].lower().replace('.', '-').replace('+', '-')}"


def reference_folder(pack: dict[str, Any], packs: Iterable[dict[str, Any]]) -> str:
    """Where the reference pages of a pack stand: under its id for the youngest edition, else under id and edition."""
    editions = (other for other in packs if other["id"] == pack["id"])
    youngest = max(editions, key=lambda other: (other["valid_from"], other["edition"]))
    return pack["id"] if pack["edition"] == youngest["edition"] else edition_page(pack)


def span(pack: dict[str, Any]) -> str:
    return f"in force from {pack['valid_from']}" + (f" until {pack['valid_until']}" if pack["valid_until"] else "")

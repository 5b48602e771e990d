"""The editions of one region beside each other, for the page of the region: which items differ, and why."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from checker.dev.site.markdown import cell, edition_page, span, table

KINDS = {"rule": "rules", "question": "questions", "parameter": "parameters", "table": "tables"}


def section(held: dict[str, Any], own: dict, packs: list[dict[str, Any]]) -> str:
    """What stands beside `held`; `own` is what each folder of rules says itself, by pack id and edition."""
    beside = [other for other in packs if other["pack"]["id"] == held["pack"]["id"]]
    if len(beside) == 1:
        return "## Editions\n\nThis rule set has one edition.\n"
    rows = [
        [f"[{o['pack']['title']}]({edition_page(o['pack'])}.md)", o["pack"]["edition"], span(o["pack"])] for o in beside
    ]
    parts = [f"## Editions side by side\n\n{table(['Rule set', 'Edition', 'In force'], rows)}"]
    here = {(kind, item["id"]): item for kind, item in _items(held)}
    for other in beside:
        if other is not held:
            there = {(kind, item["id"]): item for kind, item in _items(other)}
            keys = sorted(here.keys() | there.keys())
            differs = [key for key in keys if _content(here.get(key)) != _content(there.get(key))]
            rows = [[kind, f"`{i}`", _why((kind, i), own, held, other)] for kind, i in differs]
            parts.append(f"### Compared with edition {cell(other['pack']['edition'])}\n")
            parts.append(table(["Kind", "Id", "Why"], rows) if rows else "No item differs.\n")
    return "\n".join(parts)


def _why(key: tuple[str, str], own: dict, *packs: dict[str, Any]) -> str:
    """The reason that one of two editions gives: the region's own is about the rule set below, not about editions."""
    both = [own[held["pack"]["id"], held["pack"]["edition"]] for held in packs]
    return next((one.reasons[key] for one in both if one.edition and key in one.reasons), "")


def _items(held: dict[str, Any]) -> Iterable[tuple[str, dict[str, Any]]]:
    for kind, key in KINDS.items():
        for item in held[key]:
            yield kind, item
    for section, items in held["texts"].items():
        for item in items:
            yield "text", {**item, "id": f"{section.replace('_', '-')}/{item['id']}"}


def _content(item: dict[str, Any] | None) -> Any:
    """An item without where it comes from: that differs between editions by itself."""
    return item and {key: value for key, value in item.items() if key != "origin"}

"""The items that differ between two compiled rule sets, tables cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

_WEAK = ("memory", "practice", "conflict")
# Where an item comes from, when it was looked at and what the build adds: no change for a reader.
_ASIDE = ("origin", "stale_after", "checked", "reach", "reads")


class Change:
    """One item that differs: kind, id, and the item in the old and the new rule set (None where it is not there)."""

    def __init__(self, kind: str, item_id: str, old: dict[str, Any] | None, new: dict[str, Any] | None) -> None:
        self.kind, self.id, self.old, self.new = kind, item_id, old, new

    @property
    def named(self) -> bool:
        """Whether a source with a place in it, better than recalled, stands behind the new state."""
        new = self.new or {}
        return (
            bool(new.get("source") and new.get("clause"))
            and new["source"] != "common-practice"
            and new.get("status") not in _WEAK
        )

    def __str__(self) -> str:
        state = "added" if self.old is None else "removed" if self.new is None else "changed"
        was, now = ((item or {}).get("value") for item in (self.old, self.new))
        value = f" ({now or was})" if now or was else ""
        if was != now and was is not None and now is not None:
            value = f" {was} to {now}"
        held = self.new or {}
        source = ""
        if held.get("source") and held.get("status"):
            source = f": {held['source']}, {held.get('clause') or 'no clause'}, {held['status']}"
        return f"{state} {self.kind} {self.id}{value}{source}"


def changed(old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    """Every item that differs."""
    before, after = dict(_items(old)), dict(_items(new))
    for key in sorted(before.keys() | after.keys()):
        if _bare(before.get(key)) != _bare(after.get(key)):
            yield Change(*key, before.get(key), after.get(key))


def _items(content: dict[str, Any]) -> Iterator[tuple[tuple[str, str], dict[str, Any]]]:
    for part, ahead in ((content, ""), (content["plan"], "plan/")):
        for kind in ("rule", "question"):
            yield from (((kind, item["id"]), item) for item in part[f"{kind}s"])
        for section, texts in part["texts"].items():
            yield from ((("text", f"{ahead}{section}/{item['id']}"), item) for item in texts)
    yield from ((("parameter", item["id"]), item) for item in content["parameters"])
    for table in content["tables"]:
        yield ("table", table["id"]), {key: value for key, value in table.items() if key != "cells"}
        for cell in table["cells"]:
            yield ("cell", f"{table['id']}/{'/'.join(cell['keys'])}"), cell


def _bare(item: dict[str, Any] | None) -> dict[str, Any] | None:
    return item and {key: value for key, value in item.items() if key not in _ASIDE}

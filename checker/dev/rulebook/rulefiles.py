"""Rule files as they stand: one folder of `rules/` read into items, nothing resolved yet.

An item is `Item(kind, id, data, path)`; `data` is what the TOML file says, a table with its CSV rows under `cells`.
"""

from __future__ import annotations

import csv
import hashlib
import json
import tomllib
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from checker.dev.checkout import ROOT
from checker.dev.rulebook.faults import Fault, RuleFaults, place

RULES = ROOT / "rules"
# Folder of items -> kind; each item is one file named like its id.
FOLDERS = {
    "questions": "question",
    "rules": "rule",
    "parameters": "parameter",
    "tables": "table",
    "hazards": "hazard",
    "pictures": "picture",
}
PLAN = "plan"  # the folder of a pack with the questions, rules and texts of the schedule
# Beside them `second/` holds second copies of tables: not read here, since no verdict rests on them.
CELL_COLUMNS = ("value", "source", "clause", "status", "checked", "note")


class Item(NamedTuple):
    kind: str
    id: str
    data: dict[str, Any]
    path: Path


class Folder(NamedTuple):
    """One pack's own files. `items` by (kind, id)."""

    path: Path
    pack: dict[str, Any]
    items: dict[tuple[str, str], Item]


def read_toml(path: Path) -> dict[str, Any]:
    """A TOML file with exact decimals. Raises `RuleFaults` naming the place."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as bad:
        raise RuleFaults(
            [
                Fault(
                    place(path, RULES),
                    f"cannot be read: {bad}",
                    "The whole file is left out.",
                    "Correct it at that place.",
                )
            ]
        ) from None


T = TypeVar("T")
_kept: dict[Hashable, Any] | None = None


@contextmanager
def read_once() -> Iterator[None]:
    """While it lasts each folder is read and each pack compiled once: neither the files nor what is made may change.

    One within another changes nothing: the outermost holds.
    """
    global _kept
    before, _kept = _kept, {} if _kept is None else _kept
    try:
        yield
    finally:
        _kept = before


def once(what: Hashable, make: Callable[[], T]) -> T:
    """`make()`, or what it gave for the same `what` earlier within `read_once`."""
    if _kept is None:
        return make()
    if what not in _kept:
        _kept[what] = make()
    return _kept[what]


def read_folder(path: Path) -> Folder:
    """Everything in one folder of `rules/`. Raises `RuleFaults` for files that are not what their place says."""
    return once(("folder", path), lambda: _read_folder(path))


def _read_folder(path: Path) -> Folder:
    items: dict[tuple[str, str], Item] = {}

    def add(kind: str, item_id: str, data: dict, file: Path) -> None:
        if (kind, item_id) in items:
            raise _fault(
                file,
                f"the {kind} {item_id!r} is also in {place(items[kind, item_id].path, RULES)}",
                "Only one can count.",
                "Keep one.",
            )
        items[kind, item_id] = Item(kind, item_id, data, file)

    for folder, kind in FOLDERS.items():
        for file in sorted((path / folder).glob("*.toml")):
            data = read_toml(file)
            if data.get("id") != file.stem:
                raise _fault(
                    file,
                    f"the file holds the id {data.get('id')!r}",
                    "The build finds an item by its file name.",
                    f'Write id = "{file.stem}" or rename the file.',
                )
            if kind == "table":
                data["cells"] = read_cells(file, data)
            add(kind, file.stem, data, file)
    for file in sorted((path / "texts").glob("*.toml")):
        for item in read_toml(file).get("item", []):
            add("text", f"{file.stem}/{item.get('id')}", item, file)
    for file, kind, entries in (
        (path / "sources.toml", "source", "source"),
        (path / "phrases.toml", "phrase", "phrases"),
    ):
        if file.exists():
            held = read_toml(file).get(entries, [])
            for entry in held if isinstance(held, list) else [{"id": key, "text": text} for key, text in held.items()]:
                add(kind, str(entry.get("id")), entry, file)
    head = path / "pack.toml"
    # The items of a plan lie in a folder of the pack that has no head of its own.
    return Folder(path, {} if path.name == PLAN and not head.exists() else read_toml(head), items)


def read_cells(file: Path, table: dict) -> list[dict[str, Any]]:
    """The rows of a table's CSV, each with its `keys`, its line number, and every column by name."""
    axes = [axis["name"] for axis in table.get("axes", [])]
    sheet = file.with_suffix(".csv")
    if not sheet.exists():
        raise _fault(
            file, f"{sheet.name} is missing", "A table without cells decides nothing.", "Add the file next to it."
        )
    with sheet.open(encoding="utf-8", newline="") as held:
        rows = csv.DictReader(held, strict=True)
        if rows.fieldnames != [*axes, *CELL_COLUMNS]:
            raise _fault(
                sheet,
                f"the first line is {rows.fieldnames}",
                "The build reads columns by name.",
                f"Write: {','.join([*axes, *CELL_COLUMNS])}",
            )
        cells = []
        try:
            for row in rows:
                if None in row or None in row.values():
                    raise csv.Error(f"not {len(rows.fieldnames)} columns; put a text with a comma in quotes")
                cells.append(
                    {"keys": [row[axis] for axis in axes], "line": rows.line_num, **{c: row[c] for c in CELL_COLUMNS}}
                )
        except csv.Error as bad:
            raise _fault(
                sheet,
                f"line {rows.line_num}: {bad}",
                "Its values would land in the wrong columns.",
                "Correct the line.",
            ) from None
        return cells


def canonical(value: Any) -> str:
    """One text for equal content: sorted keys, decimals as digits, dates as ISO. What pins and hashes are made of."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"), default=as_text)


def as_text(value: Any) -> str:
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"rule files hold no {type(value).__name__}")


# What a question says for counsel alone: no limit rests on it, so it needs no pin, and an override inherits it.
COUNSEL = ("step", "change")


def pin(item: Item) -> str:
    """First eight of the sha256 of an item as its file says it (line numbers of cells and `COUNSEL` left out)."""
    # An override is asked for by every pack that stands on its folder; the item is kept with its pin, so its id is its own.
    return once(("pin", id(item.data)), lambda: (item, _pin(item)))[1]


def _pin(item: Item) -> str:
    data = {key: value for key, value in item.data.items() if key not in ("override", *COUNSEL)}
    if "cells" in data:
        data["cells"] = [{key: value for key, value in cell.items() if key != "line"} for cell in data["cells"]]
    return hashlib.sha256(canonical(data).encode()).hexdigest()[:8]


def _fault(path: Path, what: str, why: str, fix: str) -> RuleFaults:
    return RuleFaults([Fault(place(path, RULES), what, why, fix)])

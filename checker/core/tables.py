"""Look-ups in rule tables. A table never extrapolates and never guesses: outside its rows the answer is "no cell"."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .errors import PackFault
from .values import plain

Key = str | Decimal


class Cell(NamedTuple):
    """One figure (or word) of a table, one parameter, or the standing of a rule, with where it comes from."""

    id: str
    value: Decimal | str | None
    unit: str
    source: str
    clause: str
    status: str
    checked: str
    stale_after: str
    note: str

    @classmethod
    def of(cls, cell_id: str, row: dict, unit: str) -> Cell:
        value = row.get("value")
        number = isinstance(value, str) and row.get("type", "number") == "number"
        return cls(
            cell_id,
            Decimal(value) if number else value,
            unit,
            row["source"],
            row["clause"],
            row["status"],
            row["checked"],
            row["stale_after"],
            row.get("note", ""),
        )


class Axis(NamedTuple):
    name: str
    number: bool
    between: str
    below: str
    above: str
    keys: tuple[Key, ...]

    def row(self, key: Key) -> Key | None:
        """The row that answers for `key`, or None when the table has none."""
        if not self.number:
            return key if key in self.keys else None
        keys = self.keys
        if key in keys:
            return key
        if key < keys[0]:
            return keys[0] if self.below == "first" else None
        if key > keys[-1]:
            return keys[-1] if self.above == "last" else None
        if self.between == "next-up":
            return min(k for k in keys if k > key)
        if self.between == "next-down":
            return max(k for k in keys if k < key)
        return None


class Table:
    """Cells by the values of their axes."""

    def __init__(self, content: dict) -> None:
        self.id: str = content["id"]
        self.unit: str = content["unit"]
        self.look: str = content.get("look", "")  # where a figure that is not here is printed
        self.axes: list[Axis] = []
        self.cells: dict[tuple[Key, ...], Cell] = {}
        rows = content["cells"]
        for place, axis in enumerate(content["axes"]):
            number = axis["kind"] == "number"
            keys = {Decimal(row["keys"][place]) if number else row["keys"][place] for row in rows}
            ordered = tuple(sorted(keys)) if number else tuple(dict.fromkeys(row["keys"][place] for row in rows))
            self.axes.append(Axis(axis["name"], number, axis["between"], axis["below"], axis["above"], ordered))
        for row in rows:
            keys = tuple(Decimal(k) if axis.number else k for k, axis in zip(row["keys"], self.axes, strict=True))
            self.cells[keys] = Cell.of(
                f"{self.id}/{'/'.join(row['keys'])}", {**row, "type": content["value"]}, self.unit
            )

    def find(self, *keys: Key) -> Cell | None:
        """The cell for one key per axis (a choice, or a number in the axis' unit), or None."""
        if len(keys) != len(self.axes):
            raise PackFault(f"table {self.id} has {len(self.axes)} axes, asked with {len(keys)} keys")
        rows = tuple(axis.row(key) for axis, key in zip(self.axes, keys, strict=True))
        return None if None in rows else self.cells.get(rows)

    def name_of(self, *keys: Key) -> str:
        """How a missing cell is named in reasons: the id it would have."""
        return f"{self.id}/{'/'.join(k if isinstance(k, str) else plain(k) for k in keys)}"

"""Look-ups in rule tables. A table never extrapolates and never guesses: outside its rows the answer is "no cell"."""

from __future__ import annotations

from bisect import bisect_left
from decimal import Decimal
from itertools import product
from typing import Any, NamedTuple

from .errors import PackFault
from .spans import Span
from .values import plain

Key = str | Decimal


class Cell(NamedTuple):
    """One figure (or word) of a table, one parameter, or the standing of a rule, with where it comes from."""

    id: str
    value: Any  # Decimal, str, or None: what the kind of the table says
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
        return cls(
            cell_id,
            Decimal(value) if isinstance(value, str) and row.get("type", "number") == "number" else value,
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
        place = self.place(key)
        return None if place is None else self.keys[place]

    def place(self, key: Key) -> int | None:
        """The place of that row among the axis' rows."""
        keys = self.keys
        if not self.number:
            return keys.index(key) if key in keys else None
        place = bisect_left(keys, key)
        if place == len(keys):
            return place - 1 if keys and self.above == "last" else None
        if keys[place] == key:
            return place
        if place == 0:
            return 0 if self.below == "first" else None
        if self.between == "next-up":
            return place
        return place - 1 if self.between == "next-down" else None

    def rows(self, span: Span) -> list[Key | None]:
        """The rows that answer for the numbers of `span`; None among them where one of the numbers has no row."""
        low, high = self.row(span.low), self.row(span.high)
        if low is None or high is None or (self.between not in ("next-up", "next-down") and span.low != span.high):
            return [None]
        return [key for key in self.keys if low <= key <= high]  # type: ignore[operator]  # keys of one axis are of one kind


class Table:
    """Cells by the values of their axes."""

    def __init__(self, content: dict) -> None:
        self.id: str = content["id"]
        self.unit: str = content["unit"]
        self.look: str = content.get("look", "")  # where a figure that is not here is printed
        self.axes: list[Axis] = []
        self.names: tuple[str, ...] = tuple(axis["name"] for axis in content["axes"])
        self.cells: dict[tuple[Key, ...], Cell] = {}
        rows = content["cells"]
        for place, axis in enumerate(content["axes"]):
            number = axis["kind"] == "number"
            keys = {Decimal(row["keys"][place]) if number else row["keys"][place] for row in rows}
            ordered = tuple(sorted(keys)) if number else tuple(dict.fromkeys(row["keys"][place] for row in rows))
            self.axes.append(Axis(axis["name"], number, axis["between"], axis["below"], axis["above"], ordered))
        for row in rows:
            place_of = tuple(Decimal(k) if axis.number else k for k, axis in zip(row["keys"], self.axes, strict=True))
            self.cells[place_of] = Cell.of(
                f"{self.id}/{'/'.join(row['keys'])}", {**row, "type": content["value"]}, self.unit
            )

        # The same, by the places of the rows: a look-up hashes no number.
        self._grid = [self.cells.get(keys) for keys in product(*(axis.keys for axis in self.axes))]
        self._places = [
            (axis.place if axis.number else {key: place for place, key in enumerate(axis.keys)}.get, len(axis.keys))
            for axis in self.axes
        ]

    def find(self, *keys: Key) -> Cell | None:
        """The cell for one key per axis (a choice, or a number in the axis' unit), or None."""
        if len(keys) != len(self.axes):
            raise PackFault(f"table {self.id} has {len(self.axes)} axes, asked with {len(keys)} keys")
        at = axis = 0
        for place_of, rows in self._places:  # counting along is quicker here than a strict zip
            place = place_of(keys[axis])
            if place is None:
                return None
            at, axis = at * rows + place, axis + 1
        return self._grid[at]

    def between(self, *keys: Key | Span) -> list[Cell] | None:
        """Every cell that may answer where a key is only known by its bounds; None where one of them may be absent."""
        found: list[tuple[Key, ...]] = [()]
        for axis, key in zip(self.axes, keys, strict=True):
            rows = axis.rows(key) if isinstance(key, Span) else [axis.row(key)]
            found = [(*before, row) for before in found for row in rows]  # type: ignore[arg-type]  # checked above
        cells = [None if None in rows else self.cells.get(rows) for rows in found]
        return None if None in cells else cells  # type: ignore[return-value]

    def name_of(self, *keys: Key) -> str:
        """How a missing cell is named in reasons: the id it would have."""
        return f"{self.id}/{'/'.join(plain(k) if isinstance(k, Decimal) else str(k) for k in keys)}"

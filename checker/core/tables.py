"""Look-ups in rule tables. A table never extrapolates and never guesses: outside its rows the answer is "no cell"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from decimal import Decimal
from functools import cached_property
from typing import Any, NamedTuple

from checker.core.bounds import Span
from checker.core.errors import PackFault
from checker.core.values import plain

Key = str | Decimal
NEVER_FIRM = ("memory", "conflict")  # statuses that take a pass away whatever the date


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
    firm_until: str  # the last date on which a pass may rest on it unconfirmed; "" where its status allows none
    most: Decimal | None = None  # where the value is a lower bound: the printed figure is no more than this

    @classmethod
    def of(cls, cell_id: str, row: dict, unit: str, number: bool = True) -> Cell:
        value = row.get("value")
        return cls(
            cell_id,
            Decimal(value) if number and isinstance(value, str) else value,
            unit,
            row["source"],
            row["clause"],
            row["status"],
            row["checked"],
            row["stale_after"],
            row.get("note", ""),
            "" if row["status"] in NEVER_FIRM else row["stale_after"],
            Decimal(row["most"]) if "most" in row else None,
        )

    @property
    def upper(self) -> Any:
        """The most that the printed figure may be: the value itself, where it is no bound."""
        return self.value if self.most is None else self.most


class Axis(NamedTuple):
    name: str
    number: bool
    between: str
    below: str
    above: str
    keys: tuple[Key, ...]
    beyond: str = ""  # what holds of every figure beyond its last row: "lower" or "higher" than that of the last row

    @staticmethod
    def goes(axis: dict) -> str:
        """Where the figures go on the way to the last row, if between two rows the next one counts: "lower" or "higher"."""
        way = {"falls": "lower", "never-rises": "lower", "rises": "higher"}.get(axis["trend"], "")
        return way if axis["between"] == "next-up" else ""

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
        # Each cell by the places of its rows, so that a look-up hashes no number; plain until it is looked at.
        self._grid: list[Cell | dict | None] = [None]
        self._number: bool = content["value"] == "number"
        self._rows: list[dict] = content["cells"]
        at = [0] * len(self._rows)
        self._places: list[tuple[Callable[[Any], int | None], int]] = []
        for place, axis in enumerate(content["axes"]):
            number = axis["kind"] == "number"
            texts = dict.fromkeys(row["keys"][place] for row in self._rows)
            read = {text: Decimal(text) for text in texts} if number else dict(zip(texts, texts, strict=True))
            keys = tuple(sorted(set(read.values())) if number else texts)
            beyond = Axis.goes(axis) if self._number else ""
            made = Axis(axis["name"], number, axis["between"], axis["below"], axis["above"], keys, beyond)
            self.axes.append(made)
            found = {key: count for count, key in enumerate(keys)}
            self._places.append((made.place if number else found.get, len(keys)))
            places = {text: found[key] for text, key in read.items()}
            at = [before * len(keys) + places[row["keys"][place]] for before, row in zip(at, self._rows, strict=True)]
            self._grid *= len(keys)
        for where, row in zip(at, self._rows, strict=True):
            self._grid[where] = row

    @cached_property
    def cells(self) -> dict[tuple[Key, ...], Cell]:
        """Every cell by the keys of its rows, in the order of the data."""
        kinds = [Decimal if axis.number else str for axis in self.axes]
        keyed = [tuple(kind(key) for kind, key in zip(kinds, row["keys"], strict=True)) for row in self._rows]
        return {keys: self.find(*keys) for keys in keyed}  # type: ignore[misc]  # each is there

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
        cell = self._grid[at]
        if isinstance(cell, dict):
            cell_id = f"{self.id}/{'/'.join(cell['keys'])}"
            cell = self._grid[at] = Cell.of(cell_id, cell, self.unit, self._number)
        return cell

    def between(self, *keys: Key | Span) -> list[Cell] | None:
        """Every cell that may answer where a key is only known by its bounds; None where one of them may be absent."""
        found: list[tuple[Key, ...]] = [()]
        for axis, key in zip(self.axes, keys, strict=True):
            rows = axis.rows(key) if isinstance(key, Span) else [axis.row(key)]
            found = [(*before, row) for before in found for row in rows]  # type: ignore[arg-type]  # checked above
        cells = [None if None in rows else self.find(*rows) for rows in found]
        return None if None in cells else cells  # type: ignore[return-value]

    def last(self, *keys: Key | Span) -> tuple[Cell, str] | None:
        """The cell of the last row there is, where a key lies beyond it, and what holds of all figures beyond: "lower" or
        "higher". None where nothing is known of them."""
        for place, axis in enumerate(self.axes):
            if axis.beyond:
                along = [(row, self.find(*keys[:place], row, *keys[place + 1 :])) for row in axis.keys]  # type: ignore[arg-type]  # a span there is not known
                ends = [(row, cell) for row, cell in along if cell is not None]
                key = keys[place]
                if ends and (key.low if isinstance(key, Span) else key) > ends[-1][0]:  # type: ignore[operator]  # numbers
                    return ends[-1][1], axis.beyond
        return None

    def name_of(self, *keys: Key) -> str:
        """How a missing cell is named in reasons: the id it would have."""
        return f"{self.id}/{'/'.join(plain(k) if isinstance(k, Decimal) else str(k) for k in keys)}"

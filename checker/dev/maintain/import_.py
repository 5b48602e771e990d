"""`spareway rules import`: a table from a spreadsheet, size down, method across."""

from __future__ import annotations

import csv
import io
import json
import re
from argparse import Namespace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from checker.dev.maintain import day
from checker.dev.maintain.spreadsheet import Grid, table_named
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.rulefiles import CELL_COLUMNS, Folder, Item, read_folder
from checker.terminal import output
from checker.terminal.problem import Problem

_EMPTY = ("", "-", "–", "—", "n/a")
_FIELD = re.compile(r"(?P<value>.*?)\s*(?:\[(?P<status>[a-z-]+)\])?\Z", re.DOTALL)


def run(options: Namespace) -> int:
    """Takes the spreadsheet in. Raises Problem when it and the table do not go together, and then nothing is written."""
    folder, item = table_named(options.table)
    grid = _Filled(item, options)
    statuses = json.loads((rulefiles.RULES / "schema" / "table.schema.json").read_text("utf-8"))
    known = statuses["properties"]["cells"]["items"]["properties"]["status"]["enum"]
    _source(options.source, folder)
    told = grid.take(_rows(options.file), options, known)
    _write(item, grid.cells)
    output.write(f"{told}. Now run spareway rules lint, and type a second copy from another source (DEVELOPERS.md).\n")
    return 0


def _source(wanted: str, folder: Folder) -> None:
    held = {**read_folder(rulefiles.RULES / "base").items, **folder.items}
    if ("source", wanted) not in held:
        why = "Every figure needs a source."
        raise Problem(
            "--source", f"There is no source {wanted!r}.", why, "Add it to the rule set's sources.toml first."
        )


def _rows(file: str) -> list[list[str]]:
    """The lines of a CSV with commas, semicolons or tabs."""
    try:
        text = Path(file).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as bad:
        raise Problem(
            file, f"Spareway cannot read it: {bad}.", "Nothing was imported.", "Save the spreadsheet as CSV in UTF-8."
        ) from None
    first = text.partition("\n")[0]
    mark = max(";\t,", key=first.count)
    rows = [[field.strip() for field in row] for row in csv.reader(io.StringIO(text), delimiter=mark)]
    return [row for row in rows if any(row)]


class _Filled(Grid):
    """A grid whose cells are taken from a spreadsheet."""

    def take(self, rows: list[list[str]], options: Namespace, known: list[str]) -> str:
        """Lays the spreadsheet over the cells. Raises Problem for what is no key, no figure or no status."""
        if len(rows) < 2 or len(rows[0]) < 2:
            raise Problem(
                options.file,
                "It holds no table.",
                "Nothing was imported.",
                "Put the keys across in the first line and the keys down in the first column.",
            )
        checked, here = day(options.as_of), self.here()
        count = {"new": 0, "changed": 0, "as they were": 0, "left out": 0}
        count |= {"agree": 0, "IN CONFLICT": 0} if options.second else {}
        for line, row in enumerate(rows[1:], 2):
            if len(row) != len(rows[0]):
                raise Problem(
                    f"{options.file}, line {line}",
                    f"It has {len(row)} fields, the first line {len(rows[0])}.",
                    "Columns would slip.",
                    "Mend the line.",
                )
            for head, field in zip(rows[0][1:], row[1:], strict=True):
                where = f"{options.file}, line {line}, column {head}"
                across = head if self.across is None else self._key(self.across, head, where)
                keys = self.keys(self._key(self.down, row[0], where), across)
                found = here.get(tuple(keys))
                told = _FIELD.match(field)
                assert told is not None  # it takes any text
                value, status = told["value"], told["status"] or (found or {}).get("status") or options.status
                if value.lower() in _EMPTY:
                    count["left out"] += 1
                    self.cells = [cell for cell in self.cells if cell is not found]
                    continue
                value = self._value(value, where)
                if options.second and found:
                    count[_seconded(found, value, self._same(found["value"], value), options, checked, where)] += 1
                    continue
                same = found and self._same(found["value"], value)
                if not same:
                    status = told["status"] or options.status
                if status not in known:
                    raise Problem(
                        where,
                        f"{status!r} is not a status.",
                        "The status says how far to trust a figure.",
                        f"Use one of: {', '.join(known)}.",
                    )
                if same and found and status == found["status"]:
                    count["as they were"] += 1
                    continue
                count["changed" if found else "new"] += 1
                about = {
                    "source": options.source,
                    "clause": options.clause,
                    "status": status,
                    "checked": checked,
                    "note": options.note,
                }
                if found:
                    found.update(about, value=value)
                else:
                    self.cells.append({"keys": keys, "value": value, **about})
        return ", ".join(f"{number} {what}" for what, number in count.items())

    def _key(self, place: int, text: str, where: str) -> str:
        """A key as the table writes it: 2.5 mm², 2,5 and 2.50 are all 2.5."""
        if self.axes[place]["kind"] != "number":
            return text
        figure = re.match(r"[-+]?\d+(?:[.,]\d+)?", text)
        if figure is None:
            raise Problem(
                where, f"{text!r} is not a number.", f"It is a key of {self.axes[place]['name']}.", "Write its digits."
            )
        key = Decimal(figure[0].replace(",", "."))
        for cell in self.cells:
            if Decimal(cell["keys"][place]) == key:
                return cell["keys"][place]
        return format(key.normalize(), "f")

    def _value(self, text: str, where: str) -> str:
        if self.item.data["value"] != "number":
            return text
        try:
            number = Decimal(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)
        except InvalidOperation:
            number = Decimal("NaN")
        if not number.is_finite():
            raise Problem(
                where,
                f"{text!r} is not a number.",
                "A typing slip would become a limit.",
                "Write its digits, or - if there is no such cell.",
            )
        return format(number, "f")

    def _same(self, one: str, other: str) -> bool:
        return Decimal(one) == Decimal(other) if self.item.data["value"] == "number" else one == other


# What a second source can add nothing to.
_STRONG = ("opened", "two-sources", "derived", "conflict")


def _seconded(cell: dict[str, Any], value: str, agrees: bool, options: Namespace, checked: str, where: str) -> str:
    """Holds a second source's figure against a cell, whose value stays; in one word what came of it."""
    if cell["source"] == options.source:
        raise Problem(
            where,
            f"This figure already comes from {options.source!r}.",
            "One source read twice is still one source.",
            "Name another source, or leave out --second.",
        )
    said = f"{options.source}, {options.clause}, says {value}."
    cell["note"] = cell["note"] if said in cell["note"] else f"{cell['note']} {said}".strip()
    if not agrees:
        cell.update(status="conflict", checked=checked)
    elif cell["status"] not in _STRONG:
        cell.update(status="two-sources", checked=checked)
    return "agree" if agrees else "IN CONFLICT"


def _write(item: Item, cells: list[dict[str, Any]]) -> None:
    """The CSV of the table: rows that were there stay in their order and as they were, new ones follow."""
    held = io.StringIO()
    sheet = csv.writer(held, lineterminator="\n")
    sheet.writerow([*(axis["name"] for axis in item.data["axes"]), *CELL_COLUMNS])
    sheet.writerows([*cell["keys"], *(cell[column] for column in CELL_COLUMNS)] for cell in cells)
    item.path.with_suffix(".csv").write_text(held.getvalue(), encoding="utf-8")

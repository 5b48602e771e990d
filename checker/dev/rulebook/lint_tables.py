"""What the build refuses in rule tables: gaps, doubles, rows nobody can reach, values that go the wrong way."""

from __future__ import annotations

import operator
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise, product
from math import exp, log
from pathlib import Path
from typing import Any

from checker.core.quantities import QUANTITIES
from checker.dev.rulebook.faults import Fault, place
from checker.dev.rulebook.rulefiles import Folder


def tables(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """No gap that is not declared, no cell twice, values going the way the table says."""
    for table in content["tables"]:
        item = folder.items["table", table["id"]]
        sheet = place(item.path.with_suffix(".csv"), rules)
        lines = {tuple(cell["keys"]): raw["line"] for cell, raw in zip(table["cells"], item.data["cells"], strict=True)}
        cells = {tuple(cell["keys"]): cell for cell in table["cells"]}
        if len(lines) < len(table["cells"]):
            yield Fault(sheet, "a cell appears twice", "Only one of the two can count.", "Keep one.")
        if not cells:
            if "look" not in table:
                yield Fault(
                    sheet,
                    "the table has no cells and does not say where its figures are printed",
                    "Readers would not know where to look.",
                    "Add cells, or say under `look` where the figures are printed.",
                )
            continue
        yield from _keys(table, content, sheet)
        yield from _gaps(table, content, cells, place(item.path, rules), sheet)
        yield from _words_of_cells(table, lines, sheet)
        # Bounds keep the order of the cells that they come from, and no order with what is printed beside them.
        printed = {keys: cell for keys, cell in cells.items() if "most" not in cell}
        for number, axis in enumerate(table["axes"]):
            if axis["trend"]:
                yield from _trend(table, number, axis, printed, lines, sheet)
                yield from _steps(number, axis, printed, lines, sheet)


def _rows(table: dict, number: int, content: dict) -> list[str]:
    """The keys along an axis: those of the cells, and every choice of the question the axis is named after."""
    named = next((q for q in content["questions"] if q["id"] == table["axes"][number]["name"]), None)
    choices = [choice["value"] for choice in named["choices"]] if named else []
    return list(dict.fromkeys([*choices, *(cell["keys"][number] for cell in table["cells"])]))


def _keys(table: dict, content: dict, sheet: str) -> Iterator[Fault]:
    for number, axis in enumerate(table["axes"]):
        named = next((q for q in content["questions"] if q["id"] == axis["name"] and q["choices"]), None)
        choices = [choice["value"] for choice in named["choices"]] if named else []
        for key in _rows(table, number, content) if choices else ():
            if key not in choices:
                yield Fault(
                    sheet,
                    f"{key!r} is not an answer to the question {axis['name']}",
                    "No answer leads to this row, so it is never read.",
                    "Correct the key, or add the choice.",
                )


def _gaps(table: dict, content: dict, cells: dict, where: str, sheet: str) -> Iterator[Fault]:
    names = [axis["name"] for axis in table["axes"]]
    idle, missing = list(table["absent"]), []
    for combination in product(*(_rows(table, number, content) for number in range(len(names)))):
        if combination in cells:
            continue
        covering = [entry for entry in table["absent"] if _covers(entry, dict(zip(names, combination, strict=True)))]
        idle = [entry for entry in idle if entry not in covering]
        if not covering:
            missing.append(combination)
    for shared, lacking in _gathered(missing, list(cells), names).items():
        more = f" and {len(lacking) - 3} more like it" if len(lacking) > 3 else ""
        yield Fault(
            sheet,
            f"there is no cell {', '.join('/'.join(keys) for keys in lacking[:3])}{more}",
            "A gap could be a slip.",
            f"Add the cells, or list them under [[absent]] with a reason: where = {{ {shared} }}",
        )
    for entry in idle:
        told = ", ".join(f"{name} = {value}" for name, value in entry["where"].items())
        yield Fault(
            where,
            f"lists cells as absent that are there ({told})",
            "The next real gap would go unnoticed.",
            "Delete the entry, or correct its keys.",
        )


def _gathered(missing: list[tuple], there: list[tuple], names: list[str]) -> dict[str, list[tuple]]:
    """Missing cells by what they share: a key that has no cell at all, else every key but that of the last axis.

    By the hundred they would drown the one fault that somebody has to see.
    """
    seen = [{keys[place] for keys in there} for place in range(len(names))]
    found: dict[str, list[tuple]] = {}
    for keys in missing:
        empty = [place for place, key in enumerate(keys) if key not in seen[place]][:1]
        shared = empty or list(range(len(names) - 1)) or [0]
        where = ", ".join(f"{names[place]} = {_toml(keys[place])}" for place in shared)
        found.setdefault(where, []).append(keys)
    return found


def _toml(key: str) -> str:
    return key if isinstance(_plain_number(key), Decimal) else f'"{key}"'


def _covers(entry: dict, keys: dict[str, str]) -> bool:
    return all(
        name in keys and str(_plain_number(keys[name])) == str(_plain_number(value))
        for name, value in entry["where"].items()
    )


def _words_of_cells(table: dict, lines: dict, sheet: str) -> Iterator[Fault]:
    """The table of a quantity that is a choice holds only what the quantity may be: rules compare with nothing else."""
    quantity = QUANTITIES.get(table["id"].replace("-", "_"))
    choices = quantity.choices if quantity else ()
    for cell in table["cells"] if choices else ():
        if cell["value"] not in choices:
            yield Fault(
                f"{sheet}:{lines[tuple(cell['keys'])]}",
                f"{cell['value']!r} is not one of {', '.join(choices)}",
                "No rule would apply to it, so nothing would be checked.",
                "Write one of these values.",
            )


def _plain_number(value: Any) -> Any:
    try:
        return Decimal(str(value)).normalize()
    except ArithmeticError:
        return value


def _series(number: int, cells: dict, lines: dict) -> list[list[tuple[Decimal, Decimal, int, str]]]:
    """The rows along an axis, each as (key, value, line, note) in the order of the keys."""
    series: dict[tuple, list[tuple[Decimal, Decimal, int, str]]] = {}
    for keys, cell in cells.items():
        rest = keys[:number] + keys[number + 1 :]
        series.setdefault(rest, []).append((Decimal(keys[number]), Decimal(cell["value"]), lines[keys], cell["note"]))
    return [sorted(row) for row in series.values()]


# Along these axes tables follow a curve of physics: in those that ship, sound cells stay within 9 % of their neighbours' curve.
_SMOOTH = ("size_mm2", "ambient_c")
_STANDS_OUT = 0.10
_KNOWN = "Stands out:"  # in the note of a cell: somebody looked, and it is printed so


def _steps(number: int, axis: dict, cells: dict, lines: dict, sheet: str) -> Iterator[Fault]:
    """Cells off the curve through their two neighbours: a slip too small to break the order."""
    for row in _series(number, cells, lines) if axis["name"].endswith(_SMOOTH) else ():
        if len(row) < 4:
            continue
        off = []
        for before, here, after in zip(row, row[1:], row[2:], strict=False):
            if min(before[0], before[1], here[1], after[1]) > 0:
                share = log(here[0] / before[0]) / log(after[0] / before[0])
                likely = exp(log(before[1]) + share * log(after[1] / before[1]))
                off.append((abs(float(here[1]) / likely - 1), likely, here))
        # A slipped cell drags the curve of its neighbours too: the worst one of a row is told.
        worst, likely, (key, value, line, note) = max(off, default=(0, 0, (0, 0, 0, "")))
        if worst > _STANDS_OUT and _KNOWN not in note:
            yield Fault(
                f"{sheet}:{line}",
                f"{value} at {key} stands out by {worst:.0%}: the lines next to it suggest about {likely:.3g}",
                "A mistyped digit can look like this.",
                f"Compare the line with the source. If it is printed like this, write “{_KNOWN}” and why into its note.",
            )


# What the next figure along an axis must not be, by the table's trend.
_BREAKS = {"rises": operator.le, "falls": operator.ge, "never-rises": operator.gt}


def _trend(table: dict, number: int, axis: dict, cells: dict, lines: dict, sheet: str) -> Iterator[Fault]:
    for row in _series(number, cells, lines):
        for (_, before, first, _), (_, after, second, _) in pairwise(row):
            if _BREAKS[axis["trend"]](after, before):
                yield Fault(
                    f"{sheet}:{second}",
                    f"{after} breaks the table's trend ({axis['trend']} with {axis['name']}; line {first} has {before})",
                    "A mistyped digit looks like this.",
                    "Compare both lines with the source.",
                )

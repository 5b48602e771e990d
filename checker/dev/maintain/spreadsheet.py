"""A table of a rule set as people keep it in a spreadsheet: one axis down, one across. `export` writes one, `import_` takes one."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.resolve import region_folders
from checker.dev.rulebook.rulefiles import Folder, Item, read_folder
from checker.terminal.problem import Problem


def table_named(wanted: str) -> tuple[Folder, Item]:
    pack, _, table = wanted.partition("/")
    for path in region_folders(rulefiles.RULES):
        folder = read_folder(path)
        if pack in (path.name, folder.pack["id"]) and ("table", table) in folder.items:
            return folder, folder.items["table", table]
    raise Problem(
        "TABLE",
        f"There is no table {wanted!r}.",
        "Nothing was read.",
        "Write the rule set and the table, such as gb/cable-current.",
    )


class Grid:
    """Two axes of a table, the others held at one key."""

    def __init__(self, item: Item, options: Namespace) -> None:
        self.item, self.cells = item, [dict(cell) for cell in item.data["cells"]]
        self.axes: list[dict[str, Any]] = item.data["axes"]
        names = [axis["name"] for axis in self.axes]
        self.down = self._axis(options.down or names[-1], names)
        self.fixed: dict[int, str] = {}
        for given in options.at:
            name, mark, key = given.partition("=")
            if not mark:
                raise Problem(
                    "--at", f"{given!r} names no key.", "It must name one place in the table.", "Write it as AXIS=KEY."
                )
            self.fixed[self._axis(name, names)] = key
        rest = [place for place in range(len(names)) if place != self.down]
        free = [place for place in rest if place not in self.fixed]
        self.across = self._axis(options.across, names) if options.across else (free[-1] if free else None)
        wanted = [p for p in rest if p != self.across and p not in self.fixed]
        if wanted:
            lacks = ", ".join(names[place] for place in wanted)
            held = "; ".join(f"{names[p]}: {', '.join(self._choices(p))}" for p in wanted)
            raise Problem(
                "--at",
                f"The table has another axis: {lacks}.",
                "A spreadsheet has only two axes.",
                f"Add --at AXIS=KEY. Keys are {held}.",
            )

    def _choices(self, place: int) -> list[str]:
        """The keys along an axis; of a table without cells those that base has for it."""
        base = read_folder(rulefiles.RULES / "base").items.get(("table", self.item.id))
        cells = self.cells or (base.data["cells"] if base else [])
        return list(dict.fromkeys(cell["keys"][place] for cell in cells)) or ["any answer"]

    def _axis(self, name: str, names: list[str]) -> int:
        if name not in names:
            raise Problem(
                "the axes",
                f"{self.item.id} has no axis {name!r}.",
                "The figures would land in the wrong cells.",
                f"Its axes: {', '.join(names)}.",
            )
        return names.index(name)

    def keys(self, down: str, across: str) -> list[str]:
        keys = [self.fixed.get(place, "") for place in range(len(self.axes))]
        keys[self.down] = down
        if self.across is not None:
            keys[self.across] = across
        return keys

    def here(self) -> dict[tuple[str, ...], dict[str, Any]]:
        return {tuple(c["keys"]): c for c in self.cells if all(c["keys"][p] == key for p, key in self.fixed.items())}

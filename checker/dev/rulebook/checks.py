"""What the items of a pack are held against while they are compiled: names with types and units, stages, sources.

Faults are gathered and not raised one by one: whoever mends a rule set sees all that is wrong with it at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from checker.core.messages import counts, holes
from checker.core.quantities import QUANTITIES, Quantity
from checker.core.values import plain
from checker.core.verdict import PARTS
from checker.dev.rulebook import expressions, units
from checker.dev.rulebook.expressions import Choice, ExpressionFault, Names, Number, Truth, Type
from checker.dev.rulebook.faults import Fault, RuleFaults, place
from checker.dev.rulebook.reads import axes_of
from checker.dev.rulebook.resolve import Origins
from checker.dev.rulebook.rulefiles import Folder, Item

_NOT_STATED = "not-stated"


class Checks:
    """The checks of one resolved folder. `quantities` are those that its expressions and texts may name.

    A check notes a fault and gives something to go on with; `finish` raises what was noted.
    """

    def __init__(
        self, folder: Folder, origin: Origins, rules: Path, quantities: Mapping[str, Quantity] = QUANTITIES
    ) -> None:
        self.folder, self.quantities = folder, quantities
        self._origin, self._rules = origin, rules
        self._faults: list[Fault] = []
        self._by_kind: dict[str, list[Item]] = {}
        for (kind, _), item in sorted(folder.items.items()):
            self._by_kind.setdefault(kind, []).append(item)
        self.stages = {stage["id"]: number for number, stage in enumerate(folder.pack["stages"])}
        self.asked = [item.id for item in sorted(self.of("question"), key=lambda item: item.data["order"])]
        # Tables are looked up by the names of their axes, so a table that is mentioned reads them.
        self.axes = axes_of(item.data for item in self.of("table"))
        self._sources = {item.id for item in self.of("source")}
        self._types: dict[str, Type] = {}
        self.units: dict[str, str] = {}
        self._declare()
        optional = (item.id for item in self.of("question") if item.data.get("unanswered") == _NOT_STATED)
        self._names = Names(self._types, frozenset(optional))

    def of(self, kind: str) -> list[Item]:
        """The items of one kind, by id."""
        return self._by_kind.get(kind, [])

    def _declare(self) -> None:
        """Types and units of every name an expression may use."""
        for item in self.of("question"):
            if item.data["kind"] == "number":
                self._number(item)
            elif item.data["kind"] == "yes-no":
                self._types[item.id] = Truth()
            else:
                self._types[item.id] = Choice(tuple(choice["value"] for choice in item.data["choices"]))
        for item in self.of("parameter"):
            self._number(item)
        for name, quantity in self.quantities.items():
            if name in self._types:
                self.fault(
                    self.folder.items.get(("question", name)) or self.folder.items["parameter", name],
                    f"{name!r} is already the name of a quantity",
                    "A name can have only one meaning.",
                    "Choose another id.",
                )
            if quantity.unit:
                self._types[name], self.units[name] = Number(units.parse(quantity.unit)), quantity.unit
            elif quantity.choices:
                self._types[name] = Choice(quantity.choices)

    def _number(self, item: Item) -> None:
        unit = item.data["unit"]
        try:
            self._types[item.id] = Number(units.parse(unit))
            self.units[item.id] = unit
        except KeyError:
            self.fault(
                item,
                f"the unit {unit!r} is not known",
                "Every comparison checks its units.",
                f"Use one of: {', '.join(units.KNOWN)}.",
            )

    def fault(self, item: Item, what: str, why: str, fix: str) -> None:
        self._faults.append(Fault(f"{place(item.path, self._rules)} ({item.id})", what, why, fix))

    def finish(self) -> None:
        """Raises `RuleFaults` with everything that was found wrong, if anything was."""
        if self._faults:
            raise RuleFaults(self._faults)

    def with_origin(self, item: Item, data: dict[str, Any]) -> dict[str, Any]:
        return {**data, "origin": self._origin[item.kind, item.id]}

    def in_a_stage(self, item: Item, why: str) -> None:
        stage = item.data["stage"]
        if stage not in self.stages:
            self.fault(item, f"there is no stage {stage!r}", why, f"Use one of: {', '.join(self.stages)}.")

    def part_of(self, stage: str) -> str | None:
        """What a stage decides: danger, who, sizing or after."""
        return next((held["part"] for held in self.folder.pack["stages"] if held["id"] == stage), None)

    def decides_if_law(self, item: Item) -> None:
        """What the law requires decides the verdict, so it stands in a stage whose part does."""
        stage = item.data["stage"]
        if item.data["weight"] == "law" and self.part_of(stage) not in (None, *PARTS):
            self.fault(
                item,
                f"a rule of law stands in the stage {stage!r}, which decides nothing",
                "The report would say fits beside a broken law.",
                "Put it into a stage that says who may do the work. Or make it a text, if it holds only after the work.",
            )

    def has_source(self, item: Item, source: str, why: str, where: str = "") -> None:
        if source not in self._sources:
            what = f"{where}the source {source!r} is not in sources.toml"
            self.fault(item, what, why, "Add the source, or correct the id.")

    def standing(self, item: Item, data: dict[str, Any], where: str = "") -> dict[str, Any]:
        """`data` with source, clause, status, dates and note completed; its source must exist."""
        self.has_source(item, data["source"], "Every figure needs a source.", where)
        try:
            checked = data["checked"] if isinstance(data["checked"], date) else date.fromisoformat(data["checked"])
        except ValueError:
            self.fault(
                item,
                f"{where}{data['checked']!r} is not a date",
                "The date decides when a figure is stale.",
                'Write the day it was checked as "2026-11-25".',
            )
            checked = date.min
        stale = checked + timedelta(days=int(self.folder.pack["review_days"]))
        return {"note": "", "clause": "", **data, "checked": checked.isoformat(), "stale_after": stale.isoformat()}

    def digits(self, item: Item, value: Any, where: str = "") -> str:
        """A number as plain digits: 20.0 and 20 are one key."""
        try:
            number = Decimal(str(value))
        except InvalidOperation:
            number = Decimal("NaN")
        if not number.is_finite():
            self.fault(item, f"{where}{value} is not a number", "Nothing can be compared with it.", "Write its digits.")
            return "0"
        return plain(number)

    def expression(self, item: Item, key: str, text: str) -> list:
        """The tree of an expression that is true or false."""
        try:
            return expressions.parse_truth(text, self._names)
        except ExpressionFault as bad:
            self.fault(
                item, f"{key}: {bad}", "A rule that cannot be read would never apply.", "Correct the expression."
            )
            return ["truth", False]

    def template(self, item: Item, text: str, filled: Mapping[str, bool] | None = None) -> None:
        """Every hole of `text` has to be a name of the pack, or one of `filled`: by name, whether it is a number."""
        filled = filled or {}
        for hole in counts(text):
            if not filled.get(hole, isinstance(self._types.get(hole), Number)):
                self.fault(
                    item,
                    f"the text chooses a word by {{{hole}}}, which is no number",
                    "It would always take the word for many.",
                    "Name a number, or write the word out.",
                )
        for hole in holes(text):
            if not any(hole in names for names in (self._types, self.quantities, self.folder.pack["words"], filled)):
                self.fault(
                    item,
                    f"the text names {{{hole}}}, which does not exist",
                    "Readers would see a gap.",
                    "Use a question, parameter, quantity or word of the pack.",
                )

"""One case under one pack: answers, parameters and quantities by name, each with what it rests on.

A `Reader` is handed to a rule or to a quantity; whatever it reads is written down, so that a finding knows the cells
it rests on and the questions that would settle it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .errors import PackFault
from .pack import Pack
from .quantities import QUANTITIES
from .tables import Cell, Key, Table
from .values import NotKnown, Reason, Unknown, Value

DONT_KNOW = "dont-know"
NOT_STATED = "not-stated"


class Known(NamedTuple):
    """A value with what it rests on."""

    value: Value
    cells: tuple[Cell, ...]
    unasked: tuple[str, ...]  # label facts nobody asked about yet, read as "the label does not say"


class Situation:
    """`answers` are checked values by question id: Decimal, str, bool, or the two words above."""

    def __init__(self, pack: Pack, answers: dict[str, Value]) -> None:
        self.pack = pack
        self.answers = answers
        self.assumed: dict[str, str] = {}
        self._memory: dict[str, Known] = {}

    def known(self, name: str) -> Known:
        found = self._memory.get(name)
        if found is None:
            found = self._memory[name] = self._work_out(name)
        return found

    def _work_out(self, name: str) -> Known:
        pack = self.pack
        if name in pack.questions:
            return Known(self._answer(name), (), (name,) if self._unasked(name) else ())
        if name in pack.parameters:
            cell = pack.parameters[name]
            return Known(cell.value, (cell,), ())
        if name in QUANTITIES:
            reader = Reader(self)
            try:
                value: Value = QUANTITIES[name].work_out(reader)
            except NotKnown as missing:
                value = missing.unknown
            return reader.resting(value)
        raise PackFault(f"no question, parameter or quantity is called {name!r}")

    def _unasked(self, name: str) -> bool:
        """Whether this is a label fact nobody asked about yet: a rule may do without it, but must not fail for its want."""
        return name not in self.answers and self.pack.questions[name]["unanswered"] == NOT_STATED

    def _answer(self, name: str) -> Value:
        given = self.answers.get(name)
        if given is None:
            question = self.pack.questions[name]
            if "default" in question:
                self.assumed[name] = question["default"]
                return Decimal(question["default"]) if question["kind"] == "number" else question["default"]
            return Unknown([Reason("not-asked", name)])
        if given in (DONT_KNOW, NOT_STATED):
            return Unknown([Reason(given, name)])
        return given


class Reader:
    """Reads names for one rule or quantity and remembers what was read."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self._cells: dict[str, Cell] = {}
        self._unasked: dict[str, None] = {}

    def value(self, name: str) -> Value:
        """The value of a name, possibly `Unknown`."""
        known = self.situation.known(name)
        for cell in known.cells:
            self._cells[cell.id] = cell
        for question in known.unasked:
            self._unasked[question] = None
        return known.value

    def __call__(self, name: str):
        """The value of a name; raises `NotKnown` when it is not known.

        A lower bound stays behind: it holds for this name, not for what will be worked out from it, in another unit.
        """
        value = self.value(name)
        if isinstance(value, Unknown):
            raise NotKnown(Unknown(value.reasons))
        return value

    def all(self, *names: str) -> tuple:
        """Several values at once; raises one `NotKnown` with every reason, so that all of them get asked."""
        values = [self.value(name) for name in names]
        missing = [reason for value in values if isinstance(value, Unknown) for reason in value.reasons]
        if missing:
            raise NotKnown(Unknown(missing))
        return tuple(values)

    def stated(self, name: str) -> Value:
        """Whether the label states `name`: unknown on "don't know"; False when not stated or not asked yet."""
        given = self.situation.answers.get(name)
        question = self.situation.pack.questions.get(name)
        if question is None or question["unanswered"] != NOT_STATED:
            raise PackFault(f"stated({name}): not a fact that a label may leave out")
        if given == DONT_KNOW:
            return Unknown([Reason(DONT_KNOW, name)])
        if given is None:
            self._unasked[name] = None
        return given is not None and given != NOT_STATED

    def is_stated(self, name: str) -> bool:
        """As `stated`, but raises `NotKnown` on "don't know"."""
        answer = self.stated(name)
        if isinstance(answer, Unknown):
            raise NotKnown(answer)
        return answer

    def given(self, name: str) -> Decimal | None:
        """The number a person gave, or None. Asks for nothing: it serves to hold one answer against another."""
        answer = self.situation.answers.get(name)
        return answer if isinstance(answer, Decimal) else None

    def row(self, table: str, **given: Key) -> Decimal | str:
        """The value of a table for this case; raises `NotKnown` (no-cell) where the table has none.

        Every axis is named like the question, parameter or quantity that is its key, so a region may give a table
        other axes. `given` are keys that stand in for reading; what the table has no axis for is left out.
        """
        keys = self._keys(table, given)
        found = self._table(table).find(*keys)
        if found is None:
            raise NotKnown(Unknown([Reason("no-cell", self._table(table).name_of(*keys))]))
        self._cells[found.id] = found
        return found.value

    def peek(self, table: str, **given: Key) -> Cell | None:
        """As `row`, but the cell itself or None, without resting on it: for searches that try many and use one."""
        return self._table(table).find(*self._keys(table, given))

    def _keys(self, table: str, given: dict[str, Key]) -> tuple[Key, ...]:
        names = [axis.name for axis in self._table(table).axes]
        wanted = [name for name in names if name not in given]
        known = {**given, **dict(zip(wanted, self.all(*wanted), strict=True))}
        return tuple(known[name] for name in names)

    def _table(self, table: str) -> Table:
        try:
            return self.situation.pack.tables[table]
        except KeyError:
            raise PackFault(f"no table is called {table!r}") from None

    def has(self, name: str) -> bool:
        """Whether the pack has a table or a parameter of this name: not every region has all of them."""
        return name in self.situation.pack.tables or name in self.situation.pack.parameters

    def rest_on(self, cell: Cell) -> None:
        self._cells[cell.id] = cell

    def sizes(self, question: str) -> dict[str, Decimal]:
        """The choices of a size question, thinnest first, each with its cross-section in mm2."""
        return self.situation.pack.sizes[question]

    def area(self, question: str) -> Decimal:
        """The cross-section of the size that answers this question, in mm2."""
        return self.sizes(question)[self(question)]

    def resting(self, value: Value) -> Known:
        return Known(value, tuple(self._cells.values()), tuple(self._unasked))

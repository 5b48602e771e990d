"""One case under one pack: answers, parameters and quantities by name, each with what it rests on.

A `Reader` is handed to a rule or to a quantity; whatever it reads is written down, so that a finding knows the cells
it rests on and the questions that would settle it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from .errors import PackFault
from .pack import Pack
from .quantities import QUANTITIES, Quantity
from .spans import Span
from .tables import Cell, Key, Table
from .values import NotKnown, Reason, Unknown, Value

DONT_KNOW = "dont-know"
NOT_STATED = "not-stated"
_WORDS = (DONT_KNOW, NOT_STATED)


class Known(NamedTuple):
    """A value with what it rests on."""

    value: Value
    cells: dict[str, Cell]  # by id; shared, never changed
    unasked: tuple[str, ...]  # label facts nobody asked about yet, read as "the label does not say"
    names: frozenset[str] = frozenset()  # the questions it depends on; noted for trials only


class Situation:
    """`answers` are checked values by question id: Decimal, str, bool, or the two words above.

    To judge a range of answers at once, an answer may be a `Span`. `supposed` names the answers that nobody gave;
    `spread` fills when a look-up rests on several cells at once: with the rows of the spans it was asked with.
    """

    quantities: Mapping[str, Quantity] = QUANTITIES
    reader: type[Reader]

    def __init__(self, pack: Pack, answers: dict[str, Value], supposed: frozenset[str] = frozenset()) -> None:
        self.pack = pack
        self.answers = answers
        self.supposed = supposed
        self.spread: list[Key] = []
        # Most reads are of plain answers: those need no more than this.
        self.plain = {
            name: given for name, given in answers.items() if given.__class__ is not str or given not in _WORDS
        }
        self.assumed: dict[str, str] = {}
        self.memory: dict[str, Known] = _parameters(pack).copy()

    def known(self, name: str) -> Known:
        found = self.memory.get(name)
        if found is None:
            found = self.memory[name] = self._work_out(name)
        return found

    def _work_out(self, name: str) -> Known:
        pack = self.pack
        if name in pack.questions:
            return Known(self._answer(name), {}, (name,) if self._unasked(name) else ())
        if name in self.quantities:
            reader = self.reader(self)
            try:
                value: Value = self.quantities[name].work_out(reader)
            except NotKnown as missing:
                value = missing.unknown
            return reader.resting(value)
        if name in pack.removed:
            return Known(Unknown([Reason("no-cell", name)]), {}, ())
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
        return Unknown([Reason(given, name)]) if name not in self.plain else given  # type: ignore[arg-type]  # a text here


def _parameters(pack: Pack) -> dict[str, Known]:
    """The parameters of a pack, known whatever the case is; made once."""
    if pack.known_parameters is None:
        pack.known_parameters = {name: Known(cell.value, {cell.id: cell}, ()) for name, cell in pack.parameters.items()}
    return pack.known_parameters


class Reader:
    """Reads names for one rule or quantity and remembers what was read."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self._cells: dict[str, Cell] = {}
        self._unasked: dict[str, None] = {}

    def value(self, name: str) -> Value:
        """The value of a name, possibly `Unknown`."""
        situation = self.situation
        if name in situation.plain:
            return situation.plain[name]
        known = situation.memory.get(name) or situation.known(name)
        if known.cells:
            self._cells.update(known.cells)
        if known.unasked:
            for question in known.unasked:
                self._unasked[question] = None
        return known.value

    def __call__(self, name: str):
        """The value of a name; raises `NotKnown` when it is not known.

        A lower bound stays behind: it holds for this name, not for what will be worked out from it, in another unit.
        """
        value = self.value(name)
        if value.__class__ is Unknown:
            raise NotKnown(Unknown(value.reasons))
        return value

    def all(self, *names: str) -> tuple:
        """Several values at once; raises one `NotKnown` with every reason, so that all of them get asked."""
        values = tuple([self.value(name) for name in names])
        for value in values:
            if value.__class__ is Unknown:
                missing = [reason for value in values if isinstance(value, Unknown) for reason in value.reasons]
                raise NotKnown(Unknown(missing))
        return values

    def stated(self, name: str) -> Value:
        """Whether the label states `name`: unknown on "don't know"; False when not stated or not asked yet."""
        situation = self.situation
        question = situation.pack.questions.get(name)
        if name in situation.pack.removed:
            return False
        if question is None or question["unanswered"] != NOT_STATED:
            raise PackFault(f"stated({name}): not a fact that a label may leave out")
        if name in situation.plain:
            return True
        given = situation.answers.get(name)
        if given == DONT_KNOW:
            return Unknown([Reason(DONT_KNOW, name)])
        if given is None:
            self._unasked[name] = None
        return False

    def is_stated(self, name: str) -> bool:
        """As `stated`, but raises `NotKnown` on "don't know"."""
        answer = self.stated(name)
        if answer.__class__ is Unknown:
            raise NotKnown(answer)
        return answer  # type: ignore[return-value]

    def answered(self, name: str) -> bool:
        """Whether somebody answered the question, with whatever answer."""
        return name in self.situation.answers

    def given(self, name: str) -> Decimal | None:
        """The number a person gave, or None. Asks for nothing: it serves to hold one answer against another."""
        answer = self.situation.answers.get(name)
        return answer if isinstance(answer, (Decimal, Span)) and name not in self.situation.supposed else None

    def row(self, table: str, **given: Key) -> Decimal | str:
        """The value of a table for this case; raises `NotKnown` (no-cell) where the table has none.

        Every axis is named like the question, parameter or quantity that is its key, so a region may give a table
        other axes. `given` are keys that stand in for reading; what the table has no axis for is left out.
        """
        keys = self._keys(table, given)
        try:
            found = self._table(table).find(*keys)
        except NotKnown:
            return self._among(self._table(table), keys)  # type: ignore[return-value]  # none tried here
        if found is None:
            raise NotKnown(Unknown([Reason("no-cell", self._table(table).name_of(*keys))]))
        self._cells[found.id] = found
        return found.value

    def _among(self, table: Table, keys: tuple[Key | Span, ...]) -> Decimal | str | Span:
        """As `row`, where a key is only known by its bounds: rests on every cell it may turn out to be."""
        reasons = tuple(reason for key in keys if isinstance(key, Span) for reason in key.reasons)
        cells = table.between(*keys)
        if cells is None:
            raise NotKnown(Unknown(reasons))
        for cell in cells:
            self._cells[cell.id] = cell
        if len(cells) > 1:
            pairs = zip(table.axes, keys, strict=True)
            rows = [row for axis, key in pairs if isinstance(key, Span) for row in axis.rows(key)]
            self.situation.spread += [row for row in rows if row is not None]
        values = [cell.value for cell in cells]
        if all(value == values[0] for value in values):
            return values[0]
        if not all(isinstance(value, Decimal) for value in values):
            raise NotKnown(Unknown(reasons))
        return Span(min(values), max(values), reasons)

    def peek(self, table: str, **given: Key) -> Cell | None:
        """As `row`, but the cell itself or None, without resting on it: for searches that try many and use one."""
        return self._table(table).find(*self._keys(table, given))

    def _keys(self, table: str, given: dict[str, Key]) -> tuple[Key, ...]:
        names = self._table(table).names
        if not given:
            return self.all(*names)
        wanted = [name for name in names if name not in given]
        known = {**given, **dict(zip(wanted, self.all(*wanted), strict=True))}
        return tuple(known[name] for name in names)

    def _table(self, table: str) -> Table:
        if table in self.situation.pack.removed:
            raise NotKnown(Unknown([Reason("no-cell", table)]))
        try:
            return self.situation.pack.tables[table]
        except KeyError:
            raise PackFault(f"no table is called {table!r}") from None

    def has(self, name: str) -> bool:
        """Whether the pack has a table, a parameter or a question of this name: not every region has all of them."""
        pack = self.situation.pack
        return name in pack.tables or name in pack.parameters or name in pack.questions

    def rest_on(self, cell: Cell) -> None:
        self._cells[cell.id] = cell

    def sizes(self, question: str) -> dict[str, Decimal]:
        """The choices of a size question, thinnest first, each with its cross-section in mm2."""
        return self.situation.pack.sizes[question]

    def area(self, question: str) -> Decimal:
        """The cross-section of the size that answers this question, in mm2."""
        return self.sizes(question)[self(question)]

    def resting(self, value: Value) -> Known:
        return Known(value, self._cells, tuple(self._unasked) if self._unasked else ())


Situation.reader = Reader

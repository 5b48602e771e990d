"""One case under one pack: answers, parameters and quantities by name, each with what it rests on.

A `Reader` is handed to a rule or to a quantity; whatever it reads is written down, so that a finding knows the cells
it rests on and the questions that would settle it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from checker.core.bounds import Span
from checker.core.errors import PackFault
from checker.core.pack import Pack
from checker.core.quantities import QUANTITIES, Quantity
from checker.core.tables import Cell, Key, Table
from checker.core.values import NotKnown, Reason, ReasonKind, Unknown, Value, merged, no_cell

DONT_KNOW = "dont-know"
NOT_STATED = "not-stated"
_WORDS = (DONT_KNOW, NOT_STATED)


Names = set[str] | frozenset[str]
_NO_NAMES: Names = frozenset()
_NOTHING, _ENDLESS = Decimal(0), Decimal("Infinity")


class Known:
    """A value with what it rests on; shared, never changed.

    `cells` by id; `names`: the questions it depends on, noted for trials only.
    """

    # Made by the hundred in every check, and a plain class is made quicker than a named tuple.
    __slots__ = ("cells", "names", "value")

    def __init__(self, value: Value, cells: dict[str, Cell], names: Names = _NO_NAMES) -> None:
        self.value, self.cells, self.names = value, cells, names


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
        return self.memory.get(name) or self.work_out(name)

    def work_out(self, name: str) -> Known:
        """What is known by this name, worked out now and kept."""
        quantity = self.quantities.get(name)
        if quantity is None:
            known = self._looked_up(name)
        else:
            reader = self.reader(self)
            try:
                value: Value = quantity.work_out(reader)
            except NotKnown as missing:
                value = missing.unknown
            known = Known(value, reader.cells, reader.names)
        self.memory[name] = known
        return known

    def _looked_up(self, name: str) -> Known:
        if name in self.pack.questions:
            return Known(self._answer(name), {})
        if name in self.pack.removed:
            return Known(no_cell(name).unknown, {})
        raise PackFault(f"no question, parameter or quantity is called {name!r}")

    def _answer(self, name: str) -> Value:
        given = self.answers.get(name)
        if given is None:
            question = self.pack.questions[name]
            if "default" in question:
                self.assumed[name] = question["default"]
                return Decimal(question["default"]) if question["kind"] == "number" else question["default"]
            return Unknown([Reason(ReasonKind.NOT_ASKED, name)])
        return Unknown([Reason(ReasonKind(given), name)]) if name not in self.plain else given  # type: ignore[arg-type]  # one of the two words


class Silent(Situation):
    """The same case where a label that nobody read says nothing more: not for the verdict of a check."""

    def _answer(self, name: str) -> Value:
        if name not in self.answers and self.pack.questions[name]["unanswered"] == NOT_STATED:
            return Unknown([Reason(ReasonKind.NOT_STATED, name)])
        return super()._answer(name)


class Figures(Silent):
    """The same case for the figures of a report, which nothing is judged by.

    What nobody answered counts as left out by the label, or as the pack supposes it for figures (`usual.figures`): the
    nominal voltage, one line and neutral. So a power alone gives a current, although it lets nothing pass yet.
    """

    def _answer(self, name: str) -> Value:
        if name not in self.answers:
            question = self.pack.questions[name]
            usual = question["usual"]
            if usual and usual.get("figures"):
                self.assumed[name] = usual["value"]
                return Decimal(usual["value"]) if question["kind"] == "number" else usual["value"]
        return super()._answer(name)


def _parameters(pack: Pack) -> dict[str, Known]:
    """The parameters of a pack, known whatever the case is; made once."""
    if pack.known_parameters is None:
        pack.known_parameters = {name: Known(cell.value, {cell.id: cell}) for name, cell in pack.parameters.items()}
    return pack.known_parameters


class Reader:
    """Reads names for one rule or quantity and remembers what was read."""

    __slots__ = ("_memory", "_plain", "cells", "situation")
    names: Names = _NO_NAMES  # the questions it depends on; noted for trials only

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self._plain, self._memory = situation.plain, situation.memory
        self.cells: dict[str, Cell] = {}

    def value(self, name: str) -> Value:
        """The value of a name, possibly `Unknown`."""
        value = self._plain.get(name)
        if value is not None:
            return value
        known = self._memory.get(name)
        if known is None:
            known = self.situation.work_out(name)
        if known.cells:
            self.cells.update(known.cells)
        return known.value

    def __call__(self, name: str):
        """The value of a name; raises `NotKnown` when it is not known.

        A lower bound stays behind: it holds for this name, not for what will be worked out from it, in another unit.
        """
        value = self._plain.get(name)
        if value is None:
            value = self.value(name)
            if value.__class__ is Unknown:
                raise NotKnown(Unknown(value.reasons))
        return value

    def all(self, *names: str) -> list:
        """Several values at once; raises one `NotKnown` with every reason, so that all of them get asked."""
        return _every([self.value(name) for name in names])

    def stated(self, name: str) -> Value:
        """Whether the label states `name`; unknown while nobody knows it or was asked for it."""
        pack = self.situation.pack
        if name in pack.removed:
            return False
        if name not in pack.questions or pack.questions[name]["unanswered"] != NOT_STATED:
            raise PackFault(f"stated({name}): not a fact that a label may leave out")
        value = self.value(name)
        if value.__class__ is not Unknown:
            return True
        return False if value.reasons[0].kind == ReasonKind.NOT_STATED else value

    def is_stated(self, name: str) -> bool:
        """As `stated`, but raises `NotKnown` while it is unknown."""
        answer = self.stated(name)
        if answer.__class__ is Unknown:
            raise NotKnown(answer)
        return answer  # type: ignore[return-value]

    def given(self, name: str) -> Decimal | None:
        """The number a person gave, or None. Asks for nothing: it serves to hold one answer against another."""
        answer = self.situation.answers.get(name)
        return answer if isinstance(answer, (Decimal, Span)) and name not in self.situation.supposed else None

    def over_ratio(self, value: Decimal, name: str, least: Decimal) -> Span:
        """`value` over a ratio that is not stated but lies between `least` and 1; `name` is the question about it."""
        return Span(value, value / least, (Reason(ReasonKind.NOT_STATED, name),))

    def at_most(self, value: Decimal, name: str) -> Span:
        """A figure that is missing, of which it is known that it is not above `value`; `name` is the missing cell."""
        return Span(_NOTHING, value, (Reason(ReasonKind.NO_CELL, name),))

    def at_least(self, value: Decimal, name: str) -> Span:
        """As `at_most`, where it is not below `value`."""
        return Span(value, _ENDLESS, (Reason(ReasonKind.NO_CELL, name),))

    def row(self, table: str, **given: Key) -> Decimal | str:
        """The value of a table for this case; raises `NotKnown` (no-cell) where the table has none.

        Every axis is named like the question, parameter or quantity that is its key, so a region may give a table
        other axes. `given` are keys that stand in for reading; what the table has no axis for is left out. Beyond the
        last row there is no figure, but where the table falls none above that of the last row, and where it rises
        none below: what fails with it fails beyond it too. Of a cell that is a lower bound no more is known than
        that, so it may carry a pass where no printed figure would carry a failure.
        """
        held = self._table(table)
        keys = self._keys(held, given)
        try:
            found = held.find(*keys)
        except NotKnown:
            return self._among(held, keys)  # type: ignore[return-value]  # none tried here
        if found is None:
            return self._beyond(held, keys)  # type: ignore[return-value]  # takes part in formulas as a number does
        self.cells[found.id] = found
        return self.figure(found)

    def figure(self, cell: Cell) -> Decimal | str:
        """What a cell says: its value, or the bounds between which the printed figure lies."""
        if cell.most is None:
            return cell.value
        return Span(cell.value, cell.most, (Reason(ReasonKind.BOUND, cell.id),))  # type: ignore[return-value]  # takes part in formulas as a number does

    def _beyond(self, table: Table, keys: Sequence[Key | Span]) -> Span:
        last = table.last(*keys)
        name = table.name_of(*(key.low if isinstance(key, Span) else key for key in keys))
        if last is None:
            raise no_cell(name)
        cell, goes = last
        self.cells[cell.id] = cell
        if goes == "higher":
            return self.at_least(cell.value, name)
        if cell.upper.is_infinite():
            raise no_cell(name)
        return self.at_most(cell.upper, name)

    def _among(self, table: Table, keys: Sequence[Key | Span]) -> Decimal | str | Span:
        """As `row`, where a key is only known by its bounds: rests on every cell it may turn out to be."""
        reasons = tuple(reason for key in keys if isinstance(key, Span) for reason in key.reasons)
        cells = table.between(*keys)
        if cells is None:
            if table.last(*keys) is not None:
                return self._beyond(table, keys)
            raise NotKnown(Unknown(reasons))
        for cell in cells:
            self.cells[cell.id] = cell
        if len(cells) > 1:
            pairs = zip(table.axes, keys, strict=True)
            rows = [row for axis, key in pairs if isinstance(key, Span) for row in axis.rows(key)]
            self.situation.spread += [row for row in rows if row is not None]
        values = [cell.value for cell in cells]
        bounds = tuple(Reason(ReasonKind.BOUND, cell.id) for cell in cells if cell.most is not None)
        if bounds:
            return Span(min(values), max(cell.upper for cell in cells), (*reasons, *bounds))
        if all(value == values[0] for value in values):
            return values[0]
        if not all(isinstance(value, Decimal) for value in values):
            raise NotKnown(Unknown(reasons))
        return Span(min(values), max(values), reasons)

    def peek(self, table: str, **given: Key) -> Cell | None:
        """As `row`, but the cell itself or None, without resting on it: for searches that try many and use one."""
        held = self._table(table)
        return held.find(*self._keys(held, given))

    def _keys(self, table: Table, given: dict[str, Key]) -> list[Key]:
        return _every([given[name] if name in given else self.value(name) for name in table.names])

    def _table(self, table: str) -> Table:
        try:
            return self.situation.pack.tables[table]
        except KeyError:
            if table in self.situation.pack.removed:
                raise no_cell(table) from None
            raise PackFault(f"no table is called {table!r}") from None

    def has(self, name: str) -> bool:
        """Whether the pack has a table, a parameter or a question of this name: not every region has all of them."""
        return name in self.situation.pack.names

    def rest_on(self, cell: Cell) -> None:
        self.cells[cell.id] = cell

    def sizes(self, question: str) -> dict[str, Decimal]:
        """The choices of a size question, thinnest first, each with its cross-section in mm2."""
        return self.situation.pack.sizes[question]

    def area(self, question: str) -> Decimal:
        """The cross-section of the size that answers this question, in mm2."""
        return self.sizes(question)[self(question)]


def _every(values: list) -> list:
    """`values`, all of them known; else raises `NotKnown` with the reasons of all that are not."""
    for value in values:
        if value.__class__ is Unknown:
            raise NotKnown(merged(*values))
    return values


Situation.reader = Reader

"""Every quantity of a pack as a list of paths: under which answers it gives what, and what it rests on.

The functions are the checker's own, with its own `Reader` and its own tables; only the situation they read is symbolic.
What a quantity reads from another is a name with a value of its own, so each is explored alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from fractions import Fraction
from typing import Any, ClassVar, NamedTuple

from checker.core.pack import Pack
from checker.core.quantities import QUANTITIES
from checker.core.situation import DONT_KNOW, NOT_STATED, Known, Reader
from checker.core.tables import Cell, Table
from checker.core.values import NotKnown, Reason, Unknown, no_cell
from tests.proofs.symbols import EVERYTHING, Interval, NotEncodable, Num, Path, explore, term_of

GIVEN, NOT_ASKED = "given", "not-asked"
CONTRADICTION = "contradiction"


class Outcome(NamedTuple):
    """What a path gives. `kind` is number (value: a term), choice, truth, unknown (value: its lower bound or None), or
    fault."""

    kind: str
    value: Any
    contradicts: bool = False


class Way(NamedTuple):
    atoms: tuple[tuple, ...]
    outcome: Outcome
    reads: tuple[str, ...]
    cells: tuple[str, ...]


class Summary(NamedTuple):
    name: str
    ways: tuple[Way, ...]
    reads: tuple[str, ...]
    interval: Interval
    choices: tuple[str, ...]
    bounded: bool


def states(question: dict) -> tuple[str, ...]:
    """How a question may stand: answered, or one of the ways not to be."""
    return (GIVEN, DONT_KNOW, *((NOT_STATED,) if question["unanswered"] == NOT_STATED else ()), NOT_ASKED)


class _Reason:
    """Why a name is not known; asking for the kind splits the path, where the name is a question."""

    def __init__(self, case: AnySituation, name: str) -> None:
        self.case, self.id = case, name

    @property
    def kind(self) -> str:
        if self.id not in self.case.pack.questions:
            raise NotEncodable(f"asks why {self.id}, which is computed, is unknown")
        return self.case.state(self.id)


class _Doubt(Unknown):
    """The unknown value of a name; a lower bound is looked for only when somebody asks."""

    __slots__ = ("case", "name")
    __class__ = property(lambda self: Unknown)  # type: ignore[assignment]  # what the checker asks, for speed

    def __init__(self, case: AnySituation, name: str) -> None:
        self.case, self.name = case, name
        self.reasons = (_Reason(case, name),)

    @property
    def at_least(self) -> Decimal | None:  # type: ignore[override]
        book = self.case.book
        if self.name in self.case.pack.questions or not book.of(self.name).bounded:
            return None
        return (
            Num(("var", f"{self.name}.bound")) if Path.current.settle(("bounded", self.name), (True, False)) else None
        )


class _Answers:
    def __init__(self, case: AnySituation) -> None:
        self.case = case

    def get(self, name: str, default: Any = None) -> Any:
        if name not in self.case.pack.questions:
            return default
        return self.case.value(name) if self.case.given(name) else default

    def __contains__(self, name: str) -> bool:
        return self.case.state(name) != NOT_ASKED


class _Plain:
    """The answers that were given; asking whether one is among them splits the path."""

    def __init__(self, case: AnySituation) -> None:
        self.case = case

    def __contains__(self, name: str) -> bool:
        return name in self.case.pack.questions and self.case.given(name)

    def __getitem__(self, name: str) -> Any:
        return self.case.value(name)

    def get(self, name: str) -> Any:
        given = name in self
        return self[name] if given else None


class AnySituation:
    """Stands in for a `Situation`: any answers at all."""

    supposed: frozenset[str] = frozenset()

    def __init__(self, book: Book) -> None:
        self.book, self.pack = book, book.pack
        self.answers, self.plain = _Answers(self), _Plain(self)
        self.memory: dict[str, Known] = {}
        self.read: dict[str, None] = {}

    def given(self, name: str) -> bool:
        path = Path.current
        self.read[name] = None
        if ("state", name) in path.facts:
            return path.facts["state", name] == GIVEN
        return path.settle(("given", name), (True, False))

    def state(self, name: str) -> str:
        """Splits into what may still be after what is known of `name` on this path."""
        self.read[name] = None
        facts = Path.current.facts
        given = facts.get(("given", name))
        ways = states(self.pack.questions[name])
        if given is not None:
            ways = (GIVEN,) if given else ways[1:]
        return Path.current.settle(("state", name), ways)

    def work_out(self, name: str) -> Known:
        pack = self.pack
        if name in pack.parameters:
            cell = pack.parameters[name]
            return Known(cell.value, {cell.id: cell})
        if name in pack.removed:
            return Known(Unknown([Reason("no-cell", name)]), {})
        self.read[name] = None
        if name not in pack.questions:
            self.book.of(name)
            known = Path.current.settle(("known", name), (True, False))
            return Known(self.value(name) if known else _Doubt(self, name), {})
        question = pack.questions[name]
        if self.given(name):
            return Known(self.value(name), {})
        if "default" not in question or self.state(name) != NOT_ASKED:
            return Known(_Doubt(self, name), {})
        default = question["default"]
        return Known(Decimal(default) if question["kind"] == "number" else default, {})

    def value(self, name: str) -> Any:
        question = self.pack.questions.get(name)
        if question is not None and question["kind"] == "yes-no":
            return Path.current.settle(("yes", name), (True, False))
        choices = self.book.choices(name)
        return Path.current.settle(("is", name), choices) if choices else Num(("var", name))


@contextmanager
def untold() -> Iterator[None]:
    """While it lasts, no unknown tells its reasons: made for an exception's sake, its text would split every path."""
    told, Unknown.__repr__ = Unknown.__repr__, object.__repr__  # type: ignore[method-assign]
    try:
        yield
    finally:
        Unknown.__repr__ = told  # type: ignore[method-assign]


class _Reader(Reader):
    __slots__ = ()

    def over_ratio(self, value: Decimal, name: str, least: Decimal) -> Any:
        """The ratio is any that the question accepts: what is proved for each holds for those from `least` on."""
        return value / Num(("var", name))

    def at_most(self, value: Decimal, name: str) -> Any:
        """Any share of it that is more than nothing: what is proved for each holds for the bounds, which decide nothing
        else. Nothing at all divides no number, and there the checker leaves the quantity open."""
        return value * Num(("var", _beyond(name, "least")))

    def at_least(self, value: Decimal, name: str) -> Any:
        return value * Num(("var", _beyond(name, "most")))

    def figure(self, cell: Cell) -> Any:
        """Of a cell that is a bound any figure it may stand for: all cells of a table lie alike between their bounds."""
        if cell.most is None:
            return cell.value
        if cell.most.is_infinite():
            return self.at_least(cell.value, cell.id)
        return cell.value + (cell.most - cell.value) * Num(("var", _beyond(cell.id, "between")))

    def _beyond(self, table: Table, keys: Any) -> Any:
        last = table.last(*keys)
        name = table.name_of(*keys)
        if last is None or (last[0].most is not None and last[0].most.is_infinite() and last[1] == "lower"):
            raise no_cell(name)
        cell, goes = last
        self.cells[cell.id] = cell
        return (self.at_most if goes == "lower" else self.at_least)(self.figure(cell), name)


BEYOND = {
    "beyond-least": Interval(Fraction(0), True, Fraction(1), False),
    "beyond-between": Interval(Fraction(0), False, Fraction(1), False),
    "beyond-most": Interval(Fraction(1), False, None, True),
}


def _beyond(name: str, way: str) -> str:
    """What stands for all figures that a table does not hold: the same wherever it is asked for one."""
    return f"beyond-{way}:{name.partition('/')[0]}"


def bounds_beyond(name: str) -> Interval | None:
    return BEYOND.get(name.partition(":")[0])


class Book:
    """The summaries of one pack, made when they are first asked for.

    Equal summaries of several packs are one object, so that what is proved of one need not be proved again.
    """

    _shared: ClassVar[dict[Summary, Summary]] = {}

    def __init__(self, pack: Pack) -> None:
        self.pack = pack
        self._held: dict[str, Summary] = {}
        self.refused: dict[str, str] = {}

    def of(self, name: str) -> Summary:
        """Raises `NotEncodable` where the quantity, or one it reads, has no translation."""
        if name in self.refused:
            raise NotEncodable(self.refused[name])
        if name not in self._held:
            try:
                made = self._explored(name)
                self._held[name] = self._shared.setdefault(made, made)
            except NotEncodable as why:
                self.refused[name] = str(why)
                raise
        return self._held[name]

    def choices(self, name: str) -> tuple[str, ...]:
        question = self.pack.questions.get(name)
        if question is not None:
            return tuple(choice["value"] for choice in question["choices"])
        summary = self.of(name)
        if not QUANTITIES[name].unit and not summary.choices:
            raise NotEncodable(f"{name} is a word of no list")
        return summary.choices

    def range(self, name: str) -> Interval:
        """What values a name can have."""
        if (beyond := bounds_beyond(name)) is not None:
            return beyond
        name = name.removesuffix(".bound")
        question = self.pack.questions.get(name)
        if question is not None:
            return Interval(Fraction(question["minimum"]), False, Fraction(question["maximum"]), False)
        return self.of(name).interval

    def meaning(self, names: Iterable[str]) -> tuple:
        """What these names mean in this pack, down to the questions: equal in two packs, equal in all that follows."""
        held: dict[str, Any] = {}
        waiting = list(names)
        while waiting:
            name = waiting.pop()
            if name in held:
                continue
            if name in QUANTITIES:
                held[name] = id(self.of(name))
                waiting += self.of(name).reads
            elif name in self.pack.parameters:
                held[name] = self.pack.parameters[name].value
            else:
                asked = self.pack.questions[name]
                kept = ("kind", "unanswered", "minimum", "maximum", "default")
                held[name] = (*(asked.get(key) for key in kept), self.choices(name))
        return tuple(sorted(held.items()))

    def _explored(self, name: str) -> Summary:
        ways: list[Way] = []
        reads: dict[str, None] = {}
        spans: list[Interval] = []
        box: list[Any] = []

        def run() -> Outcome:
            case = AnySituation(self)
            reader = _Reader(case)  # type: ignore[arg-type]
            box[:] = [case, reader]
            try:
                value = QUANTITIES[name].work_out(reader)
            except NotKnown as missing:
                value = missing.unknown
            except ZeroDivisionError:
                return Outcome("fault", None)
            return _outcome(value)

        with untold():
            for path, outcome in explore(run, self.range):
                case, reader = box
                reads.update(case.read)
                if outcome.kind in ("number", "unknown") and outcome.value is not None:
                    spans.append(path.interval(outcome.value))
                ways.append(Way(tuple(path.atoms), outcome, tuple(case.read), tuple(reader.cells)))
        bounded = any(way.outcome.kind == "unknown" and way.outcome.value for way in ways)
        words = {way.outcome.value for way in ways if way.outcome.kind == "choice"}
        return Summary(name, tuple(ways), tuple(reads), _hull(spans), tuple(sorted(words)), bounded)


def _hull(spans: list[Interval]) -> Interval:
    """From the lowest to the highest that any path can give."""
    if not spans:
        return EVERYTHING
    low = None if any(s.low is None for s in spans) else min(s.low for s in spans)
    high = None if any(s.high is None for s in spans) else max(s.high for s in spans)
    low_open = all(s.low_open for s in spans if s.low == low)
    high_open = all(s.high_open for s in spans if s.high == high)
    return Interval(low, low_open, high, high_open)


def _outcome(value: Any) -> Outcome:
    if isinstance(value, Unknown):
        contradicts = any(type(reason) is not _Reason and reason.kind == CONTRADICTION for reason in value.reasons)
        bound = value.at_least
        return Outcome("unknown", None if bound is None else term_of(bound), contradicts)
    if isinstance(value, bool):
        return Outcome("truth", value)
    if isinstance(value, str):
        return Outcome("choice", value)
    return Outcome("number", term_of(value))

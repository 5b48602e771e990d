"""A pack in the solver's language: any answers, every quantity, every rule, and the verdict over them.

A question is a state (one of four truths) and a value; a quantity is known or not, with a value, perhaps a lower bound.
Choices are one truth each, so the solver sees nothing but truths and rationals. Expressions are translated from the
compiled trees, Kleene's way; quantities are their paths (`summaries`); the verdict is `checker.core.verdict` in formulas.
`tests/proofs/test_translation.py` holds all of it against the checker itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any, ClassVar, NamedTuple

import z3

from checker.core.quantities import QUANTITIES
from tests.proofs.summaries import DONT_KNOW, GIVEN, NOT_ASKED, NOT_STATED, Book, Summary, bounds_beyond, states
from tests.proofs.symbols import Interval, Term

TRUE, FALSE = z3.BoolVal(True), z3.BoolVal(False)
# The most work for one question, in the solver's own count: by a clock alone, a busy machine would leave open what a free
# one proves. Products of many numbers are not counted, hence the clock besides, in milliseconds.
MOST_WORK, MOST_TIME = 200_000_000, 240_000


def solver(*known: z3.BoolRef) -> z3.Solver:
    """A solver that knows this and gives up at a question that takes too much work."""
    made = z3.Solver()
    made.set("rlimit", MOST_WORK)
    made.set("timeout", MOST_TIME)
    made.add(*known)
    return made


class Kleene(NamedTuple):
    """True, false, or (neither) unknown; `weak`: rests on a figure that has to be confirmed."""

    true: z3.BoolRef
    false: z3.BoolRef
    weak: z3.BoolRef


class Number(NamedTuple):
    known: z3.BoolRef
    value: z3.ArithRef
    bounded: z3.BoolRef
    bound: z3.ArithRef
    weak: z3.BoolRef


class Word(NamedTuple):
    known: z3.BoolRef
    choice: dict[str, z3.BoolRef]
    weak: z3.BoolRef


def any_of(parts: Iterable[z3.BoolRef]) -> z3.BoolRef:
    held = [part for part in parts if not z3.is_false(part)]
    return z3.Or(held) if len(held) > 1 else held[0] if held else FALSE


def all_of(parts: Iterable[z3.BoolRef]) -> z3.BoolRef:
    held = [part for part in parts if not z3.is_true(part)]
    return z3.And(held) if len(held) > 1 else held[0] if held else TRUE


def within(interval: Interval, value: z3.ArithRef) -> list[z3.BoolRef]:
    low, low_open, high, high_open, _ = interval
    told = []
    if low is not None:
        told.append(value > rational(low) if low_open else value >= rational(low))
    if high is not None:
        told.append(value < rational(high) if high_open else value <= rational(high))
    return told


def rational(value: Fraction) -> z3.ArithRef:
    return z3.Q(value.numerator, value.denominator)


_ORDER = {
    "<": lambda a, b: a < b, "<=": lambda a, b: a <= b, "==": lambda a, b: a == b,
    ">": lambda a, b: a > b, ">=": lambda a, b: a >= b,
}  # fmt: skip
_JOIN = {"+": lambda a, b: a + b, "-": lambda a, b: a - b, "*": lambda a, b: a * b, "/": lambda a, b: a / b}


class Model:
    """One set of answers under one pack. `weak_cells` are the figures still to be confirmed.

    Of two sets that are compared, the second has `apart`: what is called so there is another variable, all else is the
    same in both.
    """

    # Definitions by what they say, with the variables in them: packs share most, and two sets of answers differ by name.
    _written: ClassVar[dict[tuple, tuple[list[z3.BoolRef], dict[str, z3.ExprRef]]]] = {}

    def __init__(
        self, book: Book, weak_cells: frozenset[str] = frozenset(), apart: Callable[[str], bool] = lambda name: False
    ) -> None:
        self.book, self.pack, self.weak_cells, self.apart = book, book.pack, weak_cells, apart
        self._definitions: dict[str, list[z3.BoolRef]] = {}
        self._atoms: dict[tuple, z3.BoolRef] = {}
        self._terms: dict[Term, z3.ArithRef] = {}
        self._variables: dict[str, z3.ExprRef] = {}
        self._may_be_weak: dict[str, bool] = {}

    # --- names ---

    def truth(self, name: str) -> z3.BoolRef:
        return self._variable(name, z3.Bool)

    def real(self, name: str) -> z3.ArithRef:
        return self._variable(name, z3.Real)

    def _variable(self, name: str, made: Callable[[str], z3.ExprRef]) -> Any:
        if name not in self._variables:
            self._variables[name] = made(f"{name}'" if self.apart(name) else name)
        return self._variables[name]

    def state(self, question: str, state: str) -> z3.BoolRef:
        return self.truth(f"{question}?{state}")

    def choice(self, name: str, choice: str) -> z3.BoolRef:
        return self.truth(f"{name}={choice}")

    def known(self, name: str) -> z3.BoolRef:
        question = self.pack.questions.get(name)
        if question is None:
            return self.truth(f"{name}?known")
        given = self.state(name, GIVEN)
        return z3.Or(given, self.state(name, NOT_ASKED)) if "default" in question else given

    def weak(self, name: str) -> z3.BoolRef:
        if not self.may_be_weak(name):
            return FALSE
        return TRUE if name in self.pack.parameters else self.truth(f"{name}?weak")

    def may_be_weak(self, name: str) -> bool:
        """Whether a figure that is still to be confirmed stands anywhere behind a name."""
        if name not in self._may_be_weak:
            if name in self.pack.questions:
                found = False
            elif name in self.pack.parameters:
                found = name in self.weak_cells
            else:
                summary = self.book.of(name)
                own = any(self.weak_cells.intersection(way.cells) for way in summary.ways)
                found = bool(self.weak_cells) and (own or any(map(self.may_be_weak, summary.reads)))
            self._may_be_weak[name] = found
        return self._may_be_weak[name]

    def contradicts(self, name: str) -> z3.BoolRef:
        return self.truth(f"{name}?contradicts")

    # --- what holds of every set of answers ---

    def question(self, name: str) -> list[z3.BoolRef]:
        """Its state, its range, its default."""
        asked = self.pack.questions[name]
        told = [_one([self.state(name, state) for state in states(asked)])]
        unasked = self.state(name, NOT_ASKED)
        if asked["kind"] == "number":
            value = self.real(name)
            told += [value >= rational(Fraction(asked["minimum"])), value <= rational(Fraction(asked["maximum"]))]
            if "default" in asked:
                told.append(z3.Implies(unasked, value == rational(Fraction(asked["default"]))))
        elif asked["kind"] == "choice":
            told.append(_one([self.choice(name, c["value"]) for c in asked["choices"]]))
            if "default" in asked:
                told.append(z3.Implies(unasked, self.choice(name, asked["default"])))
        return told

    def range(self, name: str) -> list[z3.BoolRef]:
        """What interval arithmetic knows of a quantity: proved along the way, and of help to the solver."""
        summary = self.book.of(name)
        if summary.choices:
            return [_one([self.choice(name, choice) for choice in summary.choices])]
        told = []
        for value in [self.real(name), *([self.real(f"{name}.bound")] if summary.bounded else [])]:
            told += within(summary.interval, value)
        return told

    def definition(self, name: str) -> list[z3.BoolRef]:
        """A quantity by its paths: each says under what it holds and what then follows."""
        if name not in self._definitions:
            summary = self.book.of(name)
            weak = self.weak_cells.intersection(cell for way in summary.ways for cell in way.cells)
            questions = self.pack.questions
            assumed = frozenset(r for r in summary.reads if r in questions and "default" in questions[r])
            perhaps = frozenset(filter(self.may_be_weak, (name, *summary.reads)))
            key = (id(summary), weak, perhaps, bool(self.weak_cells), assumed)
            if key not in Model._written:
                plain = Model(self.book, self.weak_cells)
                Model._written[key] = plain._defined(summary), plain._variables
            told, variables = Model._written[key]
            renamed = [
                (variable, (self.truth if z3.is_bool(variable) else self.real)(text))
                for text, variable in variables.items()
                if self.apart(text)
            ]
            self._definitions[name] = [z3.substitute(z3.And(told), *renamed)] if renamed else told
        return self._definitions[name]

    def _defined(self, summary: Summary) -> list[z3.BoolRef]:
        name, told = summary.name, []
        coherent = z3.Not(self.contradicts(name))
        for atoms, outcome, reads, cells in summary.ways:
            then = [self.atom(("known", name, outcome.kind != "unknown"))]
            then.append(self.contradicts(name) if outcome.contradicts else coherent)
            if outcome.kind == "number":
                then.append(self.real(name) == self.term(outcome.value))
            elif outcome.kind == "choice":
                then.append(self.choice(name, outcome.value))
            elif outcome.kind == "unknown" and summary.bounded:
                bounded = self.truth(f"{name}?bounded")
                if outcome.value is None:
                    then.append(z3.Not(bounded))
                else:
                    then += [bounded, self.real(f"{name}.bound") == self.term(outcome.value)]
            if self.weak_cells:
                rests = [TRUE] if self.weak_cells.intersection(cells) else [self.weak(read) for read in reads]
                then.append(self.weak(name) == any_of(rests))
            told.append(z3.Implies(z3.And([self.atom(atom) for atom in atoms]), z3.And(then)))
        for text in [text for text in self._variables if bounds_beyond(text)]:
            told += within(bounds_beyond(text), self.real(text))
        return told

    def atom(self, atom: tuple) -> z3.BoolRef:
        """One fact of a path."""
        if atom not in self._atoms:
            self._atoms[atom] = self._atom(atom)
        return self._atoms[atom]

    def _atom(self, atom: tuple) -> z3.BoolRef:
        kind, subject, *rest = atom
        if kind == "cmp":
            symbol, other, truth = rest
            holds = _ORDER[symbol](self.term(subject), self.term(other))
            return holds if truth else z3.Not(holds)
        (way,) = rest
        if kind == "state":
            return self.state(subject, way)
        if kind == "is":
            return self.choice(subject, way)
        if kind in ("given", "doubted"):
            base = self.state(subject, GIVEN if kind == "given" else DONT_KNOW)
        elif kind == "known":
            base = self.known(subject)
        else:
            base = self.truth(subject if kind == "yes" else f"{subject}?bounded")
        return base if way else z3.Not(base)

    def term(self, term: Term) -> z3.ArithRef:
        if term not in self._terms:
            self._terms[term] = self._term(term)
        return self._terms[term]

    def _term(self, term: Term) -> z3.ArithRef:
        kind = term[0]
        if kind == "const":
            return rational(term[1])
        if kind == "var":
            return self.real(term[1])
        if kind == "floor":
            return z3.ToReal(z3.ToInt(self.term(term[1])))
        return _JOIN[kind](self.term(term[1]), self.term(term[2]))

    # --- expressions ---

    def name(self, name: str) -> Any:
        """The value of a name in an expression."""
        question, weak = self.pack.questions.get(name), self.weak(name)
        if name in self.pack.parameters:
            value = rational(Fraction(self.pack.parameters[name].value))
            return Number(TRUE, value, FALSE, value, weak)
        known = self.known(name)
        if question is not None and question["kind"] == "yes-no":
            return Kleene(z3.And(known, self.truth(name)), z3.And(known, z3.Not(self.truth(name))), weak)
        choices = self.book.choices(name)
        if choices:
            return Word(known, {choice: self.choice(name, choice) for choice in choices}, weak)
        if question is None and self.book.of(name).bounded:
            bounded = z3.And(z3.Not(known), self.truth(f"{name}?bounded"))
            return Number(known, self.real(name), bounded, self.real(f"{name}.bound"), weak)
        return Number(known, self.real(name), FALSE, self.real(name), weak)

    def expression(self, tree: list) -> Any:
        head = tree[0]
        if head == "name":
            return self.name(tree[1])
        if head == "stated":
            states_ = self.pack.questions[tree[1]]
            unstated = any_of(self.state(tree[1], s) for s in states(states_) if s == NOT_STATED)
            return Kleene(self.state(tree[1], GIVEN), unstated, FALSE)
        if head == "number":
            value = rational(Fraction(tree[1]))
            return Number(TRUE, value, FALSE, value, FALSE)
        if head == "truth":
            return Kleene(*((TRUE, FALSE) if tree[1] else (FALSE, TRUE)), FALSE)
        if head == "text":
            return Word(TRUE, {tree[1]: TRUE}, FALSE)
        if head in ("and", "or"):
            return self._joined(head == "or", tree[1:])
        parts = [self.expression(part) for part in tree[1:] if isinstance(part, list) and head != "in"]
        if head == "in":
            word = self.expression(tree[1])
            inside = any_of(word.choice[member] for member in tree[2] if member in word.choice)
            return Kleene(z3.And(word.known, inside), z3.And(word.known, z3.Not(inside)), word.weak)
        if head == "not":
            return Kleene(parts[0].false, parts[0].true, parts[0].weak)
        if head in ("==", "!="):
            return self._equal(head, *parts)
        if head in _ORDER:
            return self._ordered(head, *parts)
        weak = any_of(part.weak for part in parts)
        known = all_of(part.known for part in parts)
        if head in _JOIN:
            value = _JOIN[head](parts[0].value, parts[1].value)
            return Number(known, value, FALSE, value, weak)
        if head in ("min", "max"):
            value = parts[0].value
            for part in parts[1:]:
                first = value <= part.value if head == "min" else value >= part.value
                value = z3.If(first, value, part.value)
            return Number(known, value, FALSE, value, weak)
        raise NotImplementedError(f"the node {head!r} has no translation yet")

    def _joined(self, decisive: bool, trees: list) -> Kleene:
        parts, reached, weak = [], TRUE, []
        for tree in trees:
            part = self.expression(tree)
            parts.append(part)
            weak.append(z3.And(reached, part.weak) if not z3.is_false(part.weak) else FALSE)
            reached = z3.And(reached, z3.Not(part.true if decisive else part.false))
        if decisive:
            return Kleene(any_of(p.true for p in parts), all_of(p.false for p in parts), any_of(weak))
        return Kleene(all_of(p.true for p in parts), any_of(p.false for p in parts), any_of(weak))

    def _equal(self, head: str, a: Any, b: Any) -> Kleene:
        if isinstance(a, Word):
            same = any_of(z3.And(a.choice[c], b.choice[c]) for c in a.choice if c in b.choice)
            known = z3.And(a.known, b.known)
        elif isinstance(a, Number):
            same, known = a.value == b.value, z3.And(a.known, b.known)
        else:
            same = z3.Or(z3.And(a.true, b.true), z3.And(a.false, b.false))
            known = z3.And(z3.Or(a.true, a.false), z3.Or(b.true, b.false))
        if head == "!=":
            same = z3.Not(same)
        return Kleene(z3.And(known, same), z3.And(known, z3.Not(same)), z3.Or(a.weak, b.weak))

    def _ordered(self, symbol: str, a: Number, b: Number) -> Kleene:
        small, large = (a, b) if symbol in ("<", "<=") else (b, a)
        before = _ORDER["<" if symbol in ("<", ">") else "<="]
        both = z3.And(small.known, large.known)
        holds = before(small.value, large.value)
        true, false = z3.And(both, holds), z3.And(both, z3.Not(holds))
        if not z3.is_false(large.bounded):
            true = z3.Or(true, z3.And(small.known, large.bounded, before(small.value, large.bound)))
        if not z3.is_false(small.bounded):
            false = z3.Or(false, z3.And(large.known, small.bounded, z3.Not(before(small.bound, large.value))))
        return Kleene(true, false, any_of([a.weak, b.weak]))


def _one(truths: list[z3.BoolRef]) -> z3.BoolRef:
    """Exactly one of them."""
    return z3.PbEq([(truth, 1) for truth in truths], 1) if len(truths) > 1 else truths[0]


def quantities_of(book: Book, names: Iterable[str]) -> list[str]:
    """The quantities among `names` and all they rest on, in the order in which they can be worked out."""
    ordered: dict[str, None] = {}

    def visit(name: str) -> None:
        if name in QUANTITIES and name not in ordered:
            for read in book.of(name).reads:
                visit(read)
            ordered[name] = None

    for name in names:
        visit(name)
    return list(ordered)


def tree_names(tree: Any) -> set[str]:
    """The names an expression tree reads."""
    if not isinstance(tree, list):
        return set()
    if tree and tree[0] in ("name", "stated"):
        return {tree[1]}
    return set().union(*(tree_names(part) for part in tree)) if tree else set()

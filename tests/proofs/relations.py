"""Two sets of answers side by side: how what is computed from one stands to what is computed from the other.

Each quantity is proved once, from how the names it reads stand; what is proved of it then serves those that read it.
So a proof about a rule is a chain of small ones, and none needs the whole set of rules at once.
"""

from __future__ import annotations

from typing import ClassVar, NamedTuple

import z3

from checker.core.quantities import QUANTITIES
from tests.proofs.judged import Finding, Judged
from tests.proofs.model import Model, all_of, quantities_of, solver
from tests.proofs.summaries import DONT_KNOW, GIVEN, Book, bounds_beyond, states


class Stands(NamedTuple):
    """How a name in the second set (b) stands to the same in the first (a).

    `known`: same, gains (what a knows, b knows), loses, or any. `value`, where both know it: same, up, down or any.
    `bound`: whether a lower bound is there in both or in neither, and stands like the value.
    """

    known: str = "any"
    value: str = "any"
    bound: bool = False


def _implied(stands: Stands, name: str, a: Model, b: Model) -> list[z3.BoolRef]:
    return [told for _, told in _claims(stands, name, a, b)]


def _claims(stands: Stands, name: str, a: Model, b: Model) -> list[tuple[str, z3.BoolRef]]:
    claims = []
    known_a, known_b = a.known(name), b.known(name)
    both = z3.And(known_a, known_b)
    if stands.known in ("same", "gains"):
        claims.append(("gains", z3.Implies(known_a, known_b)))
    if stands.known in ("same", "loses"):
        claims.append(("loses", z3.Implies(known_b, known_a)))
    choices = a.book.choices(name)
    if choices:
        if stands.value == "same":
            same = all_of(a.choice(name, c) == b.choice(name, c) for c in choices)
            claims.append(("up", z3.Implies(both, same)))
            claims.append(("down", z3.Implies(both, same)))
        return claims
    if stands.value in ("same", "up"):
        claims.append(("up", z3.Implies(both, a.real(name) <= b.real(name))))
    if stands.value in ("same", "down"):
        claims.append(("down", z3.Implies(both, a.real(name) >= b.real(name))))
    if stands.bound and name in QUANTITIES and a.book.of(name).bounded:
        low_a, low_b = (m.real(f"{name}.bound") for m in (a, b))
        has_a, has_b = (m.truth(f"{name}?bounded") for m in (a, b))
        order = {"same": low_a == low_b, "up": low_a <= low_b, "down": low_a >= low_b}.get(stands.value)
        if order is not None:
            neither = z3.And(z3.Not(known_a), z3.Not(known_b))
            claims.append(("bound", z3.Implies(neither, z3.And(has_a == has_b, z3.Implies(has_a, order)))))
    return claims


def holds(assumed: list[z3.BoolRef], claim: z3.BoolRef) -> bool:
    """Whether `claim` follows. Too much work counts as no: nothing is proved that the solver did not prove."""
    return solver(*assumed, z3.Not(claim)).check() == z3.unsat


class Step:
    """One answer that gets better, everything else as it was: `question` goes `up` or `down` (choices: by their order)."""

    _proved: ClassVar[dict[tuple, Stands]] = {}

    def __init__(self, book: Book, question: str, way: str) -> None:
        self.book, self.question, self.way = book, question, way
        self.stands: dict[str, Stands] = {question: Stands("same", way)}
        self.a = Model(book)
        self.b = Model(book, apart=self._apart)
        judged = Judged(self.a)
        for name in quantities_of(book, sorted(set().union(*map(judged.names, judged.rules)))):
            if self.stands.keys() & set(book.of(name).reads):
                self.stands[name] = Stands()  # apart from here on, before it is proved what it is
                self.stands[name] = self._proved_of(name)

    def _apart(self, text: str) -> bool:
        name = text.partition("?")[0].partition("=")[0].removesuffix(".bound")
        # Only the value of the answer changes, never whether it was given.
        return name in self.stands and not (name == self.question and "?" in text)

    def _given(self) -> list[z3.BoolRef]:
        """The answer in both sets: both given, the second one better."""
        a, b, name = self.a, self.b, self.question
        told = [a.state(name, GIVEN), *a.question(name), *b.question(name)]
        if self.book.pack.questions[name]["kind"] == "number":
            first, second = a.real(name), b.real(name)
            return [*told, first <= second if self.way == "up" else first >= second]
        choices = [choice["value"] for choice in self.book.pack.questions[name]["choices"]]
        ordered = choices if self.way == "up" else choices[::-1]
        # Once b is at a choice, a is there or before it.
        told += [
            z3.Implies(b.choice(name, at), z3.Or([a.choice(name, c) for c in ordered[: place + 1]]))
            for place, at in enumerate(ordered)
        ]
        return told

    def assumed(self, reads: set[str]) -> list[z3.BoolRef]:
        """What is known of the names in `reads`, in both sets and between them."""
        told = []
        for name in sorted(reads):
            if name == self.question:
                told += self._given()
            elif name in self.book.pack.questions:
                told += self.a.question(name)
            elif name in QUANTITIES:
                told += self.a.range(name)
                told.append(z3.Not(self.a.contradicts(name)))
                if name in self.stands:
                    told += self.b.range(name)
                    told += _implied(self.stands[name], name, self.a, self.b)
                    told.append(z3.Not(self.b.contradicts(name)))
        return told

    def _proved_of(self, name: str) -> Stands:
        self.book.of(name)
        key = (name, self.book.meaning([name]), self.question, self.way)
        if key not in Step._proved:
            Step._proved[key] = self._prove(name)
        return Step._proved[key]

    def _prove(self, name: str) -> Stands:
        told = self.assumed(set(self.book.of(name).reads))
        told += self.a.definition(name) + self.b.definition(name) + self.a.range(name) + self.b.range(name)
        told += [z3.Not(self.a.contradicts(name)), z3.Not(self.b.contradicts(name))]
        proved = {word for word, claim in _claims(Stands("same", "same"), name, self.a, self.b) if holds(told, claim)}
        known = {(True, True): "same", (True, False): "gains", (False, True): "loses"}.get(
            ("gains" in proved, "loses" in proved), "any"
        )
        value = {(True, True): "same", (True, False): "up", (False, True): "down"}.get(
            ("up" in proved, "down" in proved), "any"
        )
        stands = Stands(known, value, True)
        bounds = [claim for word, claim in _claims(stands, name, self.a, self.b) if word == "bound"]
        return stands if all(holds(told, claim) for claim in bounds) else Stands(known, value)

    def touched(self) -> list[str]:
        """The rules that read anything that changes."""
        judged = Judged(self.a)
        return [rule for rule in judged.decides if judged.names(rule) & self.stands.keys()]

    def proves(self, rule: str, worse: z3.BoolRef) -> bool:
        """Whether it follows from what is proved of the quantities that the rule does not come out worse."""
        return holds(self.assumed(Judged(self.a).names(rule)), z3.Not(worse))

    def whole(self, rule: str) -> list[z3.BoolRef]:
        """Everything the rule rests on, in both sets."""
        names = Judged(self.a).names(rule)
        quantities = quantities_of(self.book, sorted(names))
        told = self._given()
        told += self.assumed(names.union(*(self.book.of(q).reads for q in quantities)) | set(quantities))
        for name in quantities:
            told += self.a.definition(name) + (self.b.definition(name) if name in self.stands else [])
        return told


def lost(a: Finding, b: Finding) -> z3.BoolRef:
    """The rule stood in nobody's way, and now it does."""
    return z3.And(z3.Or(a.passed, a.absent), z3.Or(b.failed, b.open))


def newly_failed(a: Finding, b: Finding) -> z3.BoolRef:
    """The rule could not tell, and now it fails."""
    return z3.And(a.open, b.failed)


class Doubt:
    """The second set is the first with any number of answers replaced by "don't know"."""

    _proved: ClassVar[dict[tuple, bool]] = {}

    def __init__(self, book: Book, weak_cells: frozenset[str]) -> None:
        self.book = book
        self.a = Model(book, weak_cells)
        self.b = Model(book, weak_cells, apart=self._apart)
        self.unproved: set[str] = set()

    def _apart(self, text: str) -> bool:
        # An answer that is not known has no value, so the value may as well stay what it was.
        name = text.partition("?")[0].partition("=")[0].removesuffix(".bound")
        return "?" in text or not (name in self.book.pack.questions or bounds_beyond(name))

    def assumed(self, reads: set[str]) -> list[z3.BoolRef]:
        told = []
        for name in sorted(reads):
            if name in self.book.pack.questions:
                told += self.a.question(name) + self.b.question(name)
                doubted = self.b.state(name, DONT_KNOW)
                told += [
                    z3.Or(doubted, self.a.state(name, state) == self.b.state(name, state))
                    for state in states(self.book.pack.questions[name])
                ]
            elif name in QUANTITIES:
                told += self.a.range(name) + self.b.range(name) + [z3.Not(self.a.contradicts(name))]
                if name not in self.unproved:
                    told.append(self.less_known(name))
        return told

    def less_known(self, name: str) -> z3.BoolRef:
        """What b knows a knows too, the same; b's lower bound holds in a; what is weak in a is weak in b, if b knows it."""
        a, b = self.a, self.b
        known_a, known_b = a.known(name), b.known(name)
        choices = self.book.choices(name)
        if choices:
            same = all_of(a.choice(name, c) == b.choice(name, c) for c in choices)
        else:
            same = a.real(name) == b.real(name)
        told = [z3.Implies(known_b, z3.And(known_a, same))]
        weak_a, weak_b, serves = a.weak(name), b.weak(name), known_b
        if self.book.of(name).bounded:
            low_a, low_b = a.real(f"{name}.bound"), b.real(f"{name}.bound")
            bounded = z3.And(z3.Not(known_b), b.truth(f"{name}?bounded"))
            serves = z3.Or(known_b, bounded)
            there = z3.If(known_a, a.real(name) >= low_b, z3.And(a.truth(f"{name}?bounded"), low_a >= low_b))
            told.append(z3.Implies(bounded, there))
        if not z3.is_false(weak_a):
            told.append(z3.Implies(z3.And(serves, weak_a), weak_b))
        return all_of(told)

    def prove(self, name: str) -> bool:
        summary = self.book.of(name)
        weak = self.a.weak_cells.intersection(cell for way in summary.ways for cell in way.cells)
        perhaps = tuple(filter(self.a.may_be_weak, (name, *summary.reads)))
        key = (id(summary), weak, perhaps, tuple(read for read in summary.reads if read in self.unproved))
        if key not in Doubt._proved:
            told = self.assumed(set(summary.reads))
            told += self.a.definition(name) + self.b.definition(name) + self.a.range(name) + self.b.range(name)
            told.append(z3.Not(self.a.contradicts(name)))
            Doubt._proved[key] = holds(told, self.less_known(name))
        if not Doubt._proved[key]:
            self.unproved.add(name)
        return Doubt._proved[key]

    def gives(self, rule: str) -> z3.BoolRef:
        """What it would take for a doubt to give a pass, or for the truth to overturn what was decided in doubt."""
        a, b = (Judged(model).finding(rule) for model in (self.a, self.b))
        overturned = z3.Or(z3.And(b.failed, z3.Not(a.failed)), z3.And(b.absent, z3.Not(a.absent)))
        return z3.Or(overturned, z3.And(b.passed, z3.Not(a.passed)))

    def proves(self, rule: str) -> bool:
        return holds(self.assumed(Judged(self.a).names(rule)), z3.Not(self.gives(rule)))

    def whole(self, rule: str) -> list[z3.BoolRef]:
        names = Judged(self.a).names(rule)
        quantities = quantities_of(self.book, sorted(names))
        told = self.assumed(names.union(*(self.book.of(q).reads for q in quantities)) | set(quantities))
        for name in quantities:
            told += self.a.definition(name) + self.b.definition(name)
        return told

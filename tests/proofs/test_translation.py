"""The solver's pack and the checker's are the same: on random answers, both give the same values and findings.

And what the translation rests on: every quantity a rule reads has one, no path of it divides by zero, and the verdict's
formulas say what `verdict.reach` says for every mixture of outcomes.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import ClassVar

import pytest
import z3
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from checker.core import verdict
from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, PASSED, Gate
from checker.core.pack import Pack
from checker.core.quantities import QUANTITIES
from checker.core.values import Unknown
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial
from tests import sampling
from tests.core import strategies
from tests.core.asking import AS_OF
from tests.core.test_verdict import finding
from tests.proofs import answers as told
from tests.proofs.judged import Judged
from tests.proofs.judged import verdict as verdict_terms
from tests.proofs.model import Model, quantities_of
from tests.proofs.relations import holds as proved
from tests.proofs.shared import PACKS, book, each_pack
from tests.proofs.summaries import DONT_KNOW, GIVEN, NOT_ASKED, NOT_STATED, states

pytestmark = pytest.mark.slow
# The checker rounds to 34 digits; a chain of a dozen operations stays well within this share.
CLOSE = Fraction(1, 10**30)


class Held:
    """A solver that knows a pack, to be asked about one set of answers at a time."""

    kept: ClassVar[dict[str, Held]] = {}

    def __init__(self, name: str) -> None:
        self.model = Model(book(name))
        self.judged = Judged(self.model)
        self.names = quantities_of(book(name), sorted(set().union(*map(self.judged.names, self.judged.rules))))
        self.solver = z3.Solver()
        self.solver.add(self.judged.facts())

    @classmethod
    def of(cls, name: str) -> Held:
        if name not in cls.kept:
            cls.kept[name] = cls(name)
        return cls.kept[name]

    def pinned(self, answers: dict, free: frozenset[str] = frozenset()) -> list[z3.BoolRef]:
        """These answers and no others; to the questions in `free` anything but "don't know" and silence."""
        model, pinned = self.model, []
        for name, question in model.pack.questions.items():
            if name in free:
                pinned += [z3.Not(model.state(name, state)) for state in (DONT_KNOW, NOT_ASKED)]
                continue
            value = answers.get(name, NOT_ASKED)
            state = value if value in (DONT_KNOW, NOT_STATED, NOT_ASKED) else GIVEN
            pinned += [model.state(name, s) if s == state else z3.Not(model.state(name, s)) for s in states(question)]
            if state != GIVEN:
                continue
            if question["kind"] == "number":
                number = Fraction(str(value))
                pinned.append(model.real(name) == z3.Q(number.numerator, number.denominator))
            elif question["kind"] == "choice":
                pinned.append(model.choice(name, value))
            else:
                pinned.append(model.truth(name) == value)
        return pinned

    def found(self, answers: dict) -> z3.ModelRef:
        self.solver.push()
        self.solver.add(self.pinned(answers))
        assert self.solver.check() == z3.sat, answers
        found = self.solver.model()
        self.solver.pop()
        return found


@each_pack
def test_gives_the_same_values_and_findings_as_the_checker(name):
    @settings(
        max_examples=200 if sampling.deep() else 10, deadline=None, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(st.data())
    def same(data):
        pack, held = PACKS[name], Held.of(name)
        answers = _known(pack, data.draw(strategies.cases(pack.id)))
        # Of LED lamps without a printed power factor the checker knows two bounds, the solver any value between.
        assume(not (answers.get("load_kind") == "led-lamps" and answers.get("power_factor") == NOT_STATED))
        found = held.found(answers)
        situation, findings, reached = told.judged(pack, answers)
        # Beyond the last row of a table the checker knows a bound, the solver any number within it: what the checker
        # leaves open, the solver's number may decide.
        beyond: set[str] = set()
        for quantity in held.names:
            value = situation.known(quantity).value
            bounded = not beyond.isdisjoint(held.model.book.of(quantity).reads)
            if isinstance(value, Span) or (isinstance(value, Unknown) and bounded):
                beyond.add(quantity)
            if not (isinstance(value, Unknown) and bounded):
                assert_same(held.model, found, quantity, value)
        for row in findings:
            if row.outcome == CANNOT_TELL and not beyond.isdisjoint(held.judged.names(row.rule.id)):
                continue
            terms = held.judged.finding(row.rule.id)
            said = dict(zip((PASSED, FAILED, CANNOT_TELL, NOT_APPLICABLE), terms, strict=True))
            assert [word for word, term in said.items() if holds(found, term)] == [row.outcome], row.rule.id
        if beyond:
            return
        for kind, outcome in (
            ("headline", reached.headline), ("who", reached.who.outcome), ("sizing", reached.sizing.outcome),
        ):  # fmt: skip
            assert [w for w, term in held.judged.verdict[kind].items() if holds(found, term)] == [outcome]

    same()


@each_pack
def test_what_is_told_as_decided_for_any_answer_is_so(name):
    """`checker.core.whatif.any_answer` tries numbers by their bounds; the solver tries each of them."""
    seen = set()

    @settings(
        max_examples=100 if sampling.deep() else 6, deadline=None, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(st.data())
    def decided(data):
        pack, held = PACKS[name], Held.of(name)
        answers = _known(pack, data.draw(strategies.cases(pack.id)))
        doubted = data.draw(st.lists(st.sampled_from(sorted(answers)), min_size=6, max_size=16, unique=True))
        answers |= dict.fromkeys(doubted, DONT_KNOW)
        situation, findings, _ = told.judged(pack, answers)
        trial, bench = Trial(pack, situation.answers), Bench(Gate(AS_OF, told.everything(pack)))
        for before in findings:
            after = any_answer.settle(before, trial, bench)
            if after is not before:
                free = frozenset(reason.id for reason in after.reasons)
                terms = held.judged.finding(after.rule.id)
                term = {PASSED: terms.passed, FAILED: terms.failed}[after.outcome]
                coherent = [z3.Not(held.model.contradicts(quantity)) for quantity in held.names]
                held.solver.push()
                held.solver.add(*held.pinned(answers, free), *coherent, z3.Not(term))
                assert held.solver.check() == z3.unsat, (after.rule.id, after.outcome, sorted(free), answers)
                held.solver.pop()
                seen.add(after.rule.id)

    decided()
    assert seen, "else nothing was held against the solver"


def _known(pack: Pack, answers: dict) -> dict:
    """The answers that this edition knows the questions and choices of."""
    choices = {n: [c["value"] for c in q["choices"]] for n, q in pack.questions.items() if q["kind"] == "choice"}
    words = (DONT_KNOW, NOT_STATED)
    return {
        n: v for n, v in answers.items() if n in pack.questions and (n not in choices or v in (*choices[n], *words))
    }


def holds(found: z3.ModelRef, term: z3.BoolRef) -> bool:
    return z3.is_true(found.eval(term, model_completion=True))


def assert_same(model: Model, found: z3.ModelRef, name: str, value: object) -> None:
    known = holds(found, model.known(name))
    assert known is not isinstance(value, Unknown), name
    if isinstance(value, str):
        assert holds(found, model.choice(name, value)), name
    elif isinstance(value, Decimal):
        assert_close(found, model.real(name), value, name)
    elif isinstance(value, Span):
        number = found.eval(model.real(name), model_completion=True).as_fraction()
        assert number * (1 + CLOSE) >= Fraction(value.low), name
        assert value.high.is_infinite() or number <= Fraction(value.high) * (1 + CLOSE), name
    elif isinstance(value, Unknown) and model.book.of(name).bounded:
        bounded = holds(found, model.truth(f"{name}?bounded"))
        assert bounded is (value.at_least is not None), name
        if value.at_least is not None:
            assert_close(found, model.real(f"{name}.bound"), value.at_least, name)


def assert_close(found: z3.ModelRef, term: z3.ArithRef, value: Decimal, name: str) -> None:
    exact = found.eval(term, model_completion=True).as_fraction()
    assert abs(exact - Fraction(value)) <= abs(exact) * CLOSE, name


@each_pack
def test_every_quantity_that_a_rule_reads_has_a_translation(name):
    judged = Judged(Model(book(name)))
    read = quantities_of(book(name), sorted(set().union(*map(judged.names, judged.rules))))
    assert set(read) <= QUANTITIES.keys()
    assert not book(name).refused


@each_pack
def test_no_answers_make_a_quantity_divide_by_zero(name):
    judged = Judged(Model(book(name)))
    for quantity in quantities_of(book(name), sorted(set().union(*map(judged.names, judged.rules)))):
        assert not [way for way in book(name).of(quantity).ways if way.outcome.kind == "fault"], quantity


def test_the_verdict_in_formulas_is_the_verdict_of_the_checker():
    """Whether some rule of a part passed, failed, is open: 512 mixtures, with each answer to who does the work."""
    parts, said = ("danger", "who", "sizing"), {"passed": PASSED, "failed": FAILED, "open": CANNOT_TELL}
    flags = list(product(parts, said))
    supervised = z3.Bool("supervised")
    terms = verdict_terms(lambda part, outcome: z3.Bool(f"{part} {outcome}"), supervised)
    for words in terms.values():
        assert proved([], z3.PbEq([(term, 1) for term in words.values()], 1)), "one word at a time"
    for truths in product((True, False), repeat=len(flags)):
        held = [finding(part, said[word]) for (part, word), truth in zip(flags, truths, strict=True) if truth]
        pinned = [(z3.Bool(f"{p} {w}"), z3.BoolVal(truth)) for (p, w), truth in zip(flags, truths, strict=True)]
        for workers in (("supervised",), ("licensed", "unlicensed", "dont-know", None)):
            (reached,) = {
                (r.headline, r.who.outcome, r.sizing.outcome) for r in (verdict.reach(held, w) for w in workers)
            }
            term = z3.And([words[word] for words, word in zip(terms.values(), reached, strict=True)])
            sure = (supervised, z3.BoolVal(workers == ("supervised",)))
            assert z3.is_true(z3.simplify(z3.substitute(term, *pinned, sure))), (held, workers)

"""Numbers that stand for all numbers: the checker's own quantity functions run on them, path by path.

A `Num` is a Decimal that holds no digits but a term. Whatever compares it splits the run in two, unless what the path
already knows decides it. `explore` runs a function once a path, so that its paths together are the whole function: no
second writing of it that could drift. A Num is a signalling NaN besides, so an operation nobody foresaw here raises
instead of giving a number.

Arithmetic is exact (terms over the rationals), while the checker rounds each operation to 34 digits, half to even.
Rounding never turns an order round (x <= y gives rounded x <= rounded y), equal operations round equally, and a known
figure is compared as it is computed, so the proofs about the computed values carry over; those that go back to the
answers say how far rounding can matter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Context, Decimal
from fractions import Fraction
from typing import Any, NamedTuple

Term = tuple  # ("var", name) | ("const", Fraction) | (operator, Term, Term) | ("floor", Term)


class NotEncodable(Exception):
    """The function does something that has no translation."""


class Interval(NamedTuple):
    """`low` and `high` may be None (endless); an open end is not itself a value. `holes` are left out."""

    low: Fraction | None
    low_open: bool
    high: Fraction | None
    high_open: bool
    holes: frozenset = frozenset()


EVERYTHING = Interval(None, True, None, True)


def point(value: Fraction) -> Interval:
    return Interval(value, False, value, False)


def const(value: Decimal | int | Fraction) -> Term:
    return ("const", Fraction(value))


class Path:
    """One run: the forks taken so far, and what they say."""

    current: Path

    def __init__(self, forced: list[int], ranges: Callable[[str], Interval]) -> None:
        self.forced, self.taken, self.arity = forced, [], []
        self.ranges = ranges
        self.atoms: list[tuple] = []
        self.facts: dict[Any, Any] = {}
        self.narrowed: dict[Term, Interval] = {}

    def choose(self, ways: int) -> int:
        at = len(self.taken)
        way = self.forced[at] if at < len(self.forced) else 0
        self.taken.append(way)
        self.arity.append(ways)
        return way

    def settle(self, key: tuple, ways: tuple) -> Any:
        """Which of `ways` the fact `key` is on this path; splits the first time it is asked."""
        if key not in self.facts:
            if not ways:
                raise NotEncodable(f"{key} has no value")
            way = ways[0] if len(ways) == 1 else ways[self.choose(len(ways))]
            self.facts[key] = way
            self.atoms.append((*key, way))
        return self.facts[key]

    def interval(self, term: Term) -> Interval:
        """Bounds of a term by interval arithmetic and by what the path says: an over-estimate, never too narrow."""
        if term in self.narrowed:
            return self.narrowed[term]
        if term[0] == "const":
            return point(term[1])
        if term[0] == "var":
            return self.ranges(term[1])
        return _joined(term[0], *(self.interval(part) for part in term[1:]))

    def compare(self, a: Term, symbol: str, b: Term) -> bool:
        """Whether `a symbol b` (<, <= or ==) on this path."""
        if a[0] == "const" and b[0] == "const":
            return {"<": a[1] < b[1], "<=": a[1] <= b[1], "==": a[1] == b[1]}[symbol]
        if a == b:
            return symbol != "<"
        if a[0] == "const" and symbol != "==":
            return not self.compare(b, "<=" if symbol == "<" else "<", a)
        if a[0] == "const":
            a, b = b, a
        if b[0] != "const":
            if symbol != "==" and repr(b) < repr(a):
                return not self.compare(b, "<=" if symbol == "<" else "<", a)
            if repr(b) < repr(a):
                a, b = b, a
            a, b = ("-", a, b), const(0)
        held, bound = self.interval(a), b[1]
        yes, no = _cut(held, symbol, bound)
        if yes is None or no is None:
            return yes is not None
        truth = self.choose(2) == 0
        self.narrowed[a] = yes if truth else no
        self.atoms.append(("cmp", a, symbol, b, truth))
        return truth


def _cut(held: Interval, symbol: str, c: Fraction) -> tuple[Interval | None, Interval | None]:
    """`held` in two: where the comparison with `c` is true, and where it is false (None where that cannot be)."""
    below = _nonempty(held._replace(high=c, high_open=True)) if _over(held, c, True) else held
    upto = _nonempty(held._replace(high=c, high_open=False)) if _over(held, c, False) else held
    above = _nonempty(held._replace(low=c, low_open=True)) if _under(held, c, True) else held
    from_ = _nonempty(held._replace(low=c, low_open=False)) if _under(held, c, False) else held
    if symbol == "<":
        return below, from_
    if symbol == "<=":
        return upto, above
    inside = _nonempty(point(c)) if below is not held and above is not held and c not in held.holes else None
    touches = inside and _within(held, c)
    rest = _nonempty(held._replace(holes=held.holes | {c}))
    return (point(c) if touches else None), rest


def _over(held: Interval, c: Fraction, open_: bool) -> bool:
    """Whether `held` reaches beyond what a new high end `c` would allow."""
    return held.high is None or held.high > c or (held.high == c and open_ and not held.high_open)


def _under(held: Interval, c: Fraction, open_: bool) -> bool:
    return held.low is None or held.low < c or (held.low == c and open_ and not held.low_open)


def _within(held: Interval, c: Fraction) -> bool:
    low = held.low is None or held.low < c or (held.low == c and not held.low_open)
    high = held.high is None or held.high > c or (held.high == c and not held.high_open)
    return low and high and c not in held.holes


def _nonempty(held: Interval) -> Interval | None:
    if held.low is not None and held.low in held.holes:
        held = held._replace(low_open=True)
    if held.high is not None and held.high in held.holes:
        held = held._replace(high_open=True)
    if held.low is None or held.high is None or held.low < held.high:
        return held
    return held if held.low == held.high and not held.low_open and not held.high_open else None


def _joined(symbol: str, a: Interval, b: Interval = EVERYTHING) -> Interval:
    if symbol == "floor":
        return EVERYTHING if a.low is None or a.low < 0 else Interval(Fraction(0), False, a.high, a.high_open)
    if symbol == "-":
        low, high = (None if end is None else -end for end in (b.high, b.low))
        return _joined("+", a, Interval(low, b.high_open, high, b.low_open))
    if symbol == "+":
        low = None if a.low is None or b.low is None else a.low + b.low
        high = None if a.high is None or b.high is None else a.high + b.high
        return Interval(low, a.low_open or b.low_open, high, a.high_open or b.high_open)
    if a.low is None or b.low is None or a.low < 0 or b.low < 0:
        return EVERYTHING
    if symbol == "*":
        open_ = (a.low_open and (b.low > 0 or b.low_open)) or (b.low_open and (a.low > 0 or a.low_open))
        high = None if a.high is None or b.high is None else a.high * b.high
        return Interval(a.low * b.low, open_, high, False)
    high = None if a.high is None or b.low == 0 else a.high / b.low
    if not b.high:
        return Interval(Fraction(0), a.low > 0 or a.low_open, high, False)
    return Interval(a.low / b.high, a.low_open and a.low == 0, high, False)


class Num(Decimal):
    """A number known by its term alone."""

    term: Term

    def __new__(cls, term: Term) -> Num:
        made = super().__new__(cls, "sNaN")
        made.term = term
        return made

    def __eq__(self, other: object) -> bool:
        return Path.current.compare(self.term, "==", term_of(other)) if isinstance(other, Decimal | int) else False

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __lt__(self, other: Any) -> bool:
        return Path.current.compare(self.term, "<", term_of(other))

    def __le__(self, other: Any) -> bool:
        return Path.current.compare(self.term, "<=", term_of(other))

    def __gt__(self, other: Any) -> bool:
        return Path.current.compare(term_of(other), "<", self.term)

    def __ge__(self, other: Any) -> bool:
        return Path.current.compare(term_of(other), "<=", self.term)

    def __hash__(self) -> int:
        held = Path.current.interval(self.term)
        if held.low is None or held.low != held.high:
            raise NotEncodable("a look-up by a number that is not settled")
        return hash(held.low)

    def __bool__(self) -> bool:
        return self != 0

    def __add__(self, other: Any) -> Num:
        return Num(("+", self.term, term_of(other)))

    def __radd__(self, other: Any) -> Num:
        return Num(("+", term_of(other), self.term))

    def __sub__(self, other: Any) -> Num:
        return Num(("-", self.term, term_of(other)))

    def __rsub__(self, other: Any) -> Num:
        return Num(("-", term_of(other), self.term))

    def __mul__(self, other: Any) -> Num:
        return Num(("*", self.term, term_of(other)))

    def __rmul__(self, other: Any) -> Num:
        return Num(("*", term_of(other), self.term))

    def __truediv__(self, other: Any) -> Num:
        return _quotient(self, other)

    def __rtruediv__(self, other: Any) -> Num:
        return _quotient(other, self)

    def to_integral_value(self, rounding: str | None = None, context: Context | None = None) -> Num:
        if rounding != "ROUND_FLOOR":
            raise NotEncodable(f"rounding {rounding}")
        return Num(("floor", self.term))


def _quotient(a: Any, b: Any) -> Num:
    if b == 0:
        raise ZeroDivisionError("a quantity divides by zero")
    return Num(("/", term_of(a), term_of(b)))


def term_of(value: Any) -> Term:
    return value.term if isinstance(value, Num) else const(value)


def explore(
    run: Callable[[], Any], ranges: Callable[[str], Interval], most: int = 60_000
) -> Iterator[tuple[Path, Any]]:
    """Every path of `run`, with what it gives."""
    forced: list[int] = []
    for _ in range(most):
        before = getattr(Path, "current", None)
        path = Path.current = Path(forced, ranges)
        try:
            result = run()
        finally:
            Path.current = before
        yield path, result
        taken, arity = path.taken, path.arity
        while taken and taken[-1] == arity[-1] - 1:
            taken.pop()
            arity.pop()
        if not taken:
            return
        forced = [*taken[:-1], taken[-1] + 1]
    raise NotEncodable(f"more than {most} paths")

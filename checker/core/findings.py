"""Every rule judged on one case: passed, failed, cannot tell, or not applicable.

The gate stands here too: a pass that rests on a weak or stale figure becomes "cannot tell" until the reader confirms
the figure in their own copy. It can only take passes away.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .pack import Comparison, Rule
from .situation import Reader, Situation
from .tables import Cell
from .values import CONTEXT, Reason, Unknown, Value

PASSED, FAILED, CANNOT_TELL, NOT_APPLICABLE = "passed", "failed", "cannot-tell", "not-applicable"


class Side(NamedTuple):
    name: str
    value: Decimal
    unit: str


class Finding(NamedTuple):
    rule: Rule
    outcome: str
    reasons: tuple[Reason, ...]
    cells: tuple[Cell, ...]
    unasked: tuple[str, ...]
    left: Side | None
    right: Side | None

    @property
    def margin_percent(self) -> Decimal | None:
        """How much of the limit is left over, in percent of the limit; negative when it is exceeded."""
        if self.left is None or self.right is None or self.right.value == 0:
            return None
        return CONTEXT.multiply(
            CONTEXT.divide(CONTEXT.subtract(self.right.value, self.left.value), self.right.value), Decimal(100)
        )


def judge(situation: Situation, as_of: str, confirmed: frozenset[str]) -> list[Finding]:
    """One finding a rule, in the order of the pack."""
    return [_judge(rule, situation, as_of, confirmed) for rule in situation.pack.rules]


def _judge(rule: Rule, situation: Situation, as_of: str, confirmed: frozenset[str]) -> Finding:
    reader = Reader(situation)
    applies = rule.applies(reader)
    if applies is False:
        return Finding(rule, NOT_APPLICABLE, (), (), reader.resting(False).unasked, None, None)
    # A requirement is worked out even while it is open whether the rule applies: its doubts belong in the report.
    requires: Value = rule.requires(reader)
    rests = reader.resting(requires)
    cells = (rule.own, *rests.cells)
    left, right = _sides(rule, situation, requires)
    reasons: tuple[Reason, ...] = ()
    if isinstance(applies, Unknown):
        outcome, reasons = CANNOT_TELL, applies.reasons
    elif isinstance(requires, Unknown):
        outcome, reasons = CANNOT_TELL, requires.reasons
    elif not requires:
        outcome = FAILED
    else:
        reasons = tuple(_weak(cells, as_of, confirmed))
        outcome = CANNOT_TELL if reasons else PASSED
    return Finding(rule, outcome, reasons, cells, rests.unasked, left, right)


def _weak(cells: tuple[Cell, ...], as_of: str, confirmed: frozenset[str]):
    for cell in cells:
        if cell.status == "conflict":
            yield Reason("conflict", cell.id)
        elif (cell.status == "memory" or cell.stale_after < as_of) and cell.id not in confirmed:
            yield Reason("confirm", cell.id)


def _sides(rule: Rule, situation: Situation, requires: Value) -> tuple[Side | None, Side | None]:
    """The comparison that explains the outcome: the failed one, else the one with the least to spare."""
    best: tuple[Decimal, Side, Side] | None = None
    for comparison in rule.comparisons:
        sides = _measured(comparison, situation)
        if sides is None:
            continue
        have, limit = sides
        spare = CONTEXT.divide(CONTEXT.subtract(limit.value, have.value), limit.value) if limit.value else Decimal(-1)
        if best is None or spare < best[0]:
            best = (spare, have, limit)
    return (best[1], best[2]) if best else (None, None)


def _measured(comparison: Comparison, situation: Situation) -> tuple[Side, Side] | None:
    """Both sides, written so that the left one has to stay at or below the right one."""
    reader = Reader(situation)
    left, right = comparison.left(reader), comparison.right(reader)
    if isinstance(left, Unknown) or isinstance(right, Unknown):
        return None
    a, b = Side(comparison.left_name, left, comparison.unit), Side(comparison.right_name, right, comparison.unit)
    return (a, b) if comparison.symbol in ("<", "<=") else (b, a)

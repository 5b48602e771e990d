"""Every rule judged on one case: passed, failed, cannot tell, or not applicable.

The gate stands here too: a pass that rests on a weak or stale figure becomes "cannot tell" until the reader confirms
the figure in their own copy. It can only take passes away.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .expressions import ORDER
from .pack import Comparison, Rule
from .situation import Reader, Situation
from .tables import Cell
from .values import CONTEXT, Reason, Unknown, Value

PASSED, FAILED, CANNOT_TELL, NOT_APPLICABLE = "passed", "failed", "cannot-tell", "not-applicable"


_DOUBTED = ("memory", "conflict")


class Side(NamedTuple):
    name: str
    value: Decimal
    unit: str


class Measure(NamedTuple):
    """The comparison that explains a finding, as the rule writes it: `left` `relation` `right`."""

    left: Side
    relation: str
    right: Side

    @property
    def holds(self) -> bool:
        return ORDER[self.relation](self.left.value, self.right.value)

    @property
    def spare(self) -> Decimal:
        """How far `left` is on the good side, as a share of `right`; negative when it is on the wrong side."""
        over = CONTEXT.subtract(self.left.value, self.right.value)
        if self.relation in ("<", "<="):
            over = -over
        # A limit of nothing leaves nothing over, whatever stands against it.
        return CONTEXT.divide(over, self.right.value) if self.right.value else Decimal(-1) if over < 0 else Decimal(0)


class Finding(NamedTuple):
    rule: Rule
    outcome: str
    reasons: tuple[Reason, ...]
    cells: tuple[Cell, ...]
    unasked: tuple[str, ...]
    measure: Measure | None


def judge(situation: Situation, as_of: str, confirmed: frozenset[str]) -> list[Finding]:
    """One finding a rule, in the order of the pack."""
    found = []
    for rule in situation.pack.rules:
        finding, requires = weigh(rule, situation, as_of, confirmed)
        if finding.outcome is not NOT_APPLICABLE:
            finding = finding._replace(measure=_measure(rule, situation, requires))
        found.append(finding)
    return found


def weigh(rule: Rule, situation: Situation, as_of: str, confirmed: frozenset[str]) -> tuple[Finding, Value]:
    """The finding of one rule, without the comparison that explains it; and what its requirement gave."""
    reader = situation.reader(situation)
    applies = rule.applies(reader)
    if applies is False:
        return Finding(rule, NOT_APPLICABLE, (), (), reader.resting(False).unasked, None), False
    # A requirement is worked out even while it is open whether the rule applies: its doubts belong in the report.
    requires: Value = rule.requires(reader)
    rests = reader.resting(requires)
    cells = (rule.own, *rests.cells.values())
    reasons: tuple[Reason, ...] = ()
    if isinstance(applies, Unknown):
        outcome, reasons = CANNOT_TELL, applies.reasons
    elif isinstance(requires, Unknown):
        outcome, reasons = CANNOT_TELL, requires.reasons
    elif not requires:
        outcome = FAILED
    else:
        weak = [cell for cell in cells if cell.status in _DOUBTED or cell.stale_after < as_of]
        reasons = tuple(_weak(weak, as_of, confirmed)) if weak else ()
        outcome = CANNOT_TELL if reasons else PASSED
    return Finding(rule, outcome, reasons, cells, rests.unasked, None), requires


def _weak(cells: list[Cell], as_of: str, confirmed: frozenset[str]):
    for cell in cells:
        if cell.status == "conflict":
            yield Reason("conflict", cell.id)
        elif (cell.status == "memory" or cell.stale_after < as_of) and cell.id not in confirmed:
            yield Reason("confirm", cell.id)


def _measure(rule: Rule, situation: Situation, requires: Value) -> Measure | None:
    """Of the rule's comparisons with both sides known: the failed one, else the one with the least to spare.

    Where one of two is enough, the one that failed does not explain a pass, nor one that holds a failure.
    """
    known = [measure for comparison in rule.comparisons if (measure := _measured(comparison, situation))]
    if not isinstance(requires, Unknown):
        known = [measure for measure in known if measure.holds is requires]
    return min(known, key=lambda measure: measure.spare, default=None)


def _measured(comparison: Comparison, situation: Situation) -> Measure | None:
    reader = Reader(situation)
    left, right = comparison.left(reader), comparison.right(reader)
    if isinstance(left, Unknown) or isinstance(right, Unknown):
        return None
    unit = comparison.unit
    return Measure(Side(comparison.left_name, left, unit), comparison.symbol, Side(comparison.right_name, right, unit))  # type: ignore[arg-type]  # the build checked: numbers

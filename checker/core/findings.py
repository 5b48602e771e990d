"""Every rule judged on one case: passed, failed, cannot tell, or not applicable.

The gate stands here too: a pass that rests on a weak or stale figure becomes "cannot tell" until the reader confirms
the figure in their own copy. It can only take passes away.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from checker.core.expressions import ORDER
from checker.core.pack import Comparison, Rule
from checker.core.situation import Reader, Situation
from checker.core.tables import Cell
from checker.core.values import CONTEXT, Reason, Unknown, Value

PASSED, FAILED, CANNOT_TELL, NOT_APPLICABLE = "passed", "failed", "cannot-tell", "not-applicable"


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


class Finding:
    """How one rule comes out, and the `cells` it rests on: by id, the rule's own standing first."""

    # A plain class is made quicker than a named tuple; nothing changes it once it is handed on.
    __slots__ = ("cells", "measure", "outcome", "reasons", "rule", "unasked")

    def __init__(
        self,
        rule: Rule,
        outcome: str,
        reasons: tuple[Reason, ...],
        cells: dict[str, Cell],
        unasked: tuple[str, ...],
        measure: Measure | None,
    ) -> None:
        self.rule, self.outcome, self.reasons = rule, outcome, reasons
        self.cells, self.unasked, self.measure = cells, unasked, measure


def judge(situation: Situation, as_of: str, confirmed: frozenset[str]) -> list[Finding]:
    """One finding a rule, in the order of the pack."""
    found = []
    for rule in situation.pack.rules:
        finding, requires = weigh(rule, Reader(situation), as_of, confirmed)
        if finding.outcome is not NOT_APPLICABLE:
            finding.measure = _measure(rule, situation, requires)
        found.append(finding)
    return found


def weigh(rule: Rule, reader: Reader, as_of: str, confirmed: frozenset[str]) -> tuple[Finding, Value]:
    """The finding of one rule, without the comparison that explains it; and what its requirement gave.

    `reader` is fresh: the finding rests on everything that was read with it.
    """
    cells = reader.cells
    cells[rule.id] = rule.own
    applies = rule.applies(reader)
    if applies is False:
        return Finding(rule, NOT_APPLICABLE, (), {}, reader.unasked, None), False
    # A requirement is worked out even while it is open whether the rule applies: its doubts belong in the report.
    requires = rule.requires(reader)
    reasons: tuple[Reason, ...] = ()
    if applies is not True:
        outcome, reasons = CANNOT_TELL, applies.reasons  # type: ignore[union-attr]  # the build checked: a truth, or unknown
    elif requires is True:
        weak = [cell for cell in cells.values() if cell.firm_until < as_of]
        reasons = tuple(_in_doubt(weak, confirmed)) if weak else ()
        outcome = CANNOT_TELL if reasons else PASSED
    elif requires is False:
        outcome = FAILED
    else:
        outcome, reasons = CANNOT_TELL, requires.reasons  # type: ignore[union-attr]  # as above
    return Finding(rule, outcome, reasons, cells, reader.unasked, None), requires


def _in_doubt(weak: list[Cell], confirmed: frozenset[str]) -> Iterator[Reason]:
    for cell in weak:
        if cell.status == "conflict":
            yield Reason("conflict", cell.id)
        elif cell.id not in confirmed:
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

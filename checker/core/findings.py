"""Every rule judged on one case: passed, failed, cannot tell, or not applicable.

The gate stands here too: a pass that rests on a weak or stale figure becomes "cannot tell" until the reader confirms
the figure in their own copy. It can only take passes away.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from checker.core.bounds import Span
from checker.core.expressions import ORDER
from checker.core.pack import Comparison, Rule
from checker.core.situation import Reader, Situation
from checker.core.tables import Cell
from checker.core.values import Reason, ReasonKind, Unknown, Value

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
        over = self.left.value - self.right.value
        if self.relation in ("<", "<="):
            over = -over
        # A limit of nothing leaves nothing over, whatever stands against it.
        return over / self.right.value if self.right.value else Decimal(-1) if over < 0 else Decimal(0)


class Finding:
    """How one rule comes out, and the `cells` it rests on: by id, the rule's own standing first."""

    # A plain class is made quicker than a named tuple; nothing changes it once it is handed on.
    __slots__ = ("cells", "measure", "outcome", "reasons", "rule")

    def __init__(
        self,
        rule: Rule,
        outcome: str,
        reasons: tuple[Reason, ...],
        cells: dict[str, Cell],
        measure: Measure | None,
    ) -> None:
        self.rule, self.outcome, self.reasons = rule, outcome, reasons
        self.cells, self.measure = cells, measure


class Gate(NamedTuple):
    """What decides whether a pass may rest on a figure: the day of judgement (ISO text), and the ids of the figures that
    the reader found the same in their own copy."""

    as_of: str
    confirmed: frozenset[str] = frozenset()

    def doubts(self, cells: Iterable[Cell]) -> tuple[Reason, ...]:
        """Why a pass may not rest on these cells; empty when it may."""
        weak = [cell for cell in cells if cell.firm_until < self.as_of]
        return tuple(
            Reason(ReasonKind.CONFLICT if cell.status == "conflict" else ReasonKind.CONFIRM, cell.id)
            for cell in weak
            if cell.status == "conflict" or cell.id not in self.confirmed
        )


def judge(situation: Situation, gate: Gate) -> list[Finding]:
    """One finding a rule, in the order of the pack."""
    found = []
    for rule in situation.pack.rules:
        finding, requires = weigh(rule, Reader(situation), gate)
        if finding.outcome is not NOT_APPLICABLE:
            finding.measure = _measure(rule, situation, requires)
        found.append(finding)
    return found


def weigh(rule: Rule, reader: Reader, gate: Gate) -> tuple[Finding, Value]:
    """The finding of one rule, without the comparison that explains it; and what its requirement gave.

    `reader` is fresh: the finding rests on everything that was read with it.
    """
    cells = reader.cells
    cells[rule.id] = rule.own
    applies = rule.applies(reader)
    if applies is False:
        return Finding(rule, NOT_APPLICABLE, (), {}, None), False
    # A requirement is worked out even while it is open whether the rule applies: its doubts belong in the report.
    requires = rule.requires(reader)
    reasons: tuple[Reason, ...] = ()
    if applies is not True:
        outcome, reasons = CANNOT_TELL, applies.reasons  # type: ignore[union-attr]  # the build checked: a truth, or unknown
    elif requires is True:
        reasons = gate.doubts(cells.values())
        outcome = CANNOT_TELL if reasons else PASSED
    elif requires is False:
        outcome = FAILED
    else:
        outcome, reasons = CANNOT_TELL, requires.reasons  # type: ignore[union-attr]  # as above
    return Finding(rule, outcome, reasons, cells, None), requires


def _measure(rule: Rule, situation: Situation, requires: Value) -> Measure | None:
    """Of the rule's comparisons with both sides known: the failed one, else the one with the least to spare.

    Where one of two is enough, a failed comparison cannot explain a pass, nor a passed one a failure.
    """
    known = [measure for comparison in rule.comparisons if (measure := _measured(comparison, situation))]
    if not isinstance(requires, Unknown):
        known = [measure for measure in known if measure.holds is requires]
    return min(known, key=lambda measure: measure.spare, default=None)


def _least(value: Value | Span) -> Value | Span:
    """What is only known from below stands in a margin by its bound: there may be more to spare, never less."""
    return value.low if isinstance(value, Span) and value.high.is_infinite() else value


def _measured(comparison: Comparison, situation: Situation) -> Measure | None:
    reader = Reader(situation)
    left, right = (_least(side(reader)) for side in (comparison.left, comparison.right))
    if isinstance(left, (Unknown, Span)) or isinstance(right, (Unknown, Span)):
        return None
    unit = comparison.unit
    return Measure(Side(comparison.left_name, left, unit), comparison.symbol, Side(comparison.right_name, right, unit))  # type: ignore[arg-type]  # the build checked: numbers

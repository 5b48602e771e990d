"""From findings to a verdict: who may do it, whether it is sized right, and the headline over both."""

from __future__ import annotations

from typing import NamedTuple

from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, PASSED, Finding
from checker.core.values import Value

OPEN = "open"
PARTS = ("danger", "who", "sizing")
# The outcome of the rules that sizing rests on.
_DECIDES = {"change": FAILED, "find-out": CANNOT_TELL, "fits": PASSED}
ByOutcome = dict[str, tuple[str, ...]]
HEADLINES = ("stop", "call", "change", "find-out", "fits")


class Part(NamedTuple):
    outcome: str
    because: tuple[str, ...]


class Verdict(NamedTuple):
    headline: str
    who: Part
    sizing: Part


def reach(findings: list[Finding], worker: Value | None) -> Verdict:
    """`worker` is the answer to that question, or None. Advice never decides; no rule that applied is never "fits"."""
    parts = [_by_outcome(findings, part) for part in PARTS]
    danger, reserved, size = parts
    short = in_short(*(set(part) for part in parts))
    assert short is not None, "a finding is decided, or it cannot tell"
    headline, sizing = short
    return Verdict(headline, _who(danger, reserved, worker), Part(sizing, size.get(_DECIDES[sizing], ())))


def in_short(danger: set[str], who: set[str], sizing: set[str]) -> tuple[str, str] | None:
    """Headline and sizing from the outcomes that occur in each part, rules that do not apply left out.

    `OPEN` stands for a rule that is not decided yet; None where the verdict hangs on it.
    """
    if FAILED in sizing:
        size = "change"
    elif OPEN in sizing:
        return None
    else:
        size = "find-out" if CANNOT_TELL in sizing or PASSED not in sizing else "fits"
    for part, headline in ((danger, "stop"), (who, "call")):
        if FAILED in part:
            return headline, size
        if OPEN in part:
            return None
    if size == "fits" and any(CANNOT_TELL in part or PASSED not in part for part in (danger, who)):
        return "find-out", size
    return size, size


def sizing_of(findings: list[Finding]) -> Part:
    """What the rules that size something come to, apart from danger and law."""
    return reach(findings, None).sizing


def settled_headline(findings: list[Finding]) -> str | None:
    """The headline that no further answer can better, or None while it is open."""
    for part, headline in zip(PARTS, ("stop", "call", "change"), strict=True):
        if FAILED in _by_outcome(findings, part):
            return headline
    return None


def _who(danger: ByOutcome, reserved: ByOutcome, worker: Value | None) -> Part:
    if FAILED in danger:
        return Part("stop", danger[FAILED])
    if FAILED in reserved:
        return Part("licensed-only", reserved[FAILED])
    open_ = danger.get(CANNOT_TELL, ()) + reserved.get(CANNOT_TELL, ())
    judged = PASSED in danger and PASSED in reserved
    if worker == "supervised" and judged:
        # What is not known yet is for the licensed person in control to find out, together with the learner.
        return Part("supervised", open_ or reserved[PASSED])
    if open_ or not judged:
        return Part("licensed-only", open_)
    return Part("permitted", reserved[PASSED])


def _by_outcome(findings: list[Finding], part: str) -> ByOutcome:
    """The rules of `part` that decide and apply, by how they came out."""
    found: dict[str, tuple[str, ...]] = {}
    for finding in findings:
        if finding.rule.part == part and finding.rule.decides and finding.outcome != NOT_APPLICABLE:
            found[finding.outcome] = (*found.get(finding.outcome, ()), finding.rule.id)
    return found

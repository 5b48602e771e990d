"""From findings to a verdict: who may do it, whether it is sized right, and the headline over both."""

from __future__ import annotations

from typing import NamedTuple

from checker.core.findings import CANNOT_TELL, FAILED, PASSED, Finding
from checker.core.values import Value

OPEN = "open"
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
    who = _who(findings, worker)
    sizing = sizing_of(findings)
    if who.outcome == "stop":
        headline = "stop"
    elif _rules(findings, "who", FAILED):
        headline = "call"
    elif sizing.outcome == "change":
        headline = "change"
    elif sizing.outcome == "fits" and _all_passed(findings, "danger") and _all_passed(findings, "who"):
        headline = "fits"
    else:
        headline = "find-out"
    return Verdict(headline, who, sizing)


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


def settled_headline(findings: list[Finding]) -> str | None:
    """The headline that no further answer can better, or None while it is open."""
    for part, headline in (("danger", "stop"), ("who", "call"), ("sizing", "change")):
        if _rules(findings, part, FAILED):
            return headline
    return None


def _who(findings: list[Finding], worker: Value | None) -> Part:
    danger = _rules(findings, "danger", FAILED)
    if danger:
        return Part("stop", danger)
    reserved = _rules(findings, "who", FAILED)
    if reserved:
        return Part("licensed-only", reserved)
    open_ = _rules(findings, "danger", CANNOT_TELL) + _rules(findings, "who", CANNOT_TELL)
    judged = _rules(findings, "danger", PASSED) and _rules(findings, "who", PASSED)
    if worker == "supervised" and judged:
        # What is not known yet is for the licensed person in control to find out, together with the learner.
        return Part("supervised", open_ or _rules(findings, "who", PASSED))
    if open_ or not judged:
        return Part("licensed-only", open_)
    return Part("permitted", _rules(findings, "who", PASSED))


def sizing_of(findings: list[Finding]) -> Part:
    """What the rules that size something come to; no rule that applied is never "fits"."""
    wrong = _rules(findings, "sizing", FAILED)
    if wrong:
        return Part("change", wrong)
    doubtful = _rules(findings, "sizing", CANNOT_TELL)
    passed = _rules(findings, "sizing", PASSED)
    if doubtful or not passed:
        return Part("find-out", doubtful)
    return Part("fits", passed)


def _all_passed(findings: list[Finding], part: str) -> bool:
    """Whether every rule of `part` that applies passed, and at least one did: no rule at all is not a pass."""
    return bool(_rules(findings, part, PASSED)) and not _rules(findings, part, CANNOT_TELL)


def _rules(findings: list[Finding], part: str, outcome: str) -> tuple[str, ...]:
    return tuple(f.rule.id for f in findings if f.rule.part == part and f.outcome == outcome and f.rule.decides)

"""Which question comes next: one that an undecided rule is waiting for, in the order of the run."""

from __future__ import annotations

from .findings import CANNOT_TELL, FAILED, PASSED, Finding
from .pack import Pack
from .situation import DONT_KNOW, NOT_STATED, Situation

NOT_ASKED = "not-asked"


def next_question(findings: list[Finding], situation: Situation) -> str | None:
    """The id of the question to ask, or None when no answer can change the verdict any more.

    A rule that cannot tell names first what would settle it best; a label fact that was taken as "not stated" because
    nobody asked is asked before the rule may be called failed.
    """
    waiting = {question for finding in findings if (question := _wanted(finding))}
    return min(waiting, key=lambda q: situation.pack.questions[q]["order"], default=None)


def _wanted(finding: Finding) -> str | None:
    if finding.outcome == CANNOT_TELL:
        for reason in finding.reasons:
            if reason.kind == NOT_ASKED:
                return reason.id
    if finding.outcome in (CANNOT_TELL, FAILED) and finding.unasked:
        return finding.unasked[0]
    return None


def most_remaining(findings: list[Finding], situation: Situation) -> int:
    """An upper bound on the questions still to come: all that the rules still waiting could ever read."""
    reads = {rule["id"]: rule["reads"] for rule in situation.pack.content["rules"]}
    open_ = {question for finding in findings if _wanted(finding) for question in reads[finding.rule.id]}
    return sum(
        1
        for question in open_
        if question not in situation.answers and "default" not in situation.pack.questions[question]
    )


def question_shown(pack: Pack, question_id: str) -> dict:
    """A question as a front end draws it: plain data, no logic."""
    question = pack.questions[question_id]
    titles = {stage["id"]: stage["title"] for stage in pack.stages}
    number = question["kind"] == "number"
    return {
        "id": question["id"],
        "kind": question["kind"],
        "stage": question["stage"],
        "stage_title": titles[question["stage"]],
        "text": question["text"],
        "help": question["help"],
        "why": question["why"],
        "find_out": question["find_out"],
        "unit": question["unit"] if number else None,
        "minimum": question["minimum"] if number else None,
        "maximum": question["maximum"] if number else None,
        "choices": question["choices"],
        "default": question.get("default"),
        DONT_KNOW.replace("-", "_"): True,
        NOT_STATED.replace("-", "_"): question["unanswered"] == NOT_STATED,
        "decides": [rule["id"] for rule in pack.content["rules"] if question_id in rule["reads"]],
    }


def settled(findings: list[Finding]) -> list[Finding]:
    """The findings that further answers will not reopen."""
    return [f for f in findings if f.outcome in (PASSED, FAILED) and not _wanted(f)]

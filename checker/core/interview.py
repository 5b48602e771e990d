"""Which question comes next: one whose answer can still change the verdict; danger first, then law, then size."""

from __future__ import annotations

from checker.core.findings import CANNOT_TELL, FAILED, PASSED, Finding
from checker.core.pack import Pack
from checker.core.situation import NOT_STATED, Situation
from checker.core.values import ReasonKind

_PARTS = ("danger", "who", "sizing", "after")


def next_question(findings: list[Finding], situation: Situation) -> str | None:
    """The id of the question to ask, or None when no answer can change headline, who or sizing any more."""
    live = _live(findings, situation)
    return _first([f for f in findings if f.rule.part in live], situation)


def beyond_question(findings: list[Finding], situation: Situation) -> str | None:
    """The question to go on with where the verdict is settled, to learn all that has to change; None when all is told."""
    return _first(findings, situation)


def _first(findings: list[Finding], situation: Situation) -> str | None:
    """Of the questions that `findings` wait for the most decisive.

    A rule that cannot tell names first what would settle it best. What a rule of danger waits for comes before anything
    of a later part, whatever its own place in the run; a question that stands in a stage of danger is asked with
    those, as the one who does the work.
    """
    pack = situation.pack
    early = {stage["id"] for stage in pack.stages if stage["part"] == "danger"}
    waiting: dict[str, int] = {}
    for finding in findings:
        question = _wanted(finding)
        if question is not None:
            rank = 0 if pack.questions[question]["stage"] in early else _PARTS.index(finding.rule.part)
            waiting[question] = min(rank, waiting.get(question, rank))
    return min(waiting, key=lambda q: (waiting[q], pack.questions[q]["order"]), default=None)


def _live(findings: list[Finding], situation: Situation) -> set[str]:
    """The parts of which an open rule can still change the verdict.

    One danger makes it a stop for everybody, one reservation a call, one thing too small a change: whatever else of
    that part is open changes nothing any more, and after a stop nobody asks who may do it.
    """
    failed = {f.rule.part for f in settled(findings, situation) if f.outcome == FAILED and f.rule.decides}
    live = {"danger", "who", "sizing"} - failed
    return live - {"who"} if "danger" in failed else live


def _wanted(finding: Finding) -> str | None:
    if not finding.rule.decides:
        return None  # no question is spent on advice
    if finding.outcome == CANNOT_TELL:
        for reason in finding.reasons:
            if reason.kind is ReasonKind.NOT_ASKED:
                return reason.id
    return None


def _open(findings: list[Finding], situation: Situation) -> dict[str, set[str]]:
    """The rules that wait for a question, each with the questions it could ever read."""
    reads = {rule["id"]: set(rule["reads"]) for rule in situation.pack.content["rules"]}
    return {finding.rule.id: reads[finding.rule.id] for finding in findings if _wanted(finding)}


def most_remaining(findings: list[Finding], situation: Situation) -> int:
    """An upper bound on the questions that `next_question` will still ask."""
    live = _live(findings, situation)
    return _most(situation, [f.rule.id for f in findings if f.rule.part in live], _open(findings, situation))


def most_beyond(findings: list[Finding], situation: Situation) -> int:
    """An upper bound on the questions that `beyond_question` will still ask."""
    return _most(situation, [f.rule.id for f in findings], _open(findings, situation))


def _most(situation: Situation, rules: list[str], open_: dict[str, set[str]]) -> int:
    """How many questions the open ones of `rules` may still ask: all that they could ever read, and nobody answered."""
    may_come = set().union(*(open_[rule] for rule in rules if rule in open_))
    questions = situation.pack.questions
    return sum(name not in situation.answers and "default" not in questions[name] for name in may_come)


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
        "dont_know": True,
        "not_stated": question["unanswered"] == NOT_STATED,
        "decides": [rule["id"] for rule in pack.content["rules"] if question_id in rule["reads"]],
    }


def settled(findings: list[Finding], situation: Situation) -> list[Finding]:
    """The findings that the questions still to come will not reopen."""
    open_ = _open(findings, situation)
    return [f for f in findings if f.outcome in (PASSED, FAILED) and f.rule.id not in open_]

"""Which question comes next: one whose answer can still change the verdict; danger first, then law, then size."""

from __future__ import annotations

from checker.core import pictures
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
    """Of the questions that `findings` wait for the most decisive."""
    wanted = {f: [name] for f in findings if (name := _wanted(f)) is not None}
    return next(iter(_by_turn(wanted, situation)), None)


def _by_turn(waits_for: dict[Finding, list[str]], situation: Situation) -> list[str]:
    """The questions in the order they are asked.

    What a rule of danger waits for comes before anything of a later part, whatever its own place in the run; a question
    that stands in a stage of danger is asked with those, as the one who does the work.
    """
    pack = situation.pack
    early = {stage["id"] for stage in pack.stages if stage["part"] == "danger"}
    ranks: dict[str, int] = {}
    for finding, questions in waits_for.items():
        for question in questions:
            rank = 0 if pack.questions[question]["stage"] in early else _PARTS.index(finding.rule.part)
            ranks[question] = min(rank, ranks.get(question, rank))
    return sorted(ranks, key=lambda name: (ranks[name], pack.questions[name]["order"]))


def _missing(finding: Finding) -> list[str]:
    """The questions without an answer that keep this rule open, as far as it decides anything."""
    if not finding.rule.decides or finding.outcome != CANNOT_TELL:
        return []
    return [r.id for r in finding.reasons if r.kind in (ReasonKind.NOT_ASKED, ReasonKind.DONT_KNOW)]


def waiting(findings: list[Finding], situation: Situation) -> list[str]:
    """Every question whose answer is missing and could still change the verdict, most decisive first."""
    live = _live(findings, situation)
    return _by_turn({f: _missing(f) for f in findings if f.rule.part in live}, situation)


def _live(findings: list[Finding], situation: Situation) -> set[str]:
    """The parts of which an open rule can still change the verdict.

    One danger makes it a stop for everybody, one reservation a call, one thing too small a change: whatever else of
    that part is open changes nothing any more, and after a stop nobody asks who may do it.
    """
    failed = {f.rule.part for f in settled(findings, situation) if f.outcome == FAILED and f.rule.decides}
    live = {"danger", "who", "sizing"} - failed
    return live - {"who"} if "danger" in failed else live


def _wanted(finding: Finding) -> str | None:
    """The question that would settle this rule best; none is spent on advice."""
    if finding.rule.decides and finding.outcome == CANNOT_TELL:
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


def short_run(situation: Situation, waits_for: list[str]) -> dict:
    """Of the reply to `next`: the question to show, the screen it stands on, and how far the short run has come.

    `waits_for`: what the supposed verdict still needs, answered with "don't know" or not at all.
    """
    pack = situation.pack
    to_ask = [name for name in waits_for if name not in situation.answers]
    on = pack.questions[to_ask[0]]["screen"] if to_ask else None
    open_ = {pack.questions[name]["screen"] for name in to_ask}
    here = [name for name in to_ask if pack.questions[name]["screen"] == on]
    title = pack.phrases[f"screen.{on}"].format_map(pack.words) if on else ""
    seen = {pack.questions[name]["screen"] for name in situation.answers}
    return {
        "question": question_shown(pack, to_ask[0]) if to_ask else None,
        "screen": {
            "id": on,
            "title": title,
            "picture": pictures.drawing(pack, on, title, here),
            "questions": [question_shown(pack, name) for name in here],
        }
        if on
        else None,
        "progress": {"done": len(seen - open_), "about": len(seen | open_)},
    }


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
        "label": question["label"],
        "help": question["help"],
        "why": question["why"],
        "find_out": question["find_out"],
        "unit": question["unit"] if number else None,
        "minimum": question["minimum"] if number else None,
        "maximum": question["maximum"] if number else None,
        "choices": question["choices"],
        "default": question.get("default"),
        "usual": question.get("usual"),
        "screen": question.get("screen"),
        "look": question.get("look"),
        "dont_know": True,
        "not_stated": question["unanswered"] == NOT_STATED,
        "decides": [rule["id"] for rule in pack.content["rules"] if question_id in rule["reads"]],
    }


def settled(findings: list[Finding], situation: Situation) -> list[Finding]:
    """The findings that the questions still to come will not reopen."""
    open_ = _open(findings, situation)
    return [f for f in findings if f.outcome in (PASSED, FAILED) and f.rule.id not in open_]

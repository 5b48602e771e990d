"""The one door of the checker: a request as JSON text in, a reply as JSON text out.

The same function answers the command line in CPython and the page in Pyodide, with the same bytes.
"""

from __future__ import annotations

import json
from decimal import localcontext

from checker import __version__
from checker.core import report, request, verdict
from checker.core.answers import check_answers
from checker.core.errors import BadRequest
from checker.core.findings import Finding
from checker.core.pack import Pack, choose, every, named
from checker.core.request import FORMAT, Request
from checker.core.situation import Situation
from checker.core.values import CONTEXT
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial


def handle(request_json: str) -> str:
    """Answers one request. Never raises.

    Shapes: docs/format.md. A bad request gives `{"error": {where, what, why, fix}}`; a fault of ours gives the same
    with `"fault": true`. Neither carries a verdict.
    """
    try:
        with localcontext(CONTEXT):
            reply = _reply(request.read(request_json))
    except BadRequest as bad:
        reply = {"error": bad.as_reply()}
    except Exception as fault:
        # Whatever went wrong inside, the person must get neither a traceback nor anything that looks like a verdict.
        reply = {"error": _own_fault(fault), "fault": True}
    text = json.dumps({"format": FORMAT, "engine": __version__, **reply}, ensure_ascii=False, separators=(",", ":"))
    # Half a surrogate pair in a request may be echoed in an error; as an escape it is valid JSON and valid UTF-8.
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _own_fault(fault: Exception) -> dict[str, str]:
    return {
        "where": "the checker itself",
        "what": f"{type(fault).__name__}: {fault}"[:300],
        "why": "The fault is in the program, not in your answers. There is no verdict.",
        "fix": "Report it with this request. Meanwhile, ask a licensed electrician to judge the job.",
    }


def _reply(asked: Request) -> dict:
    gate = asked.gate
    if asked.ask == "describe" or gate is None:
        return _describe(asked)
    # What not every request needs is imported when it is asked for: imports are half of a start.
    if asked.ask == "compare":
        from checker.core import compare

        return {"as_of": gate.as_of, **compare.build(asked.packs, asked.answers, gate)}
    pack = choose(asked.pack, asked.edition, gate.as_of)
    answers = check_answers(asked.answers, pack.questions, pack.unread)
    head = {"pack": named(pack, gate.as_of), "as_of": gate.as_of}
    if asked.ask == "plan":
        from checker.core.schedule.reply import plan

        return {**head, **plan(pack, answers, asked.plan, gate), "unread": _unread(asked, pack)}
    case, bench = Trial(pack, answers), Bench(gate)
    judged = any_answer.judge(case, bench)
    if asked.ask == "next":
        return {**head, **_next(case, judged), **(_short_run(case, bench) if asked.suppose else {})}
    reached = verdict.reach(judged, answers.get("worker"))
    if asked.ask == "sheet":
        from checker.core.sheet.build import build

        shown = report.build(case, judged, reached, _NO_COUNSEL)
        return {**head, **build(case, judged, shown, head, __version__, sorted(gate.confirmed))}
    if not asked.working:
        shown = report.without_working(case, judged, reached)
    else:
        shown = report.build(case, judged, reached, _counsel(asked, judged, case, bench))
    return {**head, **shown, "unread": _unread(asked, pack), **(_supposed(case, bench) if asked.suppose else {})}


def _supposed(case: Trial, bench: Bench) -> dict:
    from checker.core.whatif import suppose

    return {"supposed": suppose.shown(suppose.suppose(case, bench), bench)}


def _short_run(case: Trial, bench: Bench) -> dict:
    """What `next` says otherwise, and more, where it only asks what the supposed verdict needs."""
    from checker.core import interview

    added = _supposed(case, bench)
    return {**interview.short_run(case, added["supposed"]["waits_for"]), **added}


_NO_COUNSEL: dict = {"changes": None, "flips": None}


def _counsel(asked: Request, judged: list[Finding], case: Trial, bench: Bench) -> dict:
    if not asked.counsel:
        return _NO_COUNSEL
    from checker.core.whatif.counsel import counsel

    return counsel(judged, case, bench)


def _unread(asked: Request, pack: Pack) -> list[dict]:
    """Answers to questions of the common vocabulary that this rule set does not ask, each with why it goes without."""
    given = asked.answers
    return [{"question": name, "why": why} for name, why in pack.unread.items() if name in given]  # type: ignore[operator]  # checked: a table


def _next(situation: Situation, judged: list[Finding]) -> dict:
    from checker.core import interview

    question = interview.next_question(judged, situation)
    settled = interview.settled(judged, situation)
    rows = [report.finding_shown(situation, f) for f in settled]
    keep = ("rule", "title", "outcome", "message")
    further = interview.beyond_question(judged, situation)
    return {
        "question": interview.question_shown(situation.pack, question) if question else None,
        "beyond": {
            "question": interview.question_shown(situation.pack, further) if further and not question else None,
            "at_most": interview.most_beyond(judged, situation),
        },
        "settled": {
            "headline": verdict.settled_headline(settled),
            "findings": [{key: row[key] for key in keep} for row in rows],
        },
        "remaining": {"at_most": interview.most_remaining(judged, situation)},
        "answered": len(situation.answers),
    }


def _describe(asked: Request) -> dict:
    from checker.core import describe

    reply: dict = {"packs": [describe.pack_listed(pack) for pack in every()], "pack": None}
    if asked.pack is not None:
        as_of = asked.gate.as_of if asked.gate else "9999-12-31"
        reply.update(describe.pack_described(choose(asked.pack, asked.edition, as_of)))
    return reply

"""The one door of the checker: a request as JSON text in, a reply as JSON text out.

The same function answers the command line in CPython and the page in Pyodide, with the same bytes.
"""

from __future__ import annotations

import json
import re
from datetime import date
from decimal import Decimal, localcontext

from checker import __version__
from checker.core import report, verdict
from checker.core.answers import check_answers
from checker.core.errors import BadRequest, told
from checker.core.findings import Finding
from checker.core.pack import Pack, choose, every, named
from checker.core.situation import Situation
from checker.core.values import CONTEXT
from checker.core.whatif import any_answer as possible
from checker.core.whatif.trials import Bench, Trial

FORMAT = 1
MOST_CHARACTERS = 1_000_000
MOST_EXPONENT_DIGITS = 6
MOST_BRACKETS = 200
_KEYS = {"format", "ask", "pack", "packs", "edition", "as_of", "answers", "confirmed", "counsel", "plan", "working"}
_DATE = re.compile(r"\d{4}-\d\d-\d\d\Z")


def handle(request_json: str) -> str:
    """Answers one request. Never raises.

    Shapes: DEVELOPERS.md, Request and report. A bad request gives `{"error": {where, what, why, fix}}`; a fault of ours gives the same
    with `"fault": true`. Neither carries a verdict.
    """
    try:
        with localcontext(CONTEXT):
            reply = _answer(request_json)
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
        "why": "This is a fault of the program, not of your answers; there is no verdict.",
        "fix": "Report it with this request, and have the job judged by a licensed electrician meanwhile.",
    }


def _answer(request_json: str) -> dict:
    request = _parse(request_json)
    ask = request.get("ask")
    if ask == "describe":
        return _describe(request)
    if ask not in ("check", "next", "sheet", "plan", "compare"):
        raise BadRequest(
            "ask",
            f"{told(ask)} is not something to ask",
            "The reply depends on it.",
            'Write "check", "next", "sheet", "plan", "compare" or "describe".',
        )
    if request.get("plan") is not None and ask != "plan":
        raise BadRequest(
            "plan",
            f"there is a plan, and the request asks {told(ask)}",
            "A plan that nobody reads could be taken for one that was judged.",
            'Write "ask": "plan", or leave the plan out.',
        )
    as_of = _date(request)
    if ask == "compare":
        from checker.core import compare

        return {"as_of": as_of, **compare.build(request, as_of, _confirmed(request))}
    pack = choose(request.get("pack"), request.get("edition"), as_of)
    answers, confirmed = check_answers(request.get("answers", {}), pack.questions, pack.unread), _confirmed(request)
    head = {"pack": named(pack, as_of), "as_of": as_of}
    if ask == "plan":
        # Imported when it is asked for: the check, which most people want alone, starts without it.
        from checker.core.schedule.reply import plan

        return {**head, **plan(pack, answers, request.get("plan"), as_of, confirmed), "unread": _unread(request, pack)}
    situation = Situation(pack, answers)
    judged = possible.judge(situation, as_of, confirmed)
    if ask == "next":
        return {**head, **_next(situation, judged)}
    reached = verdict.reach(judged, situation.answers.get("worker"))
    nothing: dict = {"changes": None, "flips": None}
    if ask == "sheet":
        from checker.core.sheet.build import build

        told_of = report.build(situation, judged, reached, nothing)
        return {**head, **build(situation, judged, told_of, head, __version__, sorted(confirmed))}
    counsel = nothing
    wants_counsel, unread = _wants(request, "counsel"), _unread(request, pack)
    if not _wants(request, "working"):
        return {**head, **report.without_working(situation, judged, reached), "unread": unread}
    if wants_counsel:
        from checker.core.whatif.counsel import (
            counsel as advise,  # like all that not every request needs: imports are half of a start
        )

        counsel = advise(judged, Trial(pack, situation.answers), Bench(as_of, confirmed))
    return {**head, **report.build(situation, judged, reached, counsel), "unread": unread}


def _unread(request: dict, pack: Pack) -> list[dict]:
    """Answers to questions of the common vocabulary that this rule set does not ask, each with why it goes without."""
    given = request.get("answers", {})
    return [{"question": name, "why": why} for name, why in pack.unread.items() if name in given]


_WISHES = {
    "counsel": "It says whether changes and flips are worked out.",
    "working": "It says whether the report shows figures, steps and connections beside the verdict.",
}


def _wants(request: dict, part: str) -> bool:
    wanted = request.get(part, True)
    if not isinstance(wanted, bool):
        raise BadRequest(
            part,
            f"{told(wanted)} is neither true nor false",
            _WISHES[part],
            "Write false to leave them out, or drop the key.",
        )
    return wanted


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


def _describe(request: dict) -> dict:
    from checker.core import describe

    reply: dict = {"packs": [describe.pack_listed(pack) for pack in every()], "pack": None}
    if request.get("pack") is not None:
        as_of = _date(request) if request.get("as_of") is not None else "9999-12-31"
        reply.update(describe.pack_described(choose(request["pack"], request.get("edition"), as_of)))
    return reply


def _parse(text: object) -> dict:
    if not isinstance(text, str):
        raise BadRequest(
            "request", "the request is not text", "The checker reads JSON text.", "Send the request as a JSON string."
        )
    if len(text) > MOST_CHARACTERS:
        raise BadRequest(
            "request",
            "the request is longer than a million characters",
            "No set of answers is.",
            "Send the answers alone.",
        )
    if text.count("[") + text.count("{") > MOST_BRACKETS:
        # Where the parser runs out of stack differs from Python to Python, and in a browser it ends the worker.
        raise BadRequest(
            "request", "the JSON is nested too deeply", "It cannot be read.", "Send a flat table of answers."
        )
    try:
        # json reads NaN and Infinity, which no standard allows: they are refused by name, like a key given twice.
        request = json.loads(
            text, parse_float=_number, parse_int=_number, parse_constant=_no_constant, object_pairs_hook=_no_doubles
        )
    except BadRequest:
        raise
    except ValueError:
        # The parser's own words and places differ between versions of Python; replies may not.
        raise BadRequest(
            "request", "this is not JSON", "Nothing of it can be read.", "Check brackets, commas and quotes."
        ) from None
    if not isinstance(request, dict):
        raise BadRequest(
            "request",
            "the request is not a JSON object",
            "Its parts are named.",
            'Send {"format": 1, "ask": "check", ...}.',
        )
    # True equals 1 in Python, but it is no format.
    if isinstance(request.get("format"), bool) or request.get("format") != Decimal(FORMAT):
        raise BadRequest(
            "format", "the request format is not 1", "Other formats may mean other things.", 'Write "format": 1.'
        )
    for key in request:
        if key not in _KEYS:
            raise BadRequest(
                _named(key),
                f"there is no such part of a request as {told(key)}",
                "A part nobody reads could hide a slip of the pen.",
                f"Use only: {', '.join(sorted(_KEYS))}.",
            )
    return request


def _named(key: str) -> str:
    """A part of the request as the place of an error: never blank, never longer than a line."""
    return key[:60] if key.strip() else "request"


def _number(digits: str) -> Decimal:
    exponent = digits.lower().partition("e")[2]
    if len(exponent.lstrip("+-0")) > MOST_EXPONENT_DIGITS:
        # How large an exponent may be differs between builds of Python; replies may not.
        raise BadRequest(
            "request",
            f"{told(digits)} is not a number this program can hold",
            "Its exponent is out of all bounds.",
            "Write the number as it stands on the plate.",
        )
    return Decimal(digits)


def _no_constant(name: str) -> Decimal:
    raise BadRequest("request", f"{name} is not a number", "Nothing can be compared with it.", "Write a finite number.")


def _no_doubles(pairs: list[tuple[str, object]]) -> dict:
    held = dict(pairs)
    if len(held) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise BadRequest(
            _named(twice),
            f"{told(twice)} is given twice",
            "Only one of the two could count, and it is not clear which.",
            "Keep one.",
        )
    return held


def _date(request: dict) -> str:
    given = request.get("as_of")
    if isinstance(given, str) and _DATE.match(given):
        try:
            return date.fromisoformat(given).isoformat()
        except ValueError:
            pass  # the 31st of February: told below like any other text that is no date
    what = "no date of judgement is given" if given is None else "this is not a date"
    raise BadRequest(
        "as_of",
        what,
        "Rules and figures have dates, and the checker does not read the clock.",
        'Write the date as "2026-11-25".',
    )


def _confirmed(request: dict) -> frozenset[str]:
    """The figures the reader compared with their copy. An id this pack does not have confirms nothing."""
    given = request.get("confirmed", [])
    if not isinstance(given, list) or not all(isinstance(cell, str) for cell in given):
        raise BadRequest(
            "confirmed",
            "this is not a list of figure ids",
            "Each names a figure you compared with your copy.",
            "Write a list of texts.",
        )
    return frozenset(given)

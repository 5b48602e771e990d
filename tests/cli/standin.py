"""A stand-in for the core that has three questions, and an interview with it."""

from __future__ import annotations

import io
import json

from checker.cli.client import Client, Inputs
from checker.cli.interview import Interview
from checker.cli.talk import Talk
from checker.terminal.display import Display

COMMON = {
    "stage": "s",
    "help": "Some help.",
    "why": "It matters.",
    "find_out": "Look.",
    "default": None,
    "dont_know": True,
}
QUESTIONS = [
    {
        **COMMON, "id": "board", "kind": "choice", "stage_title": "Danger", "text": "Is the board sound?", "unit": None,
        "minimum": None, "maximum": None, "not_stated": False, "decides": ["board-sound"],
        "choices": [{"value": "sound", "label": "Sound"}, {"value": "damaged", "label": "Damaged", "help": "Heat marks."}],
    },
    {
        **COMMON, "id": "lock", "kind": "yes-no", "stage_title": "Danger", "text": "Can it be locked?", "unit": None,
        "minimum": None, "maximum": None, "choices": [], "not_stated": False, "decides": [],
    },
    {
        **COMMON, "id": "rating", "kind": "number", "stage_title": "Device", "text": "What rating is on the label?",
        "unit": "A", "minimum": "1", "maximum": "125", "choices": [], "not_stated": True, "decides": [],
    },
]  # fmt: skip
PACKS = [
    {
        "id": "xx",
        "title": "Nowhere",
        "edition": "5",
        "version": "1",
        "valid_from": "2020-01-01",
        "review_by": "2030-01-01",
        "preview": None,
    },
    {
        "id": "yy",
        "title": "Elsewhere",
        "edition": "1",
        "version": "1",
        "valid_from": "2020-01-01",
        "review_by": "2030-01-01",
        "preview": None,
    },
]


class Core:
    """Asks its questions in order; a damaged board is a stop, 13 A is refused, all answered is a fit.

    Where the board is damaged and cannot be locked, nothing can change the verdict; the rating is left to go on with.
    """

    def __init__(self, report: dict, packs: list[dict]) -> None:
        self.report, self.packs, self.requests = report, packs, []

    def handle(self, text: str) -> str:
        request = json.loads(text)
        self.requests.append(request)
        return json.dumps({"describe": self.describe, "next": self.next, "check": self.check}[request["ask"]](request))

    def describe(self, request: dict) -> dict:
        rules = [{"id": "board-sound", "title": "The board is sound"}]
        return {"packs": self.packs, "pack": request.get("pack"), "questions": QUESTIONS, "rules": rules}

    def next(self, request: dict) -> dict:
        answers = request["answers"]
        if answers.get("rating") == 14:
            return {"error": {"where": "pack", "what": "withdrawn", "why": "It is.", "fix": "Take another."}}
        if answers.get("rating") == 13:
            return {"error": {"where": "answers.rating", "what": "unlucky", "why": "It is.", "fix": "Take 16."}}
        open_ = [q for q in QUESTIONS if q["id"] not in answers]
        stop = {
            "rule": "board-sound",
            "title": "The board is sound",
            "outcome": "failed",
            "message": "The board is damaged.",
        }
        settled = (
            {"headline": "stop", "findings": [stop]}
            if answers.get("board") == "damaged"
            else {"headline": None, "findings": []}
        )
        over = answers.get("board") == "damaged" and answers.get("lock") is False
        return {
            "pack": PACKS[0] | {"id": request["pack"]}, "question": open_[0] if open_ and not over else None,
            "beyond": {"question": open_[0] if open_ and over else None, "at_most": len(open_)}, "settled": settled,
            "remaining": {"at_most": 0 if over else len(open_)}, "answered": len(answers),
        }  # fmt: skip

    def check(self, request: dict) -> dict:
        answers = request["answers"]
        headline = "stop" if answers.get("board") == "damaged" else "fits" if len(answers) == 3 else "find-out"
        find_out = [] if "t/1" in request["confirmed"] else self.report["find_out"][1:]
        return self.report | {"headline": headline, "answers": answers, "find_out": find_out}


class Session:
    """One interview: what was typed, what came back."""

    def __init__(self, report: dict, typed: str, patient: bool, packs: list[dict], **more) -> None:
        self.core = Core(report, packs)
        self.inputs = Inputs(more.pop("pack", "xx"), "2026-11-25", more.pop("answers", None))
        self.sink = io.StringIO()
        talk = Talk(io.StringIO(typed), self.sink, Display(), patient)
        self.interview = Interview(Client(self.core.handle), self.inputs, talk, **more)

    def run(self) -> Session:
        self.code = self.interview.run()
        return self

    @property
    def shown(self) -> str:
        return self.sink.getvalue()

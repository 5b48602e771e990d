"""Asks the core through `checker.core.api.handle`, with its error replies turned into exceptions."""

from __future__ import annotations

import json

from checker.terminal.problem import OwnFault, Problem

TYPE_CHECKING = False  # typing itself is not imported: it costs start time
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

EXIT_CODES = {"fits": 0, "change": 1, "call": 1, "stop": 1, "find-out": 2}


def exit_code(report: dict[str, Any]) -> int:
    """The exit code of a report. A headline we do not know is our fault, never a pass."""
    try:
        return EXIT_CODES[report["headline"]]
    except (KeyError, TypeError):
        raise OwnFault("The report has a headline that this version does not know.") from None


class Inputs:
    """What is judged: a pack, maybe one edition of it, a date (ISO text), answers, confirmed table cells."""

    def __init__(
        self,
        pack: str,
        as_of: str,
        answers: dict[str, Any] | None = None,
        edition: str | None = None,
        confirmed: list[str] | None = None,
    ) -> None:
        self.pack, self.as_of, self.edition = pack, as_of, edition
        self.answers = dict(answers or {})
        self.confirmed = list(confirmed or [])


class Client:
    """Asks the core. `handle` takes and gives JSON text; a test may give its own."""

    def __init__(self, handle: Callable[[str], str] | None = None) -> None:
        if handle is None:
            from checker.core import api

            handle = api.handle
        self._handle = handle

    def ask(self, request: dict[str, Any]) -> tuple[dict[str, Any], str]:
        """The reply as data and as the text it came in.

        Raises Problem for an error reply, OwnFault for a fault or a reply that is no reply.
        """
        text = self._handle(json.dumps({"format": 1, **request}))
        reply = json.loads(text)
        if not isinstance(reply, dict):
            raise OwnFault("The core's reply is not an object.")
        error = reply.get("error")
        if error is None:
            return reply, text
        if reply.get("fault"):
            raise OwnFault(str(error.get("what", error)))
        raise Problem(*(str(error.get(part, "")) for part in ("where", "what", "why", "fix")))

    def about(self, ask: str, inputs: Inputs, **more: Any) -> tuple[dict[str, Any], str]:
        """The reply to `ask` (check, next, sheet or plan) about a case, as data and as text."""
        return self.ask(
            {
                "ask": ask,
                "pack": inputs.pack,
                "edition": inputs.edition,
                "as_of": inputs.as_of,
                "answers": inputs.answers,
                "confirmed": inputs.confirmed,
                **more,
            }
        )

    def check(self, inputs: Inputs) -> tuple[dict[str, Any], str]:
        """The report on a case, as data and as text."""
        return self.about("check", inputs)

    def plan(self, inputs: Inputs, plan: dict[str, Any]) -> tuple[dict[str, Any], str]:
        """The judged schedule of a case, as data and as text."""
        return self.about("plan", inputs, plan=plan)

    def compare(self, inputs: Inputs, packs: list[str]) -> tuple[dict[str, Any], str]:
        """The case under several packs (ids, an edition after @), as data and as text."""
        about = {"as_of": inputs.as_of, "answers": inputs.answers, "confirmed": inputs.confirmed}
        return self.ask({"ask": "compare", "packs": packs, **about})

    def next(self, inputs: Inputs) -> dict[str, Any]:
        """The next question, what is settled, how many may remain."""
        return self.about("next", inputs)[0]

    def packs(self) -> dict[str, Any]:
        """The reply that lists the packs; its `packs` is never empty."""
        reply = self.ask({"ask": "describe"})[0]
        if not reply.get("packs"):
            raise OwnFault(
                "No rule pack is installed. In a checkout, build the packs first: python -m checker.dev compile."
            )
        return reply

    def describe(self, inputs: Inputs) -> dict[str, Any]:
        """Everything in the pack of a case."""
        return self.ask({"ask": "describe", "pack": inputs.pack, "edition": inputs.edition, "as_of": inputs.as_of})[0]

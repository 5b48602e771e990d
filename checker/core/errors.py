"""What the core says when a request cannot be judged."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from decimal import Decimal


class BadRequest(Exception):
    """The request is at fault, not the checker.

    `where` names the place in the request, `what` is wrong there, `why` it matters and how to `fix` it.
    """

    def __init__(self, where: str, what: str, why: str, fix: str) -> None:
        super().__init__(f"{where}: {what}")
        self.where, self.what, self.why, self.fix = where, what, why, fix

    def as_reply(self) -> dict:
        return {"where": self.where, "what": self.what, "why": self.why, "fix": self.fix}


class PackFault(Exception):
    """A compiled pack does not hold what the engine needs: a fault of ours, never of the person who asks."""


def told(value: object) -> str:
    """A part of a request as an error names it: in the words of JSON, and never longer than a line."""
    if isinstance(value, (dict, list)):
        return "a table" if isinstance(value, dict) else "a list"
    text = str(value) if isinstance(value, Decimal) else str(value).lower() if isinstance(value, bool) else repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def only_keys(given: Iterable[str], known: Collection[str], holder: str, where: str) -> None:
    """Refuse the first key that nobody reads. `holder` is what holds it ("a plan"); `{key}` in `where` stands for the key."""
    for key in given:
        if key not in known:
            raise BadRequest(
                where.format(key=key[:60]),
                f"{holder} has no {told(key)}",
                "Ignoring it could hide a typing slip.",
                f"Use only: {', '.join(known)}.",
            )

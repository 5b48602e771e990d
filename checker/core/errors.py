"""What the core says when a request cannot be judged."""

from __future__ import annotations


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

"""What can go wrong, as two kinds: the input is bad, or the program is."""

from __future__ import annotations


class Problem(Exception):
    """Bad answers or bad usage (exit 64). The four parts are shown to the person as they are."""

    def __init__(self, where: str, what: str, why: str, fix: str) -> None:
        super().__init__(what)
        self.where, self.what, self.why, self.fix = where, what, why, fix


class OwnFault(Exception):
    """A fault of Spareway itself (exit 70). There is no verdict then."""

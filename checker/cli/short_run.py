"""The short run: an interview that asks only what has no usual answer, one screen after another."""

from __future__ import annotations

from checker.cli import short
from checker.cli.client import exit_code
from checker.cli.interview import Interview

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from checker.terminal.blocks import Document


class ShortRun(Interview):
    """As an Interview, but it ends where the rest can be supposed, with the short form.

    A screen holds the questions about one thing that a person has in the hand.
    """

    def _next(self) -> dict[str, Any]:
        return self.client.about("next", self.inputs, suppose=True)[0]

    def _judged(self) -> tuple[int, Document]:
        report = self.client.about("check", self.inputs, suppose=True)[0]
        return exit_code(report), short.build(report, self._pack()["questions"])

    def _place(self, question: dict[str, Any], state: dict[str, Any]) -> None:
        screen, progress = state["screen"], state["progress"]
        # A question asked again may stand on another screen than the one that comes next, or on none.
        if (
            screen
            and question["id"] in [asked["id"] for asked in screen["questions"]]
            and screen["title"] != self._stage
        ):
            self._stage = screen["title"]
            self.talk.heading(self._stage)
        else:
            self.talk.gap()
        most = progress["about"]
        self.talk.faint(f"screen {min(progress['done'] + 1, most)} of about {most}")

    def _last_chance(self, state: dict[str, Any]) -> dict[str, Any] | None:
        """Before the report: a question to go back to, or None."""
        self.talk.gap()
        settled = state["settled"]["headline"] is not None
        self.talk.say(
            "The verdict is settled. No other answer can change it."
            if settled
            else "That is enough for the short form. What is left may be as usual: look at the list."
        )
        return self._go_back()

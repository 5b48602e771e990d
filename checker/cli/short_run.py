"""The short run: an interview that asks only what has no usual answer, one screen after another."""

from __future__ import annotations

from checker.cli import short
from checker.cli.client import exit_code
from checker.cli.interview import Interview
from checker.cli.replies import NotUnderstood, answer_shown, parse

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from checker.terminal.blocks import Document

# One thing a person looks at, one screen; in the order in which one walks, as on the page (run.mjs).
SCREENS = ("who", "before", "load", "label", "breaker", "cable", "board")
# What kind of thing it is decides what else there is to ask about it.
FIRST = ("load_kind", "device_kind")


def next_question(waits_for: list[str], answers: dict[str, Any], questions: dict[str, dict[str, Any]]) -> str | None:
    """Of what the supposed verdict waits for, the question to ask next: what stands on the first screen that is not done."""
    open_ = [name for name in waits_for if name not in answers]
    return min(open_, key=lambda name: _turn(questions[name]), default=None)


def _turn(question: dict[str, Any]) -> tuple[int, bool]:
    return SCREENS.index(question["screen"]), question["id"] not in FIRST


def grouped(lines: list[dict[str, Any]], questions: dict[str, dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    """The lines of a supposed verdict by screen, so that one walks once; the screen with the tightest line first."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for line in lines:
        groups.setdefault(questions[line["question"]]["screen"], []).append(line)
    return groups


def looks(lines: list[dict[str, Any]], questions: dict[str, dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """The lines by what one sees in one look: as the rule set says, and what one label leaves out; all else alone."""
    found: dict[str, list[dict[str, Any]]] = {}
    for line in lines:
        found.setdefault(_look(questions[line["question"]], line["value"]), []).append(line)
    return list(found.values())


def _look(question: dict[str, Any], value: Any) -> str:
    if value == "not-stated" and question["screen"] in ("label", "load"):
        return f"{question['screen']} {question['id'].startswith('contactor_')}"  # a contactor has a label of its own
    return question["look"] or question["id"]


class ShortRun(Interview):
    """As an Interview, but it ends where the rest can be supposed, with the short form.

    A screen holds the questions about one thing that a person has in the hand.
    """

    def _next(self) -> dict[str, Any]:
        state = self.client.about("next", self.inputs, suppose=True)[0]
        name = next_question(state["supposed"]["waits_for"], self.inputs.answers, self._by_id())
        return {**state, "question": self._by_id()[name] if name else None}

    def _by_id(self) -> dict[str, dict[str, Any]]:
        return {question["id"]: question for question in self._pack()["questions"]}

    def _judged(self) -> tuple[int, Document]:
        report = self.client.about("check", self.inputs, suppose=True)[0]
        return exit_code(report), short.build(report, self._pack()["questions"])

    def _place(self, question: dict[str, Any], state: dict[str, Any]) -> None:
        """One heading for each thing in the hand, with how far the run has come; its questions follow below each other."""
        title = self._titles()[question["screen"]]
        if title == self._stage:
            self.talk.gap()
            return
        self._stage = title
        self.talk.heading(title)
        self.talk.faint(self._progress(question, state))

    def _titles(self) -> dict[str, str]:
        return {screen["id"]: screen["title"] for screen in self._pack()["screens"]}

    def _progress(self, question: dict[str, Any], state: dict[str, Any]) -> str:
        """How far the run has come, in screens; its end, the list of what to look at, is one more."""
        by_id = self._by_id()
        named = [*state["supposed"]["waits_for"], *self.inputs.answers, question["id"]]
        wanted = {by_id[name]["screen"] for name in named if name in by_id}
        self._of = max(self._of, len(wanted), state["progress"]["about"])
        place = [screen for screen in SCREENS if screen in wanted].index(question["screen"]) + 1
        return f"step {place} of about {self._of + 1}"

    _of = 0

    def _last_chance(self, state: dict[str, Any]) -> dict[str, Any] | None:
        """Before the report: the things to look at, a question to go back to, or None."""
        self.talk.gap()
        if state["settled"]["headline"] is not None:
            self.talk.say("The verdict is settled. No other answer can change it.")
            return self._go_back()
        self.talk.say("That is enough for the short form. What is left may be as usual: look at the list.")
        if not state["supposed"]["lines"]:
            return self._go_back()
        return self._go_back(ways={"look": ("goes through the list with you", lambda: self._look(state["supposed"]))})

    def _look(self, supposed: dict[str, Any]) -> dict[str, Any] | None:
        """Goes through what is supposed; the question that another answer makes necessary, or None."""
        questions = self._by_id()
        for screen, lines in grouped(supposed["lines"], questions).items():
            self.talk.heading(self._titles()[screen])
            for look in looks(lines, questions):
                self.talk.gap()
                for line in look:
                    self._show(questions[line["question"]], line, supposed["headline"] == "fits")
                for line in self._unlike(look):
                    question = questions[line["question"]]
                    if len(look) > 1:
                        self.talk.strong(question["label"])
                    self.talk.faint("ok it is so; or type the answer you find; Enter leaves it open")
                    value = self._seen(question, line["value"])
                    if value is None:
                        continue
                    state = self._take(question, value)
                    if state is not None and value != line["value"]:
                        # Another answer than usual may change everything that follows: the run goes on from there.
                        return state["question"] or self._last_chance(state)
        return None

    def _show(self, question: dict[str, Any], line: dict[str, Any], fits: bool) -> None:
        self.talk.strong(f"{question['label']}: {answer_shown(question, line['value'])}")
        self.talk.say(short.about(question, line, fits), "  ")

    def _unlike(self, look: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Of what is seen in one look, what has to be asked one by one: nothing where all of it is so, or stays open."""
        while len(look) > 1:
            self.talk.faint("ok all of this is so; no to go through them one by one; Enter leaves them open")
            word = self.talk.read().strip().casefold()
            if word == "ok":
                for line in look:
                    self._take(self._by_id()[line["question"]], line["value"])
            if word in ("ok", ""):
                return []
            if word in ("no", "n"):
                return look
            self.talk.refuse("Type ok or no, or press Enter to leave them open.")
        return look

    def _seen(self, question: dict[str, Any], usual: Any) -> Any:
        """What the person sees: the usual answer, another one, or None where it stays open."""
        while True:
            word = self.talk.read().strip()
            if not word:
                return None
            if word.casefold() == "ok":
                return usual
            try:
                name, value = parse(question, word)
            except NotUnderstood as problem:
                self.talk.refuse(str(problem))
                continue
            if name == "value":
                return value
            self.talk.refuse("Type ok, the answer you find, or press Enter to leave it open.")

"""The interview itself, on any pair of text streams: questions, answers, and ways to go back."""

from __future__ import annotations

from checker.cli import saving, screens
from checker.cli.client import exit_code
from checker.cli.confirm import confirm
from checker.cli.replies import NotUnderstood, answer_shown, parse
from checker.cli.talk import Ended
from checker.terminal import text
from checker.terminal.onepage import build
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from checker.cli.client import Client, Inputs
    from checker.cli.talk import Talk
    from checker.terminal.blocks import Document


class Interview:
    """Asks until no open question can change the verdict, or the person has had enough.

    `offers_to_save`: whether to ask for a file name when the person leaves. `dated`: whether a saved file keeps the
    date of judgement.
    """

    def __init__(
        self, client: Client, inputs: Inputs, talk: Talk, offers_to_save: bool = True, dated: bool = False
    ) -> None:
        self.client, self.inputs, self.talk = client, inputs, talk
        self._offers_to_save, self._dated = offers_to_save, dated
        self._settled = screens.Settled()
        self._stage = ""
        self._further = False  # whether to go on where nothing can change the verdict any more
        self._described: dict[str, Any] | None = None

    def run(self) -> int:
        """The exit code of the report. Raises Problem when nothing was answered."""
        try:
            self._choose_pack()
            self._questions()
            if self.talk.patient:
                confirm(self.talk, self.client, self.inputs)
        except Ended as ended:
            if not self.inputs.answers:
                raise Problem(
                    "the interview",
                    "You answered no question.",
                    "Without answers there is nothing to judge.",
                    "Start again: spareway ask",
                ) from None
            if ended.wanted:
                return self._leave()
            self.talk.say("The answers end here. What is known so far:")
        self.talk.gap()
        return self._report()

    def as_toml(self) -> str:
        """The answers given so far, as an answers file."""
        return saving.answers_toml(self.inputs, self._pack()["questions"], self._dated)

    def _pack(self) -> dict[str, Any]:
        """Everything about the pack; it is fetched only when somebody wants it."""
        if self._described is None:
            self._described = self.client.describe(self.inputs)
        return self._described

    def _choose_pack(self) -> None:
        if self.inputs.pack:
            return
        titles = {pack["id"]: pack["title"] for pack in self.client.packs()["packs"]}
        if len(titles) == 1:
            self.inputs.pack = next(iter(titles))
        question = {
            **screens.PACK,
            "choices": [{"value": key, "label": f"{title} ({key})"} for key, title in titles.items()],
        }
        while not self.inputs.pack:
            screens.show_question(self.talk, question)
            name, value = self._typed(question)
            if name == "value":
                self.talk.echo(titles[value])
                self.inputs.pack = value
            else:
                self._command(value, question)

    def _questions(self) -> None:
        state = self._next()
        pack = state["pack"]
        self.talk.say(f"{pack['title']}, edition {pack['edition']}, version {pack['version']}.")
        if pack["preview"]:
            self.talk.say(f"Preview: {pack['preview']}")
        again: dict[str, Any] | None = None
        while True:
            self._settled.tell(self.talk, state["settled"])
            further = state["beyond"]["question"]
            question = again or state["question"] or (further if self._further else None) or self._last_chance(state)
            if question is None:
                return
            self._place(question, state)
            screens.show_question(self.talk, question, self.inputs.answers.get(question["id"]))
            again = None
            while again is None:
                name, value = self._typed(question)
                if name == "command":
                    again = self._command(value, question)
                elif (new := self._take(question, value)) is not None:
                    state = new
                    break

    def _place(self, question: dict[str, Any], state: dict[str, Any]) -> None:
        if question["stage_title"] != self._stage:
            self._stage = question["stage_title"]
            self.talk.heading(self._stage)
        else:
            self.talk.gap()
        left = state["beyond" if self._further else "remaining"]["at_most"]
        self.talk.faint(f"{len(self.inputs.answers)} answered" + (f", at most {left} to go" if left else ""))

    def _take(self, question: dict[str, Any], value: Any) -> dict[str, Any] | None:
        """Put an answer to the core: the new state, or None if the core does not take it."""
        key, before = question["id"], dict(self.inputs.answers)
        self.inputs.answers[key] = value
        try:
            state = self._next()
        except Problem as problem:
            if problem.where != f"answers.{key}":
                raise
            self.inputs.answers = before
            self.talk.refuse(f"{problem.what}. {problem.fix}")
            return None
        self.talk.echo(answer_shown(question, value))
        return state

    def _typed(self, question: dict[str, Any]) -> tuple[str, Any]:
        """A value or a command; asks again until the line is understood. An empty line keeps the answer there is."""
        while True:
            line = self.talk.read()
            if not line.strip() and question["id"] in self.inputs.answers:
                return "value", self.inputs.answers[question["id"]]
            try:
                return parse(question, line)
            except NotUnderstood as problem:
                self.talk.refuse(str(problem))

    def _command(self, name: str, question: dict[str, Any]) -> dict[str, Any] | None:
        """Do what a command says; the question to show next, if one has to be shown again or anew."""
        if name == "quit":
            raise Ended(wanted=True)
        if name == "help":
            self.talk.say("Type an answer, or: ? (why we ask), back, change, verdict (see it now), quit.", "  ")
            return None
        if name == "why":
            titles = {rule["id"]: rule["title"] for rule in self._pack()["rules"]} if question.get("decides") else {}
            screens.explain(self.talk, question, [titles.get(rule, rule) for rule in question.get("decides", ())])
            return None
        if not self.inputs.answers:
            self.talk.say("You have not answered anything yet.", "! ")
            return None
        if name == "verdict":
            self._report()
            return question
        return (self._back(question["id"]) if name == "back" else self._change()) or question

    def _back(self, key: str) -> dict[str, Any] | None:
        """The question answered before `key`, or None."""
        given = list(self.inputs.answers)
        at = given.index(key) if key in given else len(given)
        if at == 0:
            self.talk.say("This is the first answer.", "! ")
            return None
        return self._question(given[at - 1])

    def _change(self) -> dict[str, Any] | None:
        """The question of an answer that the person picks from the list, or None."""
        given = list(self.inputs.answers)
        screens.list_answers(self.talk, self.inputs.answers, {key: self._question(key) for key in given})
        self.talk.faint("type the number of the answer to change, or press Enter to change none")
        while True:
            word = self.talk.read().strip()
            if not word:
                return None
            if word.isascii() and word.isdigit() and 1 <= int(word[:6]) <= len(given):
                return self._question(given[int(word[:6]) - 1])
            self.talk.refuse(f"Type a number from 1 to {len(given)}.")

    def _question(self, key: str) -> dict[str, Any]:
        return next(question for question in self._pack()["questions"] if question["id"] == key)

    def _last_chance(self, state: dict[str, Any]) -> dict[str, Any] | None:
        """Before the report: a question to go back to, one to go on with, or None.

        Where the verdict is settled early, questions may be left whose answers would show what else has to change: a
        homeowner who has to call can still learn what would fit.
        """
        self.talk.gap()
        further = state["beyond"]["question"]
        if further is None:
            self.talk.say("There are no more questions.")
        else:
            self.talk.say("The verdict is settled. No other answer can change it.")
            if self.talk.patient:
                most = state["beyond"]["at_most"]
                self.talk.say(
                    f"You can go on, with at most {most} more question{'' if most == 1 else 's'}, some about sizes. The report then "
                    "names everything that must change."
                )
        return self._go_back(further)

    def _go_back(
        self, further: dict[str, Any] | None = None, ways: dict[str, tuple[str, Callable[[], Any]]] | None = None
    ) -> dict[str, Any] | None:
        """What a person chooses before the report: an earlier question, the one to go on with (`further`), or None.

        `ways`: other words, each with what it does and a function that does it and gives the question to show, or None.
        """
        ways = ways or {}
        more = "".join(f"{word} {does}; " for word, (does, _) in ways.items())
        more += "more asks these questions; " if further else ""
        while self.talk.patient:
            self.talk.faint(f"Enter shows the report; {more}back and change go to an earlier answer; quit leaves")
            word = self.talk.read().strip().casefold()
            if word in ("", "verdict"):
                break
            if word in ("quit", "exit"):
                raise Ended(wanted=True)
            if word == "more" and further:
                self._further = True
                return further
            if word in ways:
                return ways[word][1]()
            found = self._back("") if word == "back" else self._change() if word == "change" else None
            if found is not None:
                return found
        return None

    def _next(self) -> dict[str, Any]:
        """What comes next: the reply that names the question to ask."""
        return self.client.next(self.inputs)

    def _judged(self) -> tuple[int, Document]:
        """The exit code, and the report as a document."""
        report = self.client.check(self.inputs)[0]
        return exit_code(report), build(report)

    def _report(self) -> int:
        code, document = self._judged()
        self.talk.raw(text.render(document, self.talk.display))
        return code

    def _leave(self) -> int:
        """The verdict in short, and a file of the answers if the person wants one."""
        code, document = self._judged()
        self.talk.gap()
        self.talk.raw("\n".join(text.box(document.headline, document.word, document.text, self.talk.display)) + "\n")
        while self._offers_to_save and self.talk.patient:
            self.talk.say("To keep your answers, type a file name. To leave without saving, press Enter.")
            try:
                path = self.talk.read().strip()
                if path:
                    saving.save(path, self.as_toml())
                    self.talk.say(f"Saved in {path}. To continue later: spareway ask --from {path}")
                break
            except Ended:
                break
            except Problem as problem:
                self.talk.say(f"{problem.what} {problem.fix}", "! ")
        return code

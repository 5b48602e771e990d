"""What the interview shows: a question, why it is asked, what is settled, which answers there are."""

from __future__ import annotations

from checker.cli.replies import answer_shown, keys, range_shown
from checker.terminal.report import WORDS

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from checker.cli.talk import Talk

PACK = {
    "id": "pack",
    "kind": "choice",
    "text": "Whose rules apply where the board is?",
    "why": "Limits, words and law differ from country to country.",
    "find_out": "Choose the country the board is in. If it is not listed, choose the general rules.",
    "dont_know": False,
}
SAME = {
    "id": "",
    "kind": "yes-no",
    "text": "Does your own copy say the same?",
    "why": "This figure is from memory, and cannot give a pass until you confirm it in your own copy.",
    "find_out": "Open your copy at that place. If you have no copy, press Enter: the figure stays open.",
    "dont_know": False,
}


def show_question(talk: Talk, question: dict[str, Any], held: Any = None) -> None:
    """The question, its help, its choices, and what may be typed; `held` is the answer it has by now."""
    talk.strong(question["text"])
    if question.get("help"):
        talk.say(question["help"], "  ")
    hints = ["? why we ask"]
    if question["kind"] == "choice":
        for sign, choice in zip(keys(question["choices"]), question["choices"], strict=True):
            talk.say(choice["label"], f"  {sign}) ")
            if choice.get("help"):
                talk.say(choice["help"], "     ")
    elif question["kind"] == "number":
        hints.insert(0, f"a number, {range_shown(question)}")
    else:
        hints.insert(0, "yes or no")
    if question.get("dont_know", True):
        hints.append("dk I don't know")
    if question.get("not_stated"):
        hints.append("ns the label does not say")
    if held is not None:
        hints.append(f"Enter keeps: {answer_shown(question, held)}")
    talk.faint("; ".join(hints))


def explain(talk: Talk, question: dict[str, Any], rule_titles: list[str]) -> None:
    """Why the question is asked, how to find the answer, and what it bears on."""
    talk.say(question["why"], "  Why: ")
    if question.get("find_out"):
        talk.say(question["find_out"], "  How to find out: ")
    if rule_titles:
        talk.say("; ".join(rule_titles) + ".", "  It decides: ")


class Settled:
    """Tells what has become settled, once."""

    def __init__(self) -> None:
        self._headline: str | None = None
        self._failed: set[str] = set()

    def tell(self, talk: Talk, settled: dict[str, Any]) -> None:
        """`settled` as in a `next` reply."""
        failed = [finding for finding in settled["findings"] if finding["outcome"] == "failed"]
        headline, changed = settled["headline"], settled["headline"] != self._headline
        if changed and headline is None:
            talk.say("With that answer, the verdict is open again.", "! ")
        elif changed:
            talk.say(f"Already settled: {WORDS[headline]}. No later answer can improve it.", "! ")
        for finding in failed:
            if finding["rule"] not in self._failed:
                talk.say(finding["message"], "  - ")
        if changed and headline is not None:
            talk.say("You can go on to learn the rest, or type verdict, change or quit.", "  ")
        self._headline, self._failed = headline, {finding["rule"] for finding in failed}


def list_answers(talk: Talk, answers: dict[str, Any], questions: dict[str, dict[str, Any]]) -> None:
    """The answers so far, numbered from 1."""
    talk.heading("Your answers")
    for number, (key, value) in enumerate(answers.items(), 1):
        question = questions[key]
        talk.say(f"{question['text']} {answer_shown(question, value)}", f"  {number:>{len(str(len(answers)))}}) ")

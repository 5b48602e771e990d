"""How a plain page of the questions of danger and law looks: HTML without a script, in one small style sheet, `plain.css`.

The words that the check page uses too come from its message file, so that both say the same.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from checker.dev.checkout import ROOT
from checker.dev.site.plain_states import Page
from checker.dev.site.templates import render

MESSAGES = ROOT / "checker" / "web" / "spareway" / "messages" / "en.mjs"
CAUTIONS_OPEN = 4  # the first few stand open, as in a report: nobody reads twenty


def messages() -> dict[str, str]:
    """The English words of the check page: one a line, each line JSON."""
    lines = [line for line in MESSAGES.read_text(encoding="utf-8").splitlines() if line.startswith('  "')]
    return {key: text for line in lines for key, text in json.loads("{" + line.rstrip(",") + "}").items()}


WORDS = messages()


def choice(packs: Mapping[str, dict]) -> str:
    """The page that asks whose rules apply; `packs` as `check_page.rule_sets` gives them."""
    current, others = (
        [_choice(name, pack) for name, pack in packs.items() if ("@" in name) is other] for other in (False, True)
    )
    title = WORDS["start.question"]
    return render("plain/choice.html", title=title, home="../", words=WORDS, current=current, others=others)


def _choice(name: str, pack: dict) -> tuple[str, str, str]:
    preview = f". {WORDS['report.preview']} {pack['preview']}" if pack["preview"] else ""
    return f"{name}/", pack["title"], f"Edition {pack['edition']}{preview}"


class RuleSetPages:
    """Draws the pages of one rule set; `general`: the checker's report on no answers at all."""

    def __init__(self, pack: dict[str, Any], table: dict[str, Any], general: dict[str, Any]) -> None:
        self.pack = pack
        self.questions = {question["id"]: question for question in table["questions"]}
        self.general = general

    def question(self, page: Page, first: bool) -> str:
        assert page.question is not None
        asked = self.questions[page.question]
        return self._page(
            "plain/question.html",
            title=asked["text"],
            first=first,
            asked=asked,
            answers=[(f"{to}.html", *self.answer(asked, value)) for value, to in page.links.items()],
            to_go=self.to_go(page.most),
        )

    def ending(self, page: Page, sentence: str, asked: list[dict]) -> str:
        """`sentence`: the checker's own; `asked`: the questions that may have led here."""
        cautions = [item["text"] for item in self.general["cautions"]]
        word = WORDS[f"headline.{page.headline}"]
        return self._page(
            "plain/ending.html",
            title=f"{word}: {sentence}",
            first=False,
            headline=page.headline,
            word=word,
            sentence=sentence,
            failed=page.failed,
            asked=asked,
            cautions=cautions[:CAUTIONS_OPEN],
            more_cautions=cautions[CAUTIONS_OPEN:],
            defers_to=[item["text"] for item in self.general["defers_to"]],
        )

    def _page(self, template: str, **values: Any) -> str:
        return render(template, home="../../", words=WORDS, pack=self.general["pack"], **values)

    @staticmethod
    def to_go(most: int) -> str:
        return WORDS["question.left.one"] if most == 1 else WORDS["question.left.many"].replace("{n}", str(most))

    @staticmethod
    def answer(question: dict, value: str) -> tuple[str, str]:
        """An answer as a person reads it, and what is said of it."""
        words = {"true": "answer.yes", "false": "answer.no"} if question["kind"] == "yes-no" else {}
        words |= {"dont-know": "answer.dont-know", "not-stated": "answer.not-stated"}
        chosen = next((choice for choice in question["choices"] or () if choice["value"] == value), None)
        return (chosen["label"], chosen.get("help") or "") if chosen else (WORDS[words[value]], "")

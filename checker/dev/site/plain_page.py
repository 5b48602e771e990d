"""How a plain page of the gates looks: HTML without a script, in one small style sheet, `checker/web/spareway/plain.css`.

The words that the check page uses too come from its message file, so that both say the same.
"""

from __future__ import annotations

from checker.dev import ROOT

import json
from collections.abc import Iterable, Mapping
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from checker.dev.site.plain_pages import Page

MESSAGES = ROOT / "checker" / "web" / "spareway" / "messages" / "en.mjs"

DOCUMENT = """\
<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex"><meta name="referrer" content="no-referrer">
<meta name="color-scheme" content="light dark">
<title>{title} - Spareway</title><link rel="icon" href="data:,">
<link rel="stylesheet" href="{home}spareway/plain.css"></head>
<body><header><a href="{home}">Spareway</a></header>
<main>
{body}
</main>
<footer>
{foot}
</footer></body></html>
"""

LEAD = """\
<p>These pages need no JavaScript. They ask only what may stop the work or reserve it for a licensed person. To check sizes,
wires and tests, use the <a href="../check/">full check</a>, which needs JavaScript and WebAssembly, or the
<a href="../#on-the-command-line">command line</a>. These pages never say that a job fits.</p>"""

# Each outcome has a shape of its own, as on the check page (dom.mjs), so that nothing hangs on colour.
SHAPES = {
    "stop": "M8 2h8l6 6v8l-6 6H8l-6-6V8zM8 8l8 8M16 8l-8 8",
    "call": "M5 3h4l2 5-2.5 1.5a11 11 0 0 0 6 6L16 13l5 2v4a2 2 0 0 1-2 2A16 16 0 0 1 3 5a2 2 0 0 1 2-2z",
    "find-out": "M12 2l10 10-10 10L2 12zM9.5 10a2.5 2.5 0 1 1 3.4 2.3c-.7.3-.9.7-.9 1.4M12 16v.6",
}

CAUTIONS_OPEN = 4

OPEN = """\
<p>Nothing in your answers stops this work or reserves it for somebody else. <strong>This is not permission.</strong> Two
things are left:</p>
<ol>
<li>Each answer “{dont_know}” is still open. It counts against the work until you find out.</li>
<li>These pages have not checked sizes, connections or tests.</li>
</ol>"""


def messages() -> dict[str, str]:
    """The English words of the check page: one a line, each line JSON."""
    lines = [line for line in MESSAGES.read_text(encoding="utf-8").splitlines() if line.startswith('  "')]
    return {key: text for line in lines for key, text in json.loads("{" + line.rstrip(",") + "}").items()}


WORDS = messages()


def paragraph(text: str, kind: str = "") -> str:
    return f'<p class="{kind}">{escape(text)}</p>' if kind else f"<p>{escape(text)}</p>"


def shape(headline: str) -> str:
    return f'<svg viewBox="0 0 24 24" aria-hidden="true"><path d="{SHAPES[headline]}"/></svg>'


def listed(items: Iterable[str]) -> str:
    return "<ul>\n" + "\n".join(f"<li>{escape(item)}</li>" for item in items) + "\n</ul>"


def fold(title: str, text: str) -> str:
    return f"<details><summary>{escape(title)}</summary>{paragraph(text)}</details>" if text else ""


def document(title: str, home: str, body: Iterable[str], foot: Iterable[str]) -> str:
    return DOCUMENT.format(
        title=escape(title), home=home, body="\n".join(filter(None, body)), foot="\n".join(filter(None, foot))
    )


def choice(packs: Mapping[str, dict]) -> str:
    """The page that asks whose rules apply; `packs` as `checkpage.rule_sets` gives them."""
    current, others = (
        [(name, pack) for name, pack in packs.items() if ("@" in name) is other] for other in (False, True)
    )
    body = [
        f"<h1>{escape(WORDS['start.question'])}</h1>",
        paragraph(WORDS["start.help"], "help"),
        _choices(current),
        f"<h2>{escape(WORDS['start.other'])}</h2>" if others else "",
        paragraph(WORDS["start.other-help"], "help") if others else "",
        _choices(others) if others else "",
    ]
    return document(WORDS["start.question"], "../", body, [LEAD])


def _choices(packs: list[tuple[str, dict]]) -> str:
    rows = [(f"{name}/", pack["title"], f"Edition {pack['edition']}{_preview(pack)}") for name, pack in packs]
    return links(rows)


def _preview(pack: dict) -> str:
    return f". {WORDS['report.preview']} {pack['preview']}" if pack["preview"] else ""


def links(rows: Iterable[tuple[str, str, str]]) -> str:
    """Answers to choose from, each `(address, label, what is said of it)`."""
    shown = [
        f'<li><a href="{escape(to)}"><b>{escape(label)}</b>{f"<span>{escape(hint)}</span>" if hint else ""}</a></li>'
        for to, label, hint in rows
    ]
    return '<ul class="answers">\n' + "\n".join(shown) + "\n</ul>"


class Set:
    """Draws the pages of one rule set; `general`: the checker's report on no answers at all."""

    def __init__(self, pack: dict[str, Any], table: dict[str, Any], general: dict[str, Any]) -> None:
        self.pack = pack
        self.questions = {question["id"]: question for question in table["questions"]}
        self.general = general

    def question(self, page: Page, first: bool) -> str:
        asked = self.questions[page.question]
        answers = [(f"{to}.html", *self.answer(asked, value)) for value, to in page.links.items()]
        body = [
            paragraph(asked["stage_title"], "way"),
            f"<h1>{escape(asked['text'])}</h1>",
            paragraph(asked["help"], "help") if asked["help"] else "",
            links(answers),
            fold(WORDS["question.why"], asked["why"]),
            fold(WORDS["question.how"], asked["find_out"]),
            paragraph(self.to_go(page.most), "hint"),
        ]
        return document(asked["text"], "../../", body, self.foot(first))

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

    def ending(self, page: Page, sentence: str, asked: list[dict]) -> str:
        """`sentence`: the checker's own; `asked`: the questions that may have led here."""
        assert page.headline is not None
        word = WORDS[f"headline.{page.headline}"]
        body = [
            f'<div class="end {page.headline}">{shape(page.headline)}',
            f"<div>{paragraph(word, 'word')}<h1>{escape(sentence)}</h1></div></div>",
            *(self.failure(one) for one in page.failed),
            "" if page.failed else self.still_open(asked),
            f"<h2>{escape(WORDS['report.mind'])}</h2>",
            *self.cautions(),
            f"<h2>{escape(WORDS['report.last-word'])}</h2>",
            listed(item["text"] for item in self.general["defers_to"]),
        ]
        return document(f"{word}: {sentence}", "../../", body, self.foot(False))

    def cautions(self) -> Iterable[str]:
        """The first few stand open, as in a report: nobody reads twenty."""
        texts = [item["text"] for item in self.general["cautions"]]
        yield listed(texts[:CAUTIONS_OPEN])
        if rest := texts[CAUTIONS_OPEN:]:
            title = WORDS["report.mind-more"].replace("{n}", str(len(rest)))
            yield f"<details><summary>{escape(title)}</summary>{listed(rest)}</details>"

    @staticmethod
    def failure(failed: dict[str, str]) -> str:
        fix = failed["fix"]
        done = f"<p><strong>{escape(WORDS['findings.fix'])}</strong> {escape(fix)}</p>" if fix else ""
        return f"<section><h2>{escape(failed['title'])}</h2>{paragraph(failed['message'])}{done}</section>"

    @staticmethod
    def still_open(asked: list[dict]) -> str:
        rows = [fold(question["text"], question["find_out"]) for question in asked]
        ways = (
            '<p>To go on, use the <a href="../../check/">full check</a>, which needs JavaScript and WebAssembly, '
            'or the <a href="../../#on-the-command-line">command line</a>. '
            "If you have neither, give a licensed person "
            'these questions with your answers, and the <a href="../../reference/">rules and tables</a>.</p>'
        )
        return "\n".join(
            [
                OPEN.format(dont_know=escape(WORDS["answer.dont-know"])),
                ways,
                "<h2>How to find out what is open</h2>",
                *rows,
            ]
        )

    def foot(self, first: bool) -> Iterable[str]:
        """What the page rests on, and the ways out of it."""
        pack, notice = self.general["pack"], self.general["pack"]["notice"]
        if first:
            yield '<p><a href="../">Another rule set</a></p>'
        else:
            yield f'<p><a href="./">{escape(WORDS["page.again"])}</a>. To change one answer, go back in your browser.</p>'
        yield paragraph(f"{pack['title']}, edition {pack['edition']}, rules of {pack['version']}. Review is due by "
                        f"{pack['review_by']}. After that day, confirm each point with the local code.")  # fmt: skip
        if pack["preview"]:
            yield paragraph(f"{WORDS['report.preview']} {pack['preview']}")
        if notice:
            yield paragraph(f"{WORDS['report.edition']} {notice}")

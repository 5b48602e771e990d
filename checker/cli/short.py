"""The short form of a check: the verdict, and what it would be if everything still open were as usual."""

from __future__ import annotations

from decimal import Decimal

from checker.cli.replies import answer_shown
from checker.terminal.blocks import Document, Item, Listing, Paragraph, Section
from checker.terminal.report import WORDS, reasons
from checker.terminal.units import with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_WHOLE = "This is the short form. Cautions, steps, tests and what was not checked are in the whole report: leave out --suppose."


def build(report: dict[str, Any], questions: list[dict[str, Any]]) -> Document:
    """The document of a `check` reply that was asked with `suppose`.

    The headline is that of the report, whatever is supposed. `questions`: as in a `describe` reply.
    """
    headline, supposed = report["headline"], report["supposed"]
    by_id = {question["id"]: question for question in questions}
    said, because, sections = report["headline_text"], reasons(report), []
    if headline == "find-out":
        said, because = _said(report), []
        sections = [_waiting(supposed, by_id), _lines(supposed, by_id)]
    preview = report["pack"]["preview"]
    return Document(
        headline,
        WORDS[headline],
        said,
        because,
        [
            section
            for section in (
                Section("", [Paragraph(preview, "Preview:")] if preview else []),
                *sections,
                Section(
                    "", [Paragraph(report["who"]["text"], "Who may do it:"), *_last_word(report), Paragraph(_WHOLE)]
                ),
            )
            if section.blocks
        ],
    )


def _last_word(report: dict[str, Any]) -> list[Paragraph]:
    """That the code decides, which comes first of what this check defers to."""
    return [Paragraph(entry["text"], "Last word:") for entry in report["defers_to"][:1]]


def _said(report: dict[str, Any]) -> str:
    """What is supposed, in a sentence that stands under FIND OUT."""
    supposed = report["supposed"]
    waits, lines = len(supposed["waits_for"]), len(supposed["lines"])
    if waits:
        return f"Answer {waits} more question{'' if waits == 1 else 's'} first."
    if supposed["headline"] == "fits":
        if not lines:
            return "It fits if everything still open is as usual here."
        return f"It fits if {'this one thing is' if lines == 1 else f'these {lines} things are'} as usual here."
    part = supposed["who" if supposed["headline"] in ("stop", "call") else "sizing"]
    titles = {finding["rule"]: finding["title"] for finding in report["findings"]}
    about = "; ".join(titles[rule] for rule in part["because"] if rule in titles)
    return f"If everything else is as usual here: {part['text']}" + (f" It is about: {about}." if about else "")


def _waiting(supposed: dict[str, Any], questions: dict[str, dict[str, Any]]) -> Section:
    asked = [questions[name] for name in supposed["waits_for"]]
    items = [Item(question["text"], [question["find_out"]], "?") for question in asked]
    return Section("Questions still to answer", [Listing(items)] if items else [])


def _lines(supposed: dict[str, Any], questions: dict[str, dict[str, Any]]) -> Section:
    fits = supposed["headline"] == "fits"
    items = []
    for line in supposed["lines"]:
        question = questions[line["question"]]
        head = f"{question['label']}: {answer_shown(question, line['value'])}"
        items.append(Item(head, [about(question, line, fits)], "?"))
    return Section("Usual here: look whether it is so with you", [Listing(items)] if items else [])


def about(question: dict[str, Any], line: dict[str, Any], fits: bool) -> str:
    """How to see that a supposed answer is so, and how far it may be off."""
    return f"{line['seen']} {_may_be_off(question, line, fits)}".strip()


def _may_be_off(question: dict[str, Any], line: dict[str, Any], fits: bool) -> str:
    """How far a supposed answer may be off: "Fits down to 3 kA."; empty where no figure bounds it."""
    said = "Fits" if fits else "The same"
    if line["holds_to"] is not None:
        way = "up" if Decimal(line["changes_at"]) > Decimal(line["value"]) else "down"
        return f"{said} {way} to {with_unit(line['holds_to'], question['unit'])}."
    if "holds" not in line:
        return ""
    others = [answer_shown(question, value) for value in line["holds"] if value != line["value"]]
    if not others:
        return f"{said} only with this."
    return f"{'Also fits' if fits else 'The same'} with: {'; '.join(others)}."

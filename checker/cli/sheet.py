"""`spareway sheet`: one answers file in, the job sheet out."""

from __future__ import annotations

import sys

from checker.cli.check import judged
from checker.cli.client import exit_code
from checker.terminal import output

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace
    from typing import Any


def run(options: Namespace) -> int:
    """Make the sheet of the file that the options name. The exit code is that of the verdict."""
    sheet, reply = judged(options, "sheet")
    code = exit_code(sheet)
    if options.json:
        output.write_json(reply)
    elif options.markdown:
        output.write(_markdown(sheet, options.long))
    else:
        from checker.cli.sheet_html import render

        output.write_utf8(render(sheet, short=not options.long))
    return code


def _markdown(sheet: dict[str, Any], long: bool) -> str:
    from checker.terminal import markdown
    from checker.terminal.blocks import Document, Section
    from checker.terminal.display import display_of

    sections = [
        Section(section["title"], [part for block in section["blocks"] for part in _blocks(block)])
        for section in sheet["sections" if long else "short"]
    ]
    lead = [text for text in (sheet["lead"], sheet["notice"]) if text]
    document = Document(sheet["headline"], sheet["title"], sheet["headline_text"], lead, sections)
    return markdown.render(document, display_of(sys.stdout))


def _blocks(block: dict[str, Any]) -> list:
    """One block of the sheet as blocks of a document; a drawing as its twin in words, for Markdown draws nothing."""
    from checker.terminal.blocks import Code, Item, Listing, Paragraph, Table

    label = [Paragraph("", block["label"])] if block["label"] else []
    kind = block["kind"]
    if kind == "text":
        return [Paragraph(block["text"], block["label"] or "")]
    if kind == "list":
        mark = "☐ " if block["boxes"] else ""
        return [*label, Listing([Item(mark + item) for item in block["items"]], block["numbered"])]
    if kind == "drawing":
        return [*label, Listing([Item(line) for line in block["text"]])]
    if kind == "code":
        return [*label, Code(block["text"])]
    rows = block["rows"]
    return [*label, Table(block["head"] if kind == "table" else ["", ""], rows, words=True)]

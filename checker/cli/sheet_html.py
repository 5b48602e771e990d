"""The job sheet as one HTML file: nothing to load, nothing that runs; it prints on A4 and on Letter."""

from __future__ import annotations

from html import escape

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

# Millimetres and points: this is made for paper. Page margins leave room on either format.
_STYLE = """
@page { margin: 9mm 13mm; }
* { box-sizing: border-box; }
body { max-width: 44rem; margin: 0 auto; padding: 0.8rem; color: #000; background: #fff;
  font: 1rem/1.4 Arial, Helvetica, sans-serif; overflow-wrap: anywhere; }
h1 { margin: 0 0 0.3rem; font-size: 1.6rem; }
h2 { margin: 1.4rem 0 0.4rem; padding-bottom: 0.15rem; border-bottom: 2px solid #000; font-size: 1.25rem; }
h3 { margin: 1rem 0 0.3rem; font-size: 1rem; }
p { margin: 0.3rem 0; }
ul, ol { margin: 0.3rem 0; padding-left: 1.5rem; }
li { margin: 0.15rem 0; }
ul.boxes { padding-left: 0; list-style: none; }
ul.boxes > li { position: relative; padding-left: 1.5rem; }
ul.boxes > li::before { content: ""; position: absolute; left: 0.1rem; top: 0.22rem; width: 0.8rem; height: 0.8rem;
  border: 1.5px solid #000; }
.head { margin-bottom: 0.6rem; padding: 0.5rem 0.8rem; border: 3px solid #000; }
.head p { margin: 0; }
.head .verdict { font-weight: bold; }
table { width: 100%; margin: 0.3rem 0; border-collapse: collapse; font-size: 0.86rem; }
th, td { padding: 0.25rem 0.35rem; border: 1px solid #444; text-align: left; vertical-align: top; }
th { background: #eee; }
td.write { min-width: 7rem; }
tr.room td { height: 2.1rem; }
th:first-child { min-width: 2.4rem; }
dl.facts { margin: 0.3rem 0; columns: 2; column-gap: 1.4rem; font-size: 0.9rem; }
dl.facts div { display: flex; gap: 0.5rem; justify-content: space-between; break-inside: avoid; border-bottom: 1px solid #bbb; }
dl.facts dt { flex: none; max-width: 55%; color: #333; overflow-wrap: normal; }
dl.facts dd { margin: 0; overflow-wrap: normal; font-weight: bold; text-align: right; }
figure { margin: 0.6rem 0; break-inside: avoid; }
figcaption { font-weight: bold; }
figure svg { display: block; width: 100%; max-width: 34rem; height: auto; margin: 0.3rem auto; }
details { margin: 0.3rem 0; font-size: 0.86rem; }
pre { padding: 0.5rem; border: 1px solid #444; font-size: 0.72rem; white-space: pre-wrap; }
@media screen and (max-width: 34rem) {
  dl.facts { columns: 1; }
  table.stack thead { display: none; }
  table.stack, table.stack tbody, table.stack tr, table.stack td { display: block; }
  table.stack tr { margin-bottom: 0.6rem; border: 1px solid #444; }
  table.stack td { border: 0; padding: 0.15rem 0.4rem; }
  table.stack td::before { content: attr(data-label) ": "; font-weight: bold; }
}
@media print {
  html { font-size: 9pt; }
  body { max-width: none; padding: 0; line-height: 1.19; }
  table, details { font-size: 8.5pt; }
  ol { padding-left: 2.2rem; }
  h1 { font-size: 15pt; }
  h2 { margin-top: 3mm; font-size: 12pt; }
  h3 { margin: 2mm 0 0.6mm; font-size: 9.5pt; }
  li { margin: 0.2mm 0; }
  tr.room td { height: 6mm; }
  .page > h2 { margin-top: 0; }
  .page { break-before: page; }
  h2, h3 { break-after: avoid; }
  tr, li { break-inside: avoid; }
  figure svg { max-width: 118mm; max-height: 102mm; }
  details { display: none; }
  pre { columns: 2; font-size: 6.5pt; }
}
/* The short form: a front and a back. */
.short #drawing { display: grid; grid-template-columns: 1fr 1fr; gap: 0 1rem; align-items: start; }
.short #drawing > h2, .short #drawing > details { grid-column: 1 / -1; }
.short #foot h2 { font-size: 1rem; border: 0; margin-top: 0.6rem; }
.short #foot p { margin: 0; font-size: 0.8rem; }
@media screen and (max-width: 34rem) { .short #drawing { display: block; } }
@media print {
  .short { font-size: 8pt; line-height: 1.13; }
  .short table { margin: 0.5mm 0; font-size: 7.5pt; }
  .short th, .short td { padding: 0.25mm 0.8mm; }
  .short table.stack { table-layout: fixed; font-size: 7pt; }
  .short table.stack :is(th, td):nth-child(1) { width: 4%; min-width: 0; }
  .short table.stack :is(th, td):nth-child(4) { width: 26%; }
  .short table.stack :is(th, td):nth-child(5) { width: 20%; }
  .short table.stack :is(th, td):nth-child(6) { width: 20%; }
  .short #buy :is(p, table) { font-size: 7pt; }
  .short h2 { margin: 1.5mm 0 0.6mm; font-size: 10pt; }
  .short h3 { margin: 1mm 0 0.2mm; font-size: 8.5pt; }
  .short .head { margin-bottom: 1mm; padding: 1mm 2mm; border-width: 2px; }
  .short h1 { font-size: 12pt; margin: 0; }
  .short tr.room td { height: 4.4mm; }
  .short #before ol, .short #before ul { columns: 2; column-gap: 5mm; margin: 0.5mm 0; padding-left: 5mm; }
  .short figure { margin: 0; }
  .short figcaption { font-size: 8pt; }
  .short figure svg { max-width: 100%; max-height: 78mm; margin: 0 auto; }
  .short #foot p, .short #connections p, .short .head p { font-size: 7pt; }
}
"""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


def render(sheet: dict[str, Any], language: str = "en", short: bool = False) -> str:
    """The whole file, in the long form or the short. The drawings come from the core as SVG; everything else is escaped."""
    body = "\n".join(_section(section) for section in sheet["short" if short else "sections"])
    title, form = escape(sheet["title"]), ' class="short"' if short else ""
    notice = f"<p><strong>{escape(sheet['notice'])}</strong></p>\n" if sheet["notice"] else ""
    return (
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body{form}>\n<header class="head">\n<h1>{title}</h1>\n'
        f'<p class="verdict">{escape(sheet["headline_text"])}</p>\n<p>{escape(sheet["lead"])}</p>\n'
        f"{notice}"
        f"</header>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _section(section: dict[str, Any]) -> str:
    page = ' class="page"' if section["page"] else ""
    blocks = "\n".join(_block(block) for block in section["blocks"])
    return f'<section{page} id="{escape(section["id"])}">\n<h2>{escape(section["title"])}</h2>\n{blocks}\n</section>'


def _block(block: dict[str, Any]) -> str:
    head = f"<h3>{escape(block['label'])}</h3>\n" if block["label"] and block["kind"] != "drawing" else ""
    return head + _BLOCKS[block["kind"]](block)


def _text(block: dict[str, Any]) -> str:
    return f"<p>{escape(block['text'])}</p>"


def _list(block: dict[str, Any]) -> str:
    tag = "ol" if block["numbered"] else "ul"
    boxes = ' class="boxes"' if block["boxes"] else ""
    return f"<{tag}{boxes}>{''.join(f'<li>{escape(item)}</li>' for item in block['items'])}</{tag}>"


def _table(block: dict[str, Any]) -> str:
    head = block["head"]
    room = ' class="room"' if any("" in row for row in block["rows"]) else ""
    rows = "".join(f"<tr{room}>{''.join(map(_cell, head, row))}</tr>" for row in block["rows"])
    stack = ' class="stack"' if len(head) > 3 else ""
    heads = "".join(f'<th scope="col">{escape(label)}</th>' for label in head)
    return f"<table{stack}><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _cell(label: str, cell: str) -> str:
    write = "" if cell else ' class="write"'
    return f'<td{write} data-label="{escape(label)}">{escape(cell)}</td>'


def _facts(block: dict[str, Any]) -> str:
    rows = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(value)}</dd></div>" for name, value in block["rows"])
    return f'<dl class="facts">{rows}</dl>'


def _drawing(block: dict[str, Any]) -> str:
    twin = "".join(f"<li>{escape(line)}</li>" for line in block["text"])
    return (
        f"<figure><figcaption>{escape(block['label'])}</figcaption>{block['svg']}</figure>\n"
        f"<details><summary>{escape(block['text_label'])}</summary><ul>{twin}</ul></details>"
    )


def _code(block: dict[str, Any]) -> str:
    return f"<pre>{escape(block['text'])}</pre>"


_BLOCKS = {"text": _text, "list": _list, "table": _table, "facts": _facts, "drawing": _drawing, "code": _code}

"""The sheet in short: two sides of paper for the job, one page for whoever must call or stop. The long form has the rest.

Front: what to buy, the list of wires, the drawings. Back: making dead, the tests with room to write, the signature.
"""

from __future__ import annotations

from checker.core.sheet import blocks

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    Sheet = Any  # of checker.core.sheet.build, which imports this file

# Of the long form, what a page holds for somebody who gets no steps.
_FIRST = ("brief", "stop", "not-ready")


def sections(sheet: Sheet, long: list[dict]) -> list[dict]:
    """`long` holds the sections of the long form."""
    if sheet.kind == "job":
        made = [_buy(sheet), _connections(sheet), _drawing(sheet), _before(sheet), _after(sheet), _foot(sheet)]
    else:
        kept = [section for section in long if section["id"] in _FIRST]
        made = [*kept, *([_connections(sheet), _drawing(sheet)] if sheet.drawings else []), _foot(sheet)]
    return [section for section in made if section]


def _buy(sheet: Sheet) -> dict | None:
    words = sheet.words
    device = " ".join(f"{item}." for item in sheet.said("buy"))
    return blocks.section("buy", words("buy"), blocks.text(device, words("device")), sheet.bought())


def _connections(sheet: Sheet) -> dict | None:
    words = sheet.words
    draft = blocks.text(words("lead-draft")) if sheet.kind != "job" else None
    if not sheet.wires:
        return blocks.section("connections", words("connections"), *sheet.wires_wanted())
    return blocks.section(
        "connections", words("connections"), draft, sheet.wire_table(), blocks.text(sheet.ends_note())
    )


def _drawing(sheet: Sheet) -> dict | None:
    words = sheet.words
    shown = [blocks.drawing(drawn, words("in-words")) for drawn in sheet.drawings.values()]
    return blocks.section("drawing", words("drawing"), *shown)


def _before(sheet: Sheet) -> dict | None:
    """Making dead in its order, a row to write the readings in, and what stops the work."""
    words = sheet.words
    pairs = sheet.pairs()
    return blocks.section(
        "before",
        words("isolation"),
        blocks.listing(sheet.steps("before", "work"), numbered=True),
        blocks.table(pairs, [[""] * len(pairs)], words("pairs")),
        blocks.listing(sheet.said("stop_if"), words("stop")),
        page=True,
    )


def _after(sheet: Sheet) -> dict | None:
    words = sheet.words
    reserved = blocks.text(words("after-reserved-why")) if sheet.tests_reserved() else None
    return blocks.section(
        "after",
        words("after-reserved") if reserved else words("after"),
        reserved,
        sheet.results("results_dead", words("dead")),
        sheet.results("results_live", words("live-tests")),
        blocks.text(words("signature")),
    )


def _foot(sheet: Sheet) -> dict | None:
    words, pack = sheet.words, sheet.head["pack"]
    said = (words("more-long"), sheet.versions(), words("hash", it=pack["sha256"]))
    return blocks.section("foot", words("more"), *map(blocks.text, said))

"""The questions of danger and law as plain linked pages: for a browser without JavaScript, or with it shut off.

    python -m checker.dev plain-pages [--site site]

One page a state: the question as heading, its answers as links, at the end stop, call, or what is still open. They are made
from the tables of the early verdict, the very files that the check page walks: `plain_states` finds the states,
`plain_page` draws them.
"""

from __future__ import annotations

import argparse
import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from checker.dev.checkout import ROOT
from checker.dev.site import plain_page
from checker.dev.site.check_page import OUTPUT, ask, build_day, rule_sets
from checker.dev.site.plain_states import asked_before, walk

FOLDER = "plain"
TABLES = OUTPUT.parent / "early-verdict"


def typed(table: dict[str, Any], case: dict[str, str]) -> dict[str, str | bool]:
    """Answers as the checker takes them."""
    yes_no = {question["id"] for question in table["questions"] if question["kind"] == "yes-no"}
    plain = {"true": True, "false": False}
    return {name: plain.get(value, value) if name in yes_no else value for name, value in case.items()}


def report_on(handle: Callable[[str], str], table: dict[str, Any], case: dict[str, str], as_of: str) -> dict[str, Any]:
    """What the checker itself reports on these answers."""
    about = {"pack": table["id"], "edition": table["edition"], "as_of": as_of}
    return ask(handle, ask="check", **about, answers=typed(table, case), counsel=False)


def pages_of(
    handle: Callable[[str], str], folder: str, pack: dict[str, Any], table: dict[str, Any], as_of: str
) -> Iterator[tuple[str, str]]:
    """The pages of one rule set, as (address below the folder of all of them, HTML).

    Raises `ValueError` where the checker does not say of an ending what the page would say.
    """
    found = walk(table)
    # A sentence whose condition nobody has answered yet is shown; so these are all that may concern anybody.
    general = report_on(handle, table, {}, as_of)
    drawn = plain_page.RuleSetPages(pack, table, general)
    for page in found.by_name.values():
        if page.question is None:
            report = report_on(handle, table, page.case, as_of)
            if report["headline"] != page.headline:
                raise ValueError(
                    f"{folder}: the page for {page.case} would end in {page.headline!r}, "
                    f"the checker says {report['headline']!r}"
                )
            text = drawn.ending(page, report["headline_text"], asked_before(found, page.name))
        else:
            text = drawn.question(page, page.name == found.first)
        yield f"{folder}/{'index' if page.name == found.first else page.name}.html", text


def write(handle: Callable[[str], str], site: Path, as_of: str) -> tuple[int, int]:
    """All pages into `site`, replacing those that stand there; how many there are, and of how many rule sets."""
    packs = rule_sets(ask(handle, ask="describe", as_of=as_of)["packs"], as_of)
    out = site / FOLDER
    shutil.rmtree(out, ignore_errors=True)
    pages = {"index.html": plain_page.choice(packs)}
    for name, pack in packs.items():
        table = json.loads((TABLES / f"{name}.json").read_text(encoding="utf-8"))
        pages |= dict(pages_of(handle, name, pack, table, as_of))
    for name, text in pages.items():
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return len(pages), len(packs)


def main(arguments: list[str]) -> int:
    from checker.core.api import handle

    parser = argparse.ArgumentParser(prog="python -m checker.dev plain-pages", description=__doc__.partition("\n")[0])
    parser.add_argument("--site", type=Path, default=ROOT / "site", help="the built site")
    parser.add_argument("--as-of", default=build_day(), help="day of judgement, YYYY-MM-DD")
    options = parser.parse_args(arguments)
    pages, packs = write(handle, options.site, options.as_of)
    print(f"wrote {pages} plain pages of {packs} rule sets")
    return 0

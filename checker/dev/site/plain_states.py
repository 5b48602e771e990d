"""Which plain pages there are, and which answer leads where: the states of the questions of danger and law.

What is left of the rules' trees after an answer is the whole of a state: two people whose trees are alike stand on the same
page, whatever they said before. So there are some hundred states where there are millions of ways. A page is named by a
fingerprint of all it says and of the pages it leads to: a link kept from an older release leads to the page that was
meant, or to none, never to another verdict.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from checker.dev.site.early_verdict import PARTS, Tree

HEADLINES = dict(zip(PARTS, ("stop", "call"), strict=True))
OPEN = "find-out"  # what the checker says where nothing stops, nothing is reserved, and the sizes are not judged yet


@dataclass(frozen=True)
class Page:
    """One page, as data. `links`: answer, as the page's address writes it, to the page that it leads to."""

    name: str
    headline: str | None  # of an ending
    question: str | None
    failed: tuple[dict[str, str], ...]
    links: dict[str, str]
    most: int  # questions still to come at most, this one counted
    case: dict[str, str]  # one way to answer that leads here


@dataclass
class Walk:
    """All pages of one table; `by_name` in the order in which they were found, `first` where to begin."""

    table: dict[str, Any]
    first: str = ""
    by_name: dict[str, Page] = field(default_factory=dict)


def outcome(tree: Tree, given: dict[str, str]) -> str:
    """What the tree of one rule says, as in `early-verdict.mjs`."""
    while not isinstance(tree, str):
        tree = tree["is"].get(given.get(tree["of"], ""), tree["else"])
    return tree


def left(tree: Tree, question: str, answer: str) -> Tree:
    """What is left of a tree once one question is answered."""
    if isinstance(tree, str):
        return tree
    if tree["of"] == question:
        return left(tree["is"].get(answer, tree["else"]), question, answer)
    branches = {key: left(branch, question, answer) for key, branch in tree["is"].items()}
    rest = left(tree["else"], question, answer)
    if all(branch == rest for branch in branches.values()):
        return rest
    return {"of": tree["of"], "is": branches, "else": rest}


def answers_to(question: dict) -> list[str]:
    """The answers that a page offers, as the address writes them, in the order of the check page."""
    own = ["true", "false"] if question["kind"] == "yes-no" else [choice["value"] for choice in question["choices"]]
    return own + ["dont-know"] * question["dont_know"] + ["not-stated"] * question["not_stated"]


def walk(table: dict[str, Any]) -> Walk:
    """Every state that answers to the questions of `table` lead to."""
    found = Walk(table)
    known: dict[str, str] = {}  # what is left of the trees -> the name of its page

    def stand(trees: list[Tree], case: dict[str, str]) -> str:
        state = json.dumps(trees, sort_keys=True)
        if state not in known:
            page = _page(table, trees, case, lambda name, value: lead(trees, case, name, value), found.by_name)
            known[state] = page.name
            found.by_name.setdefault(page.name, page)
        return known[state]

    def lead(trees: list[Tree], case: dict[str, str], name: str, value: str) -> str:
        return stand([left(tree, name, value) for tree in trees], {**case, name: value})

    found.first = stand([rule["tree"] for rule in table["rules"]], {})
    return found


def _page(
    table: dict[str, Any],
    trees: list[Tree],
    case: dict[str, str],
    lead: Callable[[str, str], str],
    pages: dict[str, Page],
) -> Page:
    said = [(rule, outcome(tree, {})) for rule, tree in zip(table["rules"], trees, strict=True)]
    for part in PARTS:
        failed = tuple(
            {"rule": rule["rule"], "title": rule["title"], **rule["failures"][int(words[1:])]}
            for rule, words in said
            if rule["part"] == part and words.startswith("!")
        )
        if failed:
            return _named(HEADLINES[part], None, failed, {}, 0, case)
    question = _next(table, said)
    if question is None:
        return _named(OPEN, None, (), {}, 0, case)
    links = {value: lead(question["id"], value) for value in answers_to(question)}
    most = 1 + max(pages[name].most for name in links.values())
    return _named(None, question, (), links, most, case)


def _next(table: dict[str, Any], said: list[tuple[dict, str]]) -> dict | None:
    """The question that comes next, as in `early-verdict.mjs`: dangers first, then law; None where the checker goes on."""
    place = {question["id"]: at for at, question in enumerate(table["questions"])}
    waiting: dict[str, tuple[bool, int]] = {}
    for rule, words in said:
        if words.startswith("?"):
            name = words[1:]
            if name not in place:
                return None
            late = not (table["questions"][place[name]]["early"] or rule["part"] == "danger")
            waiting[name] = min((late, place[name]), waiting.get(name, (True, len(place))))
    return table["questions"][place[min(waiting, key=lambda name: waiting[name])]] if waiting else None


def _named(
    headline: str | None,
    question: dict[str, Any] | None,
    failed: tuple[dict[str, str], ...],
    links: dict[str, str],
    most: int,
    case: dict[str, str],
) -> Page:
    text = json.dumps([headline, question, failed, links], sort_keys=True)
    name = hashlib.sha256(text.encode()).hexdigest()[:12]
    return Page(name, headline, question["id"] if question else None, failed, links, most, case)


def asked_before(found: Walk, name: str) -> list[dict]:
    """The questions that somebody who stands on the page `name` may have answered, in their order."""
    leads: dict[str, set[str]] = {}
    for page in found.by_name.values():
        for target in page.links.values():
            leads.setdefault(target, set()).add(page.name)
    behind: set[str] = set()
    open_ = [name]
    while open_:
        for before in leads.get(open_.pop(), set()) - behind:
            behind.add(before)
            open_.append(before)
    asked = {found.by_name[page].question for page in behind}
    return [question for question in found.table["questions"] if question["id"] in asked]

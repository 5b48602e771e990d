"""The text by which a reader reports a wrong figure: filled in as far as we can, to copy, for any way of sending."""

from __future__ import annotations

from typing import Any

from checker.dev.site.markdown import filled
from checker.dev.site.templates import render

# What only the reader can say; every report ends with it.
_ASKED = (
    "It should say:",
    "My copy (title, edition, page):",
    "I read it there myself (yes or no):",
)


def of_table(held: dict[str, Any], one: dict[str, Any]) -> str:
    """The block below a table; the reader names the cell by its axes."""
    cell = ", ".join(f"{axis['name']} = " for axis in one["axes"])
    clauses = {c["clause"] for c in one["cells"]}
    clause = clauses.pop() if len(clauses) == 1 else ""  # with several, the cell's row names it
    return _block(held, f"Table: {one['id']} ({one['title']})", f"Cell: {cell}", f"Clause: {clause}", "It says:")


def of_rule(held: dict[str, Any], rule: dict[str, Any]) -> str:
    """The block below a rule."""
    return _block(
        held,
        f"Rule: {rule['id']} ({filled(held, rule['title'])})",
        f"Clause: {rule['source']}, {rule['clause']}",
        f"It says: requires {rule['requires']}",
        f"         when {rule['applies']}",
    )


def of_figures(held: dict[str, Any]) -> str:
    """The block below the list of single figures; the reader names the figure."""
    return _block(held, "Figure:", "Clause:", "It says:")


def _block(held: dict[str, Any], *lines: str) -> str:
    """Folded HTML: no form and no address, so that nothing is sent by itself and no account is needed."""
    pack = held["pack"]
    head = f"Wrong figure in Spareway {held['engine']}"
    where = f"Rule set: {pack['id']}, edition {pack['edition']}, version {pack['version']}"
    text = "\n".join([head, where, *lines, *_ASKED])
    return render("report-figure.html", text=text)

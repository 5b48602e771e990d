"""The texts of a rule set by section, each with its moment, in the order in which they are said."""

from __future__ import annotations

from typing import Any

from checker.core.messages import holes
from checker.dev.rulebook.checks import Checks
from checker.dev.rulebook.rulefiles import Item


def texts(checks: Checks) -> dict[str, list[dict[str, Any]]]:
    """Every section with its texts. The order is that of the files: base first, then what the region adds."""
    sections: dict[str, list[Item]] = {}
    for (kind, key), item in checks.folder.items.items():
        if kind == "text":
            sections.setdefault(key.partition("/")[0], []).append(item)
    return {
        section.replace("-", "_"): [_text(checks, item) for item in _in_order(checks, section, items)]
        for section, items in sections.items()
    }


def _text(checks: Checks, item: Item) -> dict[str, Any]:
    data = {"clause": "", "otherwise": "", **item.data}
    checks.template(item, data["text"])
    if "otherwise" in item.data:
        _otherwise(checks, item)
    checks.has_source(item, data["source"], "Every sentence needs a source.")
    when = data.get("when", "True")
    return checks.with_origin(item, {**data, "when": checks.expression(item, "when", when), "when_text": when})


def _otherwise(checks: Checks, item: Item) -> None:
    """What a text says while a value is not known: it must have its moment, and no value that may be missing too."""
    otherwise = item.data["otherwise"]
    checks.template(item, otherwise)
    always = {*checks.folder.pack["words"], *(parameter.id for parameter in checks.of("parameter"))}
    if set(holes(item.data["text"])) <= always:
        checks.fault(
            item,
            "has an `otherwise`, but its text names no value that can be unknown",
            "Nobody would ever see it.",
            "Delete `otherwise`, or name the value in the text.",
        )
    for hole in sorted(set(holes(otherwise)) - always):
        checks.fault(
            item,
            f"`otherwise` names {{{hole}}}, which can be unknown too",
            "Readers would see a gap.",
            "Use only parameters and words of the pack.",
        )


def _in_order(checks: Checks, section: str, items: list[Item]) -> list[Item]:
    """The texts of a section, each that names another in `after` moved behind it."""
    ordered = [item for item in items if "after" not in item.data]
    waiting = [item for item in items if "after" in item.data]
    while waiting:
        places = {item.data["id"]: number for number, item in enumerate(ordered)}
        found = next((item for item in waiting if item.data["after"] in places), None)
        if found is None:
            for item in waiting:
                checks.fault(
                    item,
                    f"comes after {item.data['after']!r}, which this section does not have",
                    "Its place in the order of the work is unknown.",
                    "Name another text of the same section.",
                )
            return ordered + waiting
        waiting.remove(found)
        ordered.insert(places[found.data["after"]] + 1, found)
    return ordered

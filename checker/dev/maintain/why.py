"""`spareway rules why`: where a cell or rule comes from, who reads it, and which worked cases rest on it."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from checker.dev.cases.every_case import every
from checker.dev.cases.judging import check, installed
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import place
from checker.dev.rulebook.reads import axes_of, closure, rule_names
from checker.dev.rulebook.resolve import heads, resolved
from checker.terminal import output
from checker.terminal.problem import Problem


def run(options: Namespace) -> int:
    """Tells it; Problem when the rule set holds nothing of that name."""
    path = _folder(options.pack)
    content, (folder, _) = compile_pack(path, rulefiles.RULES), resolved(path, rulefiles.RULES)
    name, found = options.name, _find(content, options.name)
    if found is None:
        near = [
            entry["id"]
            for kind in ("rules", "parameters", "tables")
            for entry in content[kind]
            if name[:4] in entry["id"]
        ]
        raise Problem(
            "CELL|RULE",
            f"The rule set {options.pack!r} has no rule, parameter, table or cell {name!r}.",
            "There is nothing to show.",
            f"Did you mean: {', '.join(near[:8])}?" if near else "Use an id from a report.",
        )
    kind, item = found
    owner = name.partition("/")[0]
    file = folder.items["table" if kind == "cell" else kind, owner].path
    sources = {source["id"]: source for source in content["sources"]}
    lines = [
        f"{kind} {name}",
        f"  file:    {place(file.with_suffix('.csv') if kind == 'cell' else file, rulefiles.RULES)}",
    ]
    for key in (
        "origin",
        "value",
        "unit",
        "requires_text",
        "clause",
        "status",
        "checked",
        "stale_after",
        "note",
        "look",
    ):
        if item.get(key):
            lines.append(f"  {key.removesuffix('_text') + ':':<8} {item[key]}")
    if item.get("source"):
        lines.append(f"  source:  {item['source']}, {sources[item['source']]['title']}")
    lines += _list("Rules that read it", _readers(content, kind, owner))
    lines += _list("Worked cases that rest on it", _cases(content, kind, name))
    output.write("\n".join(lines) + "\n")
    return 0


def _folder(wanted: str) -> Path:
    for head in heads(rulefiles.RULES).values():
        if wanted in (head.name, head.id if head.path.parent == rulefiles.RULES else None):
            return head.path
    raise Problem(
        "--pack", f"There is no rule set {wanted!r}.", "Rule sets differ.", "To list them, run spareway packs."
    )


def _find(content: dict, name: str) -> tuple[str, dict[str, Any]] | None:
    for kind in ("rule", "parameter", "table"):
        for entry in content[f"{kind}s"]:
            if entry["id"] == name:
                return kind, entry
    for table in content["tables"]:
        for cell in table["cells"]:
            if f"{table['id']}/{'/'.join(cell['keys'])}" == name:
                return "cell", {**cell, "unit": table["unit"], "origin": table["origin"]}
    return None


def _readers(content: dict, kind: str, owner: str) -> list[str]:
    """The rules that can read a figure: an upper bound, by the names their quantities mention."""
    if kind == "rule":
        return []
    axes = axes_of(content["tables"])
    return [rule["id"] for rule in content["rules"] if owner in closure(rule_names(rule), axes)]


def _cases(content: dict, kind: str, name: str) -> list[str]:
    """The worked cases of this rule set in which it has a say, with the outcome of each rule concerned."""
    found = []
    cases = every(rulefiles.RULES.parent, content["pack"]["id"])
    with installed([content]):  # the files as they are now, not the packs compiled last
        replies = [
            check({**case.request, "pack": content["pack"]["id"], "edition": content["pack"]["edition"]})
            for case in cases
        ]
    for case, reply in zip(cases, replies, strict=True):
        for finding in reply.get("findings", ()):
            cells = [c if isinstance(c, str) else c["id"] for c in finding["cells"]]
            rests = any(c == name or (kind == "table" and c.startswith(f"{name}/")) for c in cells)
            if finding["outcome"] != "not-applicable" and (rests or finding["rule"] == name):
                found.append(f"{case.about}: {finding['rule']} {finding['outcome']}")
    return found


def _list(title: str, entries: list[str]) -> list[str]:
    return ["", f"{title} ({len(entries)}):", *(f"  {entry}" for entry in entries)]

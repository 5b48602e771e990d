"""What the build refuses as loose ends: questions, sources, parameters and tables that nothing uses."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from checker.dev.checkout import ROOT
from checker.dev.rulebook.faults import Fault, place
from checker.dev.rulebook.rulefiles import Folder

_CORE = ROOT / "checker" / "core"


def loose_ends(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Questions, sources and parameters that nothing uses."""
    read = {question for rule in content["rules"] for question in rule["reads"]}
    texts = json.dumps(content["texts"]) + json.dumps([rule["say"] for rule in content["rules"]])
    for question in content["questions"]:
        if question["id"] not in read and f'"{question["id"]}"' not in texts and f"{{{question['id']}}}" not in texts:
            yield Fault(
                place(folder.items["question", question["id"]].path, rules),
                "no rule reads this question",
                "A question that decides nothing wastes the reader's time.",
                "Write the rule, or delete the question.",
            )
    cited = _cited(content)
    for source in content["sources"]:
        own = source["origin"] != "base" or "extends" not in folder.pack
        if own and source["id"] not in cited:
            yield Fault(
                place(folder.path / "sources.toml", rules),
                f"nothing uses the source {source['id']!r}",
                "A list of unused sources proves nothing.",
                "Delete it, or name it where it is used.",
            )


def unpictured(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Screens of the short run for which nobody has drawn what one looks at, nor said why there is nothing to see."""
    told = {item.data["screen"] for (kind, _), item in folder.items.items() if kind == "picture"}
    screens = {question["screen"]: question["id"] for question in content["questions"] if question.get("screen")}
    for screen in sorted(set(screens) - told):
        yield Fault(
            place(folder.items["question", screens[screen]].path, rules),
            f"no picture is made for the screen {screen!r}",
            "Readers are told what to look at, and not shown it.",
            "Add one in `pictures`, or a file there that says in `none` why there is nothing to show.",
        )


def _cited(content: dict) -> set[str]:
    """Every source that something rests on, or that a note names as support."""
    own = content["plan"]
    rules = [*content["rules"], *own["rules"]]
    standing = [*rules, *content["parameters"], *(c for t in content["tables"] for c in t["cells"])]
    sections = [*content["texts"].values(), *own["texts"].values()]
    entries = [*standing, *(item for section in sections for item in section)]
    notes = " ".join([*(entry["note"] for entry in standing), *(table["note"] for table in content["tables"])])
    return {entry["source"] for entry in entries} | set(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", notes))


def unread(folder: Folder, content: dict, rules: Path) -> Iterator[Fault]:
    """Parameters and tables that neither a rule nor a text nor the core names: a figure that decides nothing."""
    plan = content["plan"]
    said = json.dumps(
        [content["rules"], content["texts"], content["questions"], plan["rules"], plan["texts"], plan["questions"]]
    )
    named = set(re.findall(r"[a-z0-9]+(?:[-_][a-z0-9]+)*", said)) | _core_names()
    for kind in ("parameter", "table"):
        for entry in content[f"{kind}s"]:
            own = entry["origin"] != "base" or "extends" not in folder.pack
            if own and entry["id"] not in named and entry["id"].replace("-", "_") not in named:
                yield Fault(
                    f"{place(folder.items[kind, entry['id']].path, rules)} ({entry['id']})",
                    f"nothing reads this {kind}",
                    "Readers would think that this figure decides something.",
                    "Use it in a rule or a text, or delete it.",
                )


@cache
def _core_names() -> frozenset[str]:
    """Every string that stands in the core, f-strings in part: parameters and tables are looked up by such names."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in _CORE.rglob("*.py")]
    nodes = (node for tree in trees for node in ast.walk(tree))
    return frozenset(node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str))

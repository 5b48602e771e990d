"""What a whole run found, as the record that the site shows: `checker/dev/site/data/mutation.json`."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path
from typing import Any

from checker.core.pack import Pack
from checker.core.schedule import quantities as schedule
from checker.dev.checkout import ROOT
from tests.mutation.mutants import Mutant
from tests.proofs.model import tree_names

NAMED = 9  # mistakes of one item that the record names; of more it keeps the number


def record(results: list[Any], date: str) -> dict[str, Any]:
    """`results`: one of `tests.mutation.__main__.Result` for each rule set."""
    commit = subprocess.run(
        ["git", "rev-parse", "--short=10", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.strip()
    return {"date": date, "commit": commit, "packs": [_pack(result) for result in results]}


def _pack(result: Any) -> dict[str, Any]:
    groups: dict[tuple, list[Mutant]] = {}
    for weight, mutant, why in result.survivors:
        known = (mutant.kind, mutant.item, _status(mutant))
        groups.setdefault((_class(result.pack, weight, mutant, why), weight, *known, why or ""), []).append(mutant)
    names = ("class", "weight", "kind", "item", "status", "why")
    return {
        "pack": result.pack.id,
        "edition": result.pack.about["edition"],
        "made": result.made,
        "killed": dict(result.killed.most_common()),
        "unnoticed": [
            dict(zip(names, key, strict=True))
            | {"count": len(made)}
            | ({"which": [_what(mutant) for mutant in made]} if len(made) <= NAMED else {})
            for key, made in sorted(groups.items())
        ],
    }


def _class(pack: Pack, weight: str, mutant: Mutant, why: str | None) -> str:
    """Why nobody noticed; the page says in words what each means."""
    if why is not None:
        return "recalled" if why.startswith("recalled") else "same"
    if not weight:
        return "schedule" if mutant.item in _scheduled(pack) else "printed"
    return weight  # law and standard stop the run


@cache
def _scheduled(pack: Pack) -> frozenset[str]:
    """The tables and figures that the schedule reads: its rules name them, or the code that computes for it."""
    rules = pack.content["plan"]["rules"]
    named = {name for rule in rules for part in ("applies", "requires") for name in tree_names(rule[part])}
    code = "".join(path.read_text(encoding="utf-8") for path in Path(schedule.__file__ or "").parent.rglob("*.py"))
    items = {item["id"] for part in ("tables", "parameters") for item in pack.content[part]}
    return frozenset(item for item in items if item in named or f'"{item}"' in code)


def _status(mutant: Mutant) -> str:
    if mutant.kind != "cell":
        return str(mutant.changed.get("status", ""))
    return next((cell["status"] for cell in mutant.changed["cells"] if tuple(cell["keys"]) == mutant.at), "")


def _what(mutant: Mutant) -> str:
    at = "/".join(mutant.at) if mutant.kind == "cell" else ""
    return f"{at}: {mutant.what}" if at else mutant.what

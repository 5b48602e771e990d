"""The hazard log as its files say it: which pack has which hazards, and the starting cases they change.

No compiled pack holds hazards: they are for those who write rules, and for the test that runs each of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from checker.dev.rulebook.resolve import is_edition, resolved
from checker.dev.rulebook.rulefiles import RULES, Folder, Item, read_toml

STARTS = "starts.toml"
PLAIN = "plain"  # the starting case whose scenario the others change


class Start(NamedTuple):
    """A case that fits: a scenario of the pack, with some answers put otherwise. With a `plan` it is a schedule's."""

    scenario: str
    answers: dict[str, Any]
    confirmed: tuple[str, ...]
    plan: dict[str, Any]


def hazards(folder: Folder) -> list[Item]:
    """The hazards of a resolved pack, without those that cannot happen there."""
    return [
        item
        for (kind, _), item in sorted(folder.items.items())
        if kind == "hazard" and folder.pack["id"] not in {entry["pack"] for entry in item.data.get("nowhere", ())}
    ]


def local(item: Item, pack: str) -> dict[str, Any]:
    """A hazard's case as it is put in one pack, with what catches it there."""
    case = item.data["case"]
    there = case.get("in", {}).get(pack, {})
    return {
        "start": there.get("start", case["start"]),
        "answers": there.get("answers", case.get("answers", {})),
        "plan": case.get("plan", {}),
        "caught_by": there.get("caught_by", item.data.get("caught_by", [])),
        "told_by": there.get("told_by", item.data.get("told_by", [])),
    }


def starts(path: Path, rules: Path = RULES) -> dict[str, Start]:
    """The starting cases of a pack: those of base with the scenarios and answers of the region, then of its edition.

    Empty where the region has no case that fits yet.
    """
    own = _own(path)
    if is_edition(path):
        chain = [_own(rules / "base"), _own(path.parents[1]), own]
    else:
        chain = [own] if path == rules / "base" else [_own(rules / "base"), own]
    if PLAIN not in own | (chain[-2] if len(chain) > 2 else {}):
        return {}
    return {name: _start(name, chain) for name in {name for held in chain for name in held}}


def _own(path: Path) -> dict[str, Any]:
    file = path / STARTS
    return read_toml(file) if file.exists() else {}


def _start(name: str, chain: list[dict[str, Any]]) -> Start:
    """The answers of `plain`, then its own, base first. One that names a scenario of its own begins anew there."""
    plain = [held[PLAIN] for held in chain if PLAIN in held]
    own = [held[name] for held in chain if name in held and name != PLAIN]
    layers = [*plain, *own]
    for number, held in enumerate(own):
        if "scenario" in held:
            layers = own[number:]
    return Start(
        next(held["scenario"] for held in reversed(layers) if "scenario" in held),
        {key: value for held in layers for key, value in held.get("answers", {}).items()},
        tuple(cell for held in layers for cell in held.get("confirmed", ())),
        {key: value for held in own for key, value in held.get("plan", {}).items()},
    )


def every(folders: list[Path], rules: Path = RULES) -> Iterator[tuple[Path, Folder, Item]]:
    """Every hazard of every pack in which it can happen."""
    for path in folders:
        folder, _ = resolved(path, rules)
        for item in hazards(folder):
            yield path, folder, item

"""A region on top of base: whole items only, every override pinned to the base item it was written for."""

from __future__ import annotations

from pathlib import Path

from .faults import Fault, RuleFaults, place
from .rulefiles import RULES, Folder, Item, pin, read_folder

# Items a region may restate freely: wording and bibliography carry no figure that a changed base could undermine.
_UNPINNED = ("phrase", "source")


def region_folders(rules: Path = RULES) -> list[Path]:
    """The folders that are packs, base first."""
    others = sorted(p.parent for p in rules.glob("*/pack.toml") if p.parent.name != "base")
    return [rules / "base", *others]


def resolved(path: Path, rules: Path = RULES) -> tuple[Folder, dict[tuple[str, str], str]]:
    """The folder with everything it inherits, and where each item comes from: base, adds or overrides.

    Raises `RuleFaults` with every override that lacks its pin, does not match it, or has nothing to override.
    """
    own = read_folder(path)
    if "extends" not in own.pack:
        return own, dict.fromkeys(own.items, "base")
    base = read_folder(rules / "base")
    items, origin, faults = dict(base.items), dict.fromkeys(base.items, "base"), []
    for removal in own.pack.get("removes", []):
        key = (removal["kind"], removal["id"])
        if items.pop(key, None) is None:
            faults.append(
                Fault(
                    place(path / "pack.toml", rules),
                    f"removes {key}, which base does not have",
                    "It says nothing.",
                    "Drop the line.",
                )
            )
    for key, item in own.items.items():
        faults += _pin_faults(item, base.items.get(key), rules)
        origin[key] = "overrides" if key in base.items else "adds"
        items[key] = Item(item.kind, item.id, {k: v for k, v in item.data.items() if k != "override"}, item.path)
    if faults:
        raise RuleFaults(faults)
    words = {**base.pack.get("words", {}), **own.pack.get("words", {})}
    return Folder(path, {"stages": base.pack["stages"], **own.pack, "words": words}, items), origin


def _pin_faults(item: Item, base: Item | None, rules: Path) -> list[Fault]:
    override, where = item.data.get("override"), f"{place(item.path, rules)} ({item.id})"
    if item.kind in _UNPINNED:
        return []
    if base is None:
        if override is None:
            return []
        return [
            Fault(
                where,
                f"overrides {item.id!r}, which base does not have",
                "The reason given would mislead.",
                "Drop [override], or mend the id.",
            )
        ]
    if override is None:
        return [
            Fault(
                where,
                f"{item.id!r} stands in base too",
                "An override has to say so and why.",
                f'Add [override] with against = "{pin(base)}" and why.',
            )
        ]
    if override.get("against") != pin(base):
        return [
            Fault(
                where,
                f"was written against {override.get('against')}, base is now {pin(base)}",
                "The base item changed; what was right against the old one may be wrong now.",
                f'Compare with {place(base.path, rules)}, then write against = "{pin(base)}".',
            )
        ]
    return []

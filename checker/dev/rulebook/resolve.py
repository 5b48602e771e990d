"""A region on top of base: whole items only, every override pinned to the base item it was written for."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from checker.dev.rulebook.bounds import bounded
from checker.dev.rulebook.faults import Fault, RuleFaults, place
from checker.dev.rulebook.rulefiles import COUNSEL, PLAN, RULES, Folder, Item, once, pin, read_folder, read_toml

# Items a region may restate freely: wording and bibliography carry no figure that a changed base could undermine.
_UNPINNED = ("phrase", "source")
# The stages are base's; a region may give them other titles, in the table beside each.
_STAGE_TITLES = (("stages", "stage_titles"), ("plan_stages", "plan_stage_titles"))
# What a region's pack.toml says of its own edition alone; another edition says it for itself or leaves it out.
_OF_ONE_EDITION = ("edition", "title", "valid_from", "valid_until", "removes")


def region_folders(rules: Path = RULES) -> list[Path]:
    """The folders that are packs, base first."""
    others = sorted(p.parent for p in rules.glob("*/pack.toml") if p.parent.name != "base")
    editions = sorted(p.parent for p in rules.glob("*/editions/*/pack.toml"))
    return [rules / "base", *others, *editions]


class Head(NamedTuple):
    """A rule set by what its pack.toml says of it; nothing else is read."""

    path: Path
    id: str
    edition: str
    valid_from: date

    @property
    def name(self) -> str:
        return f"{self.id}@{self.edition}"


def heads(rules: Path = RULES) -> dict[str, Head]:
    """Every rule set by `<id>@<edition>`, base first."""
    found = {}
    for path in region_folders(rules):
        own = read_toml(path / "pack.toml")
        region = read_toml(path.parents[1] / "pack.toml") if is_edition(path) else own
        head = Head(path, str(region.get("id")), str(own.get("edition")), own.get("valid_from") or date.min)
        found[head.name] = head
    return found


def is_edition(path: Path) -> bool:
    """Whether the folder holds another edition of a region: only what differs from the region's own folder."""
    return "editions" in (path.parent.name, path.parents[1].name)


Origins = dict[tuple[str, str], str]


def resolved(path: Path, rules: Path = RULES) -> tuple[Folder, Origins]:
    """The folder with everything it inherits, and where each item comes from: base, adds or overrides.

    Raises `RuleFaults` with every override that lacks its pin, does not match it, or has nothing to override.
    """
    return once(("resolved", path, rules), lambda: _resolved(path, rules))


def _resolved(path: Path, rules: Path) -> tuple[Folder, Origins]:
    own = read_folder(path)
    if is_edition(path):
        below, origin = resolved(path.parents[1], rules)
        inherited = {key: value for key, value in below.pack.items() if key not in _OF_ONE_EDITION}
        removes = [*below.pack.get("removes", []), *own.pack.get("removes", [])]
        return _laid_over(below, origin, own, {**inherited, **own.pack, "removes": removes}, rules)
    if "extends" not in own.pack:
        return own, dict.fromkeys(own.items, "base")
    base = read_folder(rules / "base")
    pack = {**own.pack, **{kind: _titled(base.pack[kind], own.pack.get(table, {})) for kind, table in _STAGE_TITLES}}
    pack["looks"] = {**base.pack.get("looks", {}), **own.pack.get("looks", {})}
    pack["unread"] = [*base.pack.get("unread", []), *own.pack.get("unread", [])]
    return _laid_over(base, dict.fromkeys(base.items, "base"), own, pack, rules)


def resolved_plan(path: Path, rules: Path = RULES) -> tuple[Folder, Origins]:
    """As `resolved`, for the questions, rules and texts of the schedule."""
    return once(("plan", path, rules), lambda: _resolved_plan(path, rules))


def _resolved_plan(path: Path, rules: Path) -> tuple[Folder, Origins]:
    own = read_folder(path / PLAN)
    if is_edition(path):
        return _laid_over(*resolved_plan(path.parents[1], rules), own, {}, rules)
    if path == rules / "base":
        return own, dict.fromkeys(own.items, "base")
    return _laid_over(*resolved_plan(rules / "base", rules), own, {}, rules)


def _laid_over(
    base: Folder, origins: dict[tuple[str, str], str], own: Folder, pack: dict[str, Any], rules: Path
) -> tuple[Folder, dict[tuple[str, str], str]]:
    """`own` items on those of `base`, with `pack` as the head of both."""
    path, items, origin, faults = own.path, dict(base.items), dict(origins), _stage_faults(own, base, rules)
    for removal in own.pack.get("removes", []):
        key = (removal["kind"], removal["id"])
        if items.pop(key, None) is None:
            faults.append(
                Fault(
                    place(path / "pack.toml", rules),
                    f"removes {key}, which {_below(own)} does not have",
                    "The line has no effect.",
                    "Delete the line.",
                )
            )
    for key, item in own.items.items():
        faults += _pin_faults(item, base.items.get(key), _below(own), rules)
        origin[key] = "overrides" if key in base.items else "adds"
        data = {k: v for k, v in item.data.items() if k != "override"}
        if item.kind == "question" and key in base.items and base.items[key].data["kind"] == data["kind"]:
            data = {k: v for k, v in base.items[key].data.items() if k in COUNSEL} | data
        items[key] = Item(item.kind, item.id, data, item.path)
        if "bounds" in data and key in base.items:
            items[key] = bounded(items[key], base.items[key])
    if faults:
        raise RuleFaults(faults)
    words = {**base.pack.get("words", {}), **own.pack.get("words", {})}
    return Folder(path, {**pack, "words": words}, items), origin


def _titled(stages: list[dict[str, Any]], titles: dict[str, str]) -> list[dict[str, Any]]:
    """The stages of base under the region's titles."""
    return [{**stage, "title": titles.get(stage["id"], stage["title"])} for stage in stages]


def _stage_faults(own: Folder, base: Folder, rules: Path) -> list[Fault]:
    """What is wrong with the stages of a region's pack.toml. An edition has none to check: it takes the region's."""
    if "extends" not in own.pack:
        return []
    where, faults = place(own.path / "pack.toml", rules), []
    for kind, table in _STAGE_TITLES:
        if kind in own.pack:
            faults.append(
                Fault(
                    where,
                    f"lists [[{kind}]] of its own",
                    "Every region runs through the stages of base, in the same order; only their titles differ.",
                    f'Delete [[{kind}]]. To change a title, write it under [{table}]: id = "title".',
                )
            )
        known = [stage["id"] for stage in base.pack[kind]]
        faults += [
            Fault(
                where,
                f"[{table}] gives a title to {name!r}, and base has no such stage",
                "The title would never be shown.",
                f"Write one of {', '.join(known)}, or delete the line.",
            )
            for name in own.pack.get(table, {})
            if name not in known
        ]
    return faults


def _below(own: Folder) -> str:
    """What these items are laid over, in words."""
    return "the region" if is_edition(own.path) else "base"


def _pin_faults(item: Item, base: Item | None, below: str, rules: Path) -> list[Fault]:
    override, where = item.data.get("override"), f"{place(item.path, rules)} ({item.id})"
    if item.kind in _UNPINNED:
        return []
    if base is None:
        if override is None:
            return []
        return [
            Fault(
                where,
                f"overrides {item.id!r}, which {below} does not have",
                "There is nothing to override.",
                "Delete [override], or correct the id.",
            )
        ]
    if override is None:
        return [
            Fault(
                where,
                f"{item.id!r} is also in {below}",
                "An override must say so and give its reason.",
                f'Add [override] with against = "{pin(base)}" and why.',
            )
        ]
    if override.get("against") != pin(base):
        return [
            Fault(
                where,
                f"was written against {override.get('against')}, {below} is now {pin(base)}",
                "The item it replaces has changed, so your version may be wrong now.",
                f'Compare with {place(base.path, rules)}, then write against = "{pin(base)}".',
            )
        ]
    return []

"""What the build refuses in the hazard log: a hazard that nothing catches, and a rule that belongs to no hazard."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from checker.dev.checkout import ROOT
from checker.dev.rulebook.faults import Fault, place
from checker.dev.rulebook.hazards import PLAIN, STARTS, hazards, local, starts
from checker.dev.rulebook.resolve import Origins, region_folders
from checker.dev.rulebook.rulefiles import RULES, Folder, Item


def hazard_log(folder: Folder, origin: Origins, content: dict, rules: Path) -> Iterator[Fault]:
    """The hazards of one pack against its rules and texts."""
    judged = {rule["id"] for rule in (*content["rules"], *content["plan"]["rules"])}
    said = {
        f"{section.replace('_', '-')}/{text['id']}": text for section, all_ in content["texts"].items() for text in all_
    }
    listed, caught = hazards(folder), set()
    for item in listed:
        own = origin["hazard", item.id] != "base" or "extends" not in folder.pack
        names = local(item, folder.pack["id"])
        caught |= set(names["caught_by"])
        for what, why, fix in _wrong(item, names, judged, said, own):
            yield Fault(f"{place(item.path, rules)} ({item.id})", what, why, fix)
    yield from _orphans(folder, content, caught, rules)
    yield from _starts(folder, listed, rules)


def _wrong(
    item: Item, names: dict, judged: set[str], said: dict[str, dict], own: bool
) -> Iterator[tuple[str, str, str]]:
    """What is wrong with one hazard in one pack. A pack may lack some of the rules that a hazard of base names."""
    everyone = "everyone" in item.data
    if not names["caught_by"] and not names["told_by"]:
        yield (
            "nothing catches this hazard",
            "It would hurt somebody, and no verdict and no caution would say a word.",
            "Name the rules in `caught_by` or the texts in `told_by`. If there are none yet, write one.",
        )
    gone = [rule for rule in names["caught_by"] if rule not in judged]
    if gone and (own or (len(gone) == len(names["caught_by"]) and not names["told_by"])):
        yield (
            f"`caught_by` names no rule of this pack: {', '.join(gone)}",
            "The hazard would count as caught, and nothing catches it.",
            "Correct the id, give this pack its own under [case.in.<pack>], or name the pack under [[nowhere]].",
        )
    for name in names["told_by"]:
        if name not in said:
            yield (
                f"`told_by` names no text: {name}",
                "The hazard would count as told, and nobody is told.",
                "Write section/id of a text, such as cautions/torque.",
            )
        elif ("when" in said[name] and said[name]["when_text"] != "True") == everyone:
            yield (
                f"{name} {'does not reach everyone' if everyone else 'reaches everyone'}",
                "A warning that reaches other people than those concerned is not read.",
                "Delete `everyone`."
                if everyone
                else "Give the text a `when`, or say under `everyone` why it concerns every job.",
            )
    if not everyone and not (names["answers"] or names["plan"]):
        yield (
            "its case changes no answer",
            "Only a case that differs from one that fits shows that the hazard is caught.",
            "Write the changed answers, or say under `everyone` why it concerns every job.",
        )


def _orphans(folder: Folder, content: dict, caught: set[str], rules: Path) -> Iterator[Fault]:
    for rule in content["rules"]:
        if rule["weight"] != "advice" and rule["id"] not in caught:
            yield Fault(
                f"{place(folder.items['rule', rule['id']].path, rules)} ({rule['id']})",
                f"belongs to no hazard in the pack {folder.pack['id']}",
                "A rule that takes a pass away should say whom it protects from what.",
                f'Write hazards/<id>.toml with caught_by = ["{rule["id"]}"], or name the rule in one that is there.',
            )


def _starts(folder: Folder, listed: list[Item], rules: Path) -> Iterator[Fault]:
    """The starting cases. A region without any runs no hazard; only a preview may do that."""
    held = starts(folder.path, rules)
    where = place(folder.path / STARTS, rules)
    if not held and not folder.pack.get("preview"):
        yield Fault(
            place(folder.path / "pack.toml", rules),
            f"has no {STARTS} beside it in which [{PLAIN}] names a scenario",
            "The cases of the hazards start from a case that fits here, so none is tested.",
            f'Write {STARTS} with [{PLAIN}] and scenario = "..." of this region.',
        )
    for name, start in held.items():
        if not (ROOT / "scenarios" / f"{start.scenario}.toml").exists():
            yield Fault(
                where,
                f"[{name}] starts from {start.scenario!r}, which is no scenario",
                "The hazards that start there are not tested.",
                "Name a scenario of this pack.",
            )
    packs = {path.name for path in region_folders(RULES)} | {"iec"}
    for item in listed:
        used = local(item, folder.pack["id"])["start"]
        if held and used not in held:
            yield Fault(
                f"{place(item.path, rules)} ({item.id})",
                f"its case starts from {used!r}, which {STARTS} does not have",
                "The case cannot be run.",
                f"Use one of: {', '.join(sorted(held))}.",
            )
        named = {*item.data["case"].get("in", {}), *(entry["pack"] for entry in item.data.get("nowhere", ()))}
        for pack in sorted(named - packs):
            yield Fault(
                f"{place(item.path, rules)} ({item.id})",
                f"names the pack {pack!r}, which does not exist",
                "The line has no effect.",
                "Correct the id.",
            )

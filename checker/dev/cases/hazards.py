"""The cases of the hazard log: each hazard in each pack where it can happen, with its case and the one it starts from."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from checker.core.api import handle
from checker.dev.cases import scenarios
from checker.dev.rulebook.hazards import Start, hazards, local, starts
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import RULES, Item


class HazardCase(NamedTuple):
    """One hazard in one pack: the request in which it happens, and `without`, from which it starts."""

    pack: str
    edition: str
    hazard: Item
    request: dict[str, Any]
    without: dict[str, Any]
    caught_by: list[str]
    told_by: list[str]

    def __str__(self) -> str:
        return f"{self.pack}@{self.edition} {self.hazard.id}"


def cases(rules: Path = RULES) -> list[HazardCase]:
    """Every hazard in every pack that has starting cases."""
    # The schedule's rules lie apart from the pack's.
    of_the_schedule = {file.stem for file in (rules / "base" / "plan" / "rules").glob("*.toml")}
    found = []
    for path in region_folders(rules):
        folder, _ = resolved(path, rules)
        pack = folder.pack
        begun = {name: request(pack, start) for name, start in starts(path, rules).items()}
        own = of_the_schedule | {key[1] for key in folder.items if key[0] == "rule"}
        for item in hazards(folder) if begun else ():
            there = local(item, pack["id"])
            without = begun[there["start"]]
            changed = without | {"answers": without["answers"] | scenarios.as_sent(there["answers"])}
            if "plan" in without:
                changed["plan"] = without["plan"] | scenarios.as_sent(there["plan"])
            caught = [rule for rule in there["caught_by"] if rule in own]
            found.append(HazardCase(pack["id"], pack["edition"], item, changed, without, caught, there["told_by"]))
    return found


def starting(rules: Path = RULES) -> dict[str, dict[str, Any]]:
    """Every starting case of every pack as a request, by `<pack>@<edition> <name>`."""
    found = {}
    for path in region_folders(rules):
        pack = resolved(path, rules)[0].pack
        for name, start in sorted(starts(path, rules).items()):
            found[f"{pack['id']}@{pack['edition']} {name}"] = request(pack, start)
    return found


def request(pack: dict[str, Any], start: Start) -> dict[str, Any]:
    """A starting case as the checker is asked it: a schedule where it has a plan."""
    case = scenarios.read(scenarios.FOLDER / f"{start.scenario}.toml").request
    silent = dict.fromkeys(_label_facts(pack["id"], pack["edition"]), "not-stated")
    return {
        **case,
        "pack": pack["id"],
        "ask": "plan" if start.plan else "check",
        "edition": pack["edition"],
        "answers": silent | case["answers"] | scenarios.as_sent(start.answers),
        "confirmed": [*case["confirmed"], *start.confirmed],
        **({"plan": scenarios.as_sent(start.plan)} if start.plan else {"counsel": False}),
    }


@cache
def _label_facts(pack: str, edition: str) -> tuple[str, ...]:
    """What a label may leave out: a case that does not name it has a label that is silent."""
    asked = {"format": 1, "ask": "describe", "pack": pack, "edition": edition}
    return tuple(question["id"] for question in reply(asked)["questions"] if question["not_stated"])


def reply(asked: dict[str, Any]) -> dict[str, Any]:
    """What the checker says. Raises `ValueError` where it refuses the answers."""
    said = json.loads(handle(json.dumps(asked, ensure_ascii=False)))
    if "error" in said:
        raise ValueError(f"{asked['pack']}: {said['error']}")
    return said


def bites(said: dict[str, Any]) -> set[str]:
    """The rules that fail or cannot tell."""
    return {finding["rule"] for finding in said["findings"] if finding["outcome"] in ("failed", "cannot-tell")}


def texts(said: dict[str, Any]) -> set[str]:
    """Every text of the reply that a hazard may name, as section/id."""
    sections = ("cautions", "not_checked", "steps", "tests")
    return {f"{section.replace('_', '-')}/{item['id']}" for section in sections for item in said.get(section, ())}

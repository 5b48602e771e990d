"""The page of mistakes in the data: how many were made, who noticed, what nobody notices and whether it matters."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from checker.dev.site.markdown import STATUS_WORDS, table

# Written by the whole run, which takes minutes of computing: too long for a build of the site.
RECORD = Path(__file__).parent / "data" / "mutation.json"

NOTICED_BY = {
    "second transcription": "a second copy of the figure, typed by somebody else",
    "lint": "the check of the rule files: gaps, order, figures that stand out",
    "tests of the tables": "a test of the table: physics, another table, or the clause in words",
    "case": "a worked case of one rule",
    "knife edge": "a case that stands exactly on a limit",
    "scenario": "a worked case of a whole job",
    "published": "an example that somebody else has published",
    "list of advice": "the list of rules that only advise, kept apart from the rules",
    "build": "the build, which refuses such a rule file",
}
CLASSES = {
    "law": ("In the law", "It matters. The run fails until a case or a second copy notices it."),
    "standard": ("In a standard", "It matters. The run fails until a case or a second copy notices it."),
    "practice": (
        "In a rule of trade practice",
        "It may matter. Such a rule can change the verdict, so each is listed below. "
        "A case that would notice is still to be written, or nobody has typed the table a second time.",
    ),
    "advice": (
        "In advice",
        "It cannot change a verdict. The report shows the advice beside it, and that would be wrong.",
    ),
    "recalled": (
        "In a figure from memory",
        "It gives nobody a pass. The report shows the figure and asks you to look it up before it counts.",
    ),
    "same": (
        "No difference",
        "Nothing changes. No answers tell the mistake from the truth; a solver has proved it, or the reason stands beside it.",
    ),
    "schedule": (
        "In what only the schedule reads",
        "It cannot change a verdict. It would shift a time or an estimate. The schedule has tests of its own, which this run does not ask.",
    ),
    "printed": (
        "In what is only printed",
        "It cannot change a verdict. It would print a wrong word or length on the job sheet.",
    ),
}


def pages() -> Iterable[tuple[str, str]]:
    """The page, as (path below the reference folder, Markdown)."""
    yield "mutation.md", render(recorded())


def recorded() -> dict[str, Any]:
    """What the last whole run found."""
    return json.loads(RECORD.read_text(encoding="utf-8"))


def render(record: dict[str, Any]) -> str:
    """The page as Markdown."""
    packs = record["packs"]
    made, missed = sum(pack["made"] for pack in packs), sum(map(_unnoticed, packs))
    killed: Counter[str] = sum((Counter(pack["killed"]) for pack in packs), Counter())
    by_class = _by_class(packs)
    rows = [[_name(pack), pack["made"], sum(pack["killed"].values()), _unnoticed(pack)] for pack in packs]
    parts = [
        "# Mistakes in the data\n",
        "Would anybody notice a wrong figure? To find out, a program makes one small mistake at a time in the rule files: "
        "a digit up or down, ten times as much, the figure of the next row, a row left out, `<` for `<=`, a clause dropped, "
        "*and* for *or*, a rule that only advises. Then it asks everything that could notice.\n",
        f"**{made} mistakes were made. {made - missed} were noticed ({100 * (made - missed) // made} %). "
        f"{missed} were not. Of these, {by_class['law'] + by_class['standard']} matter to a rule of law or of a standard.**\n",
        f"Last whole run: {record['date']}, on commit `{record['commit']}`. "
        "What a rule set takes over from another is counted where it comes from.\n",
        "## Who noticed first\n",
        table(["Noticed by", "Mistakes"], [[NOTICED_BY[who], count] for who, count in killed.most_common()]),
        "## What nobody notices, and whether it matters { #unnoticed }\n",
        table(
            ["Where the mistake is", "Mistakes", "Does it matter?"],
            [[title, by_class[name], why] for name, (title, why) in CLASSES.items()],
        ),
        "## By rule set\n",
        table(["Rule set", "Mistakes made", "Noticed", "Not noticed"], rows),
        *(_pack(pack) for pack in packs if pack["unnoticed"]),
    ]
    return "\n".join(parts)


def _by_class(packs: Iterable[dict[str, Any]]) -> Counter[str]:
    found: Counter[str] = Counter()
    for pack in packs:
        for entry in pack["unnoticed"]:
            found[entry["class"]] += entry["count"]
    return found


def _unnoticed(pack: dict[str, Any]) -> int:
    return sum(entry["count"] for entry in pack["unnoticed"])


def _name(pack: dict[str, Any]) -> str:
    return f"{pack['pack']} {pack['edition']}"


def _pack(pack: dict[str, Any]) -> str:
    """What nobody notices in one rule set, class by class and item by item."""
    parts = [f"## Not noticed in {_name(pack)}\n"]
    for name, (title, _) in CLASSES.items():
        held = [entry for entry in pack["unnoticed"] if entry["class"] == name]
        if held:
            parts.append(f"### {title}: {sum(entry['count'] for entry in held)}\n")
            parts.append(table(["Item", "How well it is known", "Mistakes"], map(_row, held)))
    return "\n".join(parts)


def _row(entry: dict[str, Any]) -> list[str]:
    what = "; ".join(f"`{one}`" for one in entry["which"]) if "which" in entry else str(entry["count"])
    # What is recalled says so in its status, and what a solver has proved stands in the class.
    why = entry["why"] if entry["class"] == "same" and not entry["why"].startswith("proved") else ""
    known = STATUS_WORDS.get(entry["status"], entry["status"])
    return [f"{entry['kind']} `{entry['item']}`", known, f"{what} ({why})" if why else what]

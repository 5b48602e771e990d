"""The hazard log as a page: step by step through the job, what can go wrong, and which rule or text catches it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from checker.dev.rulebook.hazards import Start, every, local, starts
from checker.dev.rulebook.resolve import region_folders
from checker.dev.rulebook.rulefiles import RULES, Item, canonical
from checker.dev.site.markdown import filled, reference_folder, table

STEPS = {
    "decide": "Decide whether you may",
    "isolate": "Isolate",
    "prove-dead": "Prove dead",
    "read-labels": "Read the labels",
    "size": "Size",
    "mount": "Mount",
    "strip-and-connect": "Strip and connect",
    "protective-conductor": "The protective conductor",
    "neutral": "The neutral",
    "close": "Close",
    "test": "Test",
    "schedule": "Set the schedule",
    "hand-over": "Hand over",
    "years-later": "Years later",
}
NAME = "hazards.md"


def pages(described: list[dict[str, Any]]) -> Iterable[tuple[str, str]]:
    """The one page of the log; `described` are the packs as the checker tells of them."""
    held = {(pack["pack"]["id"], pack["pack"]["edition"]): pack for pack in described}
    packs = [pack["pack"] for pack in described]
    listed: dict[tuple[str, str], tuple[Item, list[dict[str, Any]]]] = {}
    for _, folder, item in every(region_folders()):
        key = (item.id, canonical(item.data))  # two regions may hold the same file
        listed.setdefault(key, (item, []))[1].append(held[folder.pack["id"], folder.pack["edition"]])
    entries = sorted(listed.values(), key=lambda entry: entry[0].id)
    parts = [_head(entries)]
    for step, title in STEPS.items():
        parts.append(f"## {title} {{ #{step} }}\n")
        parts += [_hazard(item, there, packs) for item, there in entries if item.data["step"] == step]
    yield NAME, "\n".join(parts)


def by_rule() -> dict[tuple[str, str], dict[str, list[Item]]]:
    """For each pack and edition, the hazards that a rule catches."""
    found: dict[tuple[str, str], dict[str, list[Item]]] = {}
    for _, folder, item in every(region_folders()):
        rules = found.setdefault((folder.pack["id"], folder.pack["edition"]), {})
        for rule in local(item, folder.pack["id"])["caught_by"]:
            rules.setdefault(rule, []).append(item)
    return found


def _head(entries: list[tuple[Item, list[dict[str, Any]]]]) -> str:
    rows = []
    for step, title in STEPS.items():
        here = [item.data for item, _ in entries if item.data["step"] == step]
        caught = sum(1 for data in here if "caught_by" in data)
        rows.append([f"[{title}](#{step})", len(here), caught, len(here) - caught])
    return (
        "# The hazard log\n\n"
        "What can go wrong when somebody fits a time switch or contactor, and what Spareway says then. "
        "How it was made: [hazards](../hazards.md).\n\n"
        "Each entry has a case. A test runs it in every rule set named: the rules or texts must speak up in it, and "
        "must not in the case that it starts from. The build refuses an entry that nothing catches.\n\n"
        + table(["Step", "Hazards", "Caught by a rule", "Told by a text only"], rows)
    )


def _hazard(item: Item, there: list[dict[str, Any]], packs: list[dict[str, Any]]) -> str:
    data, first = item.data, there[0]
    source = next(entry for entry in first["sources"] if entry["id"] == data["source"])
    clause = f", {data['clause']}" if data.get("clause") else ""
    begin, _, rest = data["what"].partition(". ")
    lines = [
        f"### {begin.removesuffix('.')} {{ #{item.id} }}\n",
        f"`{item.id}` · guide word *{data['guide'].replace('-', ' ')}*\n",
        *([f"- What follows: {rest}"] if rest else []),
        f"- Who is hurt: {data['who']}",
        f"- How you notice: {data['noticed']}",
        *_answers(item, there, packs),
        f"- Rule sets: {'all' if len(there) == len(packs) else ', '.join(_name(pack) for pack in there)}",
        *(f"- Not in `{entry['pack']}`: {entry['why']}" for entry in data.get("nowhere", ())),
        *([f"- Concerns every job: {data['everyone']}"] if "everyone" in data else []),
        f"- Source: {source['title']}{clause} ({data['status']})",
        *([f"- Note: {data['note']}"] if "note" in data else []),
    ]
    return "\n".join(lines) + "\n"


def _name(held: dict[str, Any]) -> str:
    return f"{held['pack']['id']} {held['pack']['edition']}"


def _answers(item: Item, there: list[dict[str, Any]], packs: list[dict[str, Any]]) -> list[str]:
    """What catches it and in which case: once for all packs alike, once more where a pack puts it otherwise."""
    own = item.data["case"].get("in", {})
    common = [held for held in there if held["pack"]["id"] not in own]
    lines = []
    for held in [*common[:1], *(held for held in there if held["pack"]["id"] in own and _newest(held, packs))]:
        where = "" if held in common else f" in `{held['pack']['id']}`"
        put = local(item, held["pack"]["id"])
        if links := _rules(held, put["caught_by"], packs):
            lines.append(f"- Caught{where} by: {', '.join(links)}")
        lines += [f"- Told{where} by `{name}`: {_text(held, name)}" for name in put["told_by"]]
        lines.append(f"- Case{where}: {_case(held, put)}")
    return lines


def _newest(held: dict[str, Any], packs: list[dict[str, Any]]) -> bool:
    return reference_folder(held["pack"], packs) == held["pack"]["id"]


def _rules(held: dict[str, Any], ids: list[str], packs: list[dict[str, Any]]) -> list[str]:
    folder = reference_folder(held["pack"], packs)
    titles = {rule["id"]: (rule["title"], "rules") for rule in held["rules"]}
    titles |= {rule["id"]: (rule["title"], "schedule") for rule in held["plan"]["rules"]}
    return [
        f"[{filled(held, titles[rule][0])}]({folder}/{titles[rule][1]}.md#{rule})" for rule in ids if rule in titles
    ]


def _text(held: dict[str, Any], name: str) -> str:
    section, _, item_id = name.partition("/")
    texts = held["texts"][section.replace("-", "_")]
    return filled(held, next(text["text"] for text in texts if text["id"] == item_id))


def _case(held: dict[str, Any], put: dict[str, Any]) -> str:
    start: Start = _starts(held["pack"])[put["start"]]
    changed = [f"`{name} = {_value(value)}`" for name, value in {**put["answers"], **put["plan"]}.items()]
    begin = f"[{start.scenario}](scenarios/{start.scenario}.md)"
    kind = "" if put["start"] == "plain" else f", put as `{put['start']}`"
    return f"{begin}{kind}" + (f", with {', '.join(changed)}" if changed else "")


def _starts(pack: dict[str, Any]) -> dict[str, Start]:
    folder = "base" if pack["id"] == "iec" else pack["id"]
    edition = RULES / folder / "editions" / pack["edition"]
    return starts(edition if edition.exists() else RULES / folder)


def _value(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(_value(one) for one in value)
    if isinstance(value, dict):
        return " ".join(f"{key} {one}" for key, one in value.items())
    return str(value).lower() if isinstance(value, bool) else str(value)

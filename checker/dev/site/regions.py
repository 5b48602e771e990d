"""A page for each region and edition: who may do the work, what is special, how well it is known, what is due for review.

Every word about a region comes from its pack and from the reasons in its rule files; nothing is written here by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any, NamedTuple

from checker.core import svg
from checker.dev.cases.second_copies import agreements
from checker.dev.rulebook.preview import KNOWN, LEAST_KNOWN_PERCENT
from checker.dev.rulebook.resolve import is_edition, region_folders
from checker.dev.rulebook.rulefiles import read_folder
from checker.dev.site import editions
from checker.dev.site.markdown import STATUS_WORDS, edition_page, filled, reference_folder, span, table

_NAMED = 6  # tables that are named in the list of what is due; more are counted
_KINDS = {"rule": "rules", "question": "questions", "parameter": "figures", "table": "tables"}


class Own(NamedTuple):
    """What a folder of `rules/` says itself: overrides with their reasons, items it adds, removals with their reasons."""

    reasons: dict[tuple[str, str], str]
    adds: frozenset[tuple[str, str]]
    removes: list[dict[str, str]]
    edition: bool  # laid over the region, not over base


def pages(packs: list[dict[str, Any]]) -> Iterable[tuple[str, str]]:
    """The pages, as (path below the reference folder, Markdown). `packs`: the replies to `describe`, one a pack."""
    base = next(held for held in packs if held["pack"]["extends"] is None)
    own = owned()
    yield "regions/index.md", index(packs, base)
    for held in packs:
        yield f"regions/{edition_page(held['pack'])}.md", page(held, base, own, packs)


def owned() -> dict[tuple[str, str], Own]:
    """What each folder says itself, by pack id and edition."""
    found = {}
    for path in region_folders():
        folder = read_folder(path)
        region = read_folder(path.parents[1]).pack if is_edition(path) else folder.pack
        reasons = {key: i.data["override"]["why"] for key, i in folder.items.items() if "override" in i.data}
        adds = folder.items.keys() - reasons.keys() if "extends" in region else ()
        removes = folder.pack.get("removes", [])
        found[region["id"], folder.pack["edition"]] = Own(reasons, frozenset(adds), removes, is_edition(path))
    return found


def index(packs: list[dict[str, Any]], base: dict[str, Any]) -> str:
    """The list of regions."""
    rows = []
    for held in packs:
        pack, found = held["pack"], agreements(held, base)
        counts = _counts(_standing(held))
        copied, cells = sum(share.agree for share in found), sum(share.cells for share in found)
        rows.append(
            [
                f"[{pack['title']}]({edition_page(pack)}.md)" + (" **preview**" if pack["preview"] else ""),
                pack["edition"],
                span(pack),
                _percent(sum(counts[s] for s in KNOWN), counts.total()),
                f"{copied} of {cells}, {_percent(copied, cells)}",
                pack["review_by"],
            ]
        )
    head = [
        "Rule set",
        "Edition",
        "In force",
        "Seen twice, read or derived",
        "Cells with an agreeing copy",
        "Review by",
    ]
    return (
        "# Regions\n\nFor each rule set: who may do the work, what is special and how well it is known. "
        "These pages come from the rule files.\n\n" + table(head, rows) + "\nThe fourth column counts rules, figures "
        "and table cells with the status two-sources or stronger. A second copy is a table that somebody typed again "
        "from another place without seeing the first. "
        f"A rule set with less than {LEAST_KNOWN_PERCENT} % in the fourth column is a preview.\n\n"
        "## By status\n\nDark means well known, light means from memory or in doubt. Point at a piece to see its number. "
        "[What a status means](../index.md#known).\n\n" + "\n".join(_pictured(held) for held in packs)
    )


def _pictured(held: dict[str, Any]) -> str:
    """One rule set in the overview: its bar, and the same in figures."""
    counts = _counts(_standing(held))
    said = ", ".join(f"{counts[status]} {status}" for status in STATUS_WORDS if counts[status])
    return f"**{held['pack']['title']}, {held['pack']['edition']}**: {said}\n\n{bar(counts)}\n"


def page(held: dict[str, Any], base: dict[str, Any], own: dict, packs: list[dict[str, Any]]) -> str:
    """The page of one region in one edition."""
    pack = held["pack"]
    folder = reference_folder(pack, (other["pack"] for other in packs))
    parts = [
        f"# {pack['title']}\n",
        f"Edition {pack['edition']}, version {pack['version']}, {span(pack)}. Review due by {pack['review_by']}. "
        f"[Rules, questions, figures, tables and sources](../{folder}/index.md).\n",
        f'!!! warning "Preview"\n    {pack["preview"]}\n' if pack["preview"] else "",
        _who(held),
        _special(held, own[pack["id"], pack["edition"]], packs),
        _words(held, base),
        _coverage(held),
        _copies(held, base),
        _due(held),
        editions.section(held, own, packs),
    ]
    return "\n".join(part for part in parts if part)


def _cited(held: dict[str, Any], item: dict[str, Any]) -> str:
    titles = {source["id"]: source["title"] for source in held["sources"]}
    clause = f", {item['clause']}" if item.get("clause") else ""
    return f"{titles[item['source']]}{clause} · status: {item['status']}"


def _who(held: dict[str, Any]) -> str:
    who = {stage["id"] for stage in held["pack"]["stages"] if stage["part"] == "who"}
    rules = sorted((r for r in held["rules"] if r["stage"] in who), key=lambda r: (r["weight"] != "law", r["id"]))
    law = [rule for rule in rules if rule["weight"] == "law"]
    lines = ["## Who may do it\n"]
    if not law:
        lines.append("This rule set contains no law. What follows is practice.\n")
    for rule in law or [rule for rule in rules if rule["id"] == "skilled-worker"]:
        lines.append(
            f"**{filled(held, rule['title'])}.** {filled(held, rule['say']['failed'])} {filled(held, rule['fix'])}\n\n"
            f"{_cited(held, rule)}, checked {rule['checked']}. {rule['note']}\n"
        )
    worker = next(question for question in held["questions"] if question["id"] == "worker")
    lines.append(
        table(
            ["Who", "That is"], [[filled(held, c["label"]), filled(held, c.get("help", ""))] for c in worker["choices"]]
        )
    )
    lines += [
        f"- {filled(held, item['text'])} ({_cited(held, item)})"
        for item in held["texts"].get("defers_to", ())
        if item["origin"] != "base"
    ]
    rest = [r for r in rules if r not in law and r["origin"] != "base" and r["id"] != "skilled-worker"]
    lines += [f"- {filled(held, r['title'])}: {filled(held, r['say']['failed'])} ({_cited(held, r)})" for r in rest]
    return "\n".join(lines) + "\n"


def _special(held: dict[str, Any], own: Own, packs: list[dict[str, Any]]) -> str:
    folder = reference_folder(held["pack"], (other["pack"] for other in packs))
    replaced, added = [], []
    for kind, place in _KINDS.items():
        for item in held["tables" if kind == "table" else f"{kind}s"]:
            title = filled(held, item.get("title") or item["text"])
            link = f"[{title}](../{folder}/{_place(place, item['id'])})"
            if (kind, item["id"]) in own.reasons:
                replaced.append([kind, link, own.reasons[kind, item["id"]]])
            elif (kind, item["id"]) in own.adds:
                added.append([kind, link, item.get("note") or item.get("why", "")])
    for section, items in held["texts"].items():
        name = section.replace("_", "-")
        for item in items:
            key = ("text", f"{name}/{item['id']}")
            if key in own.reasons:
                replaced.append([name, filled(held, item["text"]), own.reasons[key]])
            elif key in own.adds and section != "defers_to":
                added.append([name, filled(held, item["text"]), _cited(held, item)])
    for picture in held["pictures"]:
        key = ("picture", picture["id"])
        if key in own.reasons:
            replaced.append(["picture", picture["title"], own.reasons[key]])
        elif key in own.adds:
            added.append(["picture", picture["title"], "drawn for this rule set"])
    parts = ["## What is special\n"]
    if added:
        parts += ["### Added\n", table(["Kind", "What", "Source"], added)]
    if replaced:
        parts += ["### Replaced\n", table(["Kind", "What", "Why"], replaced)]
    if own.removes:
        parts += ["### Left out\n", table(["Kind", "Id", "Why"], [[r["kind"], r["id"], r["why"]] for r in own.removes])]
    if len(parts) == 1:
        parts.append("Nothing: all other rule sets build on this one.\n")
    return "\n".join(parts)


def _place(place: str, item_id: str) -> str:
    if place == "tables":
        return f"tables/{item_id}.md"
    return "figures.md" if place == "figures" else f"{place}.md#{item_id}"


def _words(held: dict[str, Any], base: dict[str, Any]) -> str:
    rows = [
        [base["pack"]["words"].get(key, key.replace("_", " ")), word] for key, word in held["pack"]["words"].items()
    ]
    colours = [item for item in held["texts"].get("cautions", ()) if item["id"] == "colours-prove-nothing"]
    said = "".join(f"\n{item['text']} ({_cited(held, item)})\n" for item in colours)
    return f"## Words and colours\n\n{table(['Elsewhere', 'Here'], rows)}{said}"


def _standing(held: dict[str, Any]) -> list[dict[str, Any]]:
    """Everything that has a status, each with `what` it is and the origin of its item."""
    found = [{**rule, "what": "rules"} for rule in held["rules"]]
    found += [{**parameter, "what": "single figures"} for parameter in held["parameters"]]
    found += [{**c, "what": f"table {t['id']}", "origin": t["origin"]} for t in held["tables"] for c in t["cells"]]
    return found


def _counts(entries: Iterable[dict[str, Any]]) -> Counter[str]:
    return Counter(entry["status"] for entry in entries)


def _percent(part: int, whole: int) -> str:
    return f"{part * 100 // whole} %" if whole else "–"


def _coverage(held: dict[str, Any]) -> str:
    entries = _standing(held)
    everything, region = _counts(entries), _counts(e for e in entries if e["origin"] != "base")
    rows = [
        [s, region[s], everything[s], _percent(everything[s], len(entries)), why] for s, why in STATUS_WORDS.items()
    ]
    head = ["Status", "Of this region", "Including inherited", "Share", "Meaning"]
    shown = [row for row in rows if row[2]]
    return f"## How well it is known\n\n{bar(everything)}\n\n{table(head, shown)}"


def bar(counts: Counter[str]) -> str:
    """A bar with a piece for each status, strongest first and darkest first; the table below it says the same in figures."""
    whole, at, pieces = counts.total(), 0.0, []
    statuses = list(STATUS_WORDS)
    for place, status in enumerate(statuses):
        if counts[status]:
            wide = counts[status] * 1000 / whole
            about = {"x": f"{at:.1f}", "width": f"{wide:.1f}", "height": 40}
            ink = {"fill": "currentColor", "fill-opacity": f"{1 - place / len(statuses):.2f}", "stroke": "currentColor"}
            title = svg.element("title", {}, svg.words(f"{status}: {counts[status]} of {whole}"))
            pieces.append(svg.element("rect", {**about, **ink}, title))
            at += wide
    said = ", ".join(f"{counts[s]} {s}" for s in statuses if counts[s])
    about = {"role": "img", "aria-label": f"Rules, figures and cells by status: {said}", "viewBox": "0 0 1000 40"}
    return svg.element("svg", {**about, "width": "100%", "height": 24, "preserveAspectRatio": "none"}, *pieces)


def _copies(held: dict[str, Any], base: dict[str, Any]) -> str:
    found = agreements(held, base)
    cells, copied, agree = (sum(getattr(s, name) for s in found) for name in ("cells", "copied", "agree"))
    rows = [[f"`{s.table}`", s.cells, s.copied, s.agree, s.settled] for s in found if s.copied]
    return (
        f"## Typed a second time\n\n{copied} of {cells} table cells ({_percent(copied, cells)}) have a second copy, and "
        f"{agree} of these agree ({_percent(agree, copied)}). Where copies differ, we use the lowest and the cell says so.\n\n"
        + table(["Table", "Cells", "With a second copy", "Agree", "Settled to the lowest"], rows)
    )


def _due(held: dict[str, Any]) -> str:
    days: dict[str, Counter[str]] = {}
    for entry in _standing(held):
        days.setdefault(entry["stale_after"], Counter())[entry["what"]] += 1
    rows = [[day, _listed(days[day])] for day in sorted(days)]
    return (
        "## Due for review\n\nAfter its last day, a figure cannot give a pass until somebody checks it again.\n\n"
        + table(["Last day", "What"], rows)
    )


def _listed(counts: Counter[str]) -> str:
    """What grows stale on one day; many tables are counted, few are named."""
    tables = [what for what in counts if what.startswith("table ")]
    if len(tables) > _NAMED:
        cells = sum(counts[what] for what in tables)
        counts = Counter({what: n for what, n in counts.items() if what not in tables})
        counts[f"cells of {len(tables)} tables"] = cells
    return ", ".join(f"{what} ({n})" for what, n in sorted(counts.items()))

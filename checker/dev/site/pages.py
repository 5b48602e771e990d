"""The reference pages: every rule, table, question, figure and source of every pack, and every scenario, as Markdown.

They are written before the site is built, so that they can be linted, compared and read without it.
"""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable
from fnmatch import fnmatch
from pathlib import Path

from checker.core.api import handle
from checker.core.tables import Axis
from checker.dev.checkout import ROOT
from checker.dev.rulebook.rulefiles import Item, read_once
from checker.dev.site import evidence, hazard_page, language, mutation_page, regions, report_figure, scenario_pages
from checker.dev.site.markdown import STATUS_WORDS, cell, edition_page, filled, reference_folder, table

OUT = ROOT / "docs" / "reference"
# Hundreds of tables and reports, each reached from a list that is searched: they would make the search index four times as
# large, and a third of the time it takes to build the site goes into it.
NOT_SEARCHED = ("*/tables/*.md", "*/figures.md", "*/sources.md", "scenarios/*.md", "hazards.md")
LEFT_OUT_OF_SEARCH = "---\nsearch:\n  exclude: true\n---\n\n"


def main(arguments: list[str]) -> int:
    written = write_pages(OUT)
    print(f"wrote {written} reference pages")
    return 0


def write_pages(out: Path) -> int:
    """Writes all pages below `out`, replacing it. Returns how many."""
    shutil.rmtree(out, ignore_errors=True)
    pages = dict(all_pages())
    for name, text in pages.items():
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        searched = name == "scenarios/index.md" or not any(fnmatch(name, pattern) for pattern in NOT_SEARCHED)
        path.write_text(text if searched else LEFT_OUT_OF_SEARCH + text, encoding="utf-8")
    return len(pages)


def all_pages() -> Iterable[tuple[str, str]]:
    """Every page as (path below the reference folder, Markdown)."""
    yield from pack_pages()
    yield from scenario_pages.pages()
    yield from evidence.pages()
    yield from language.pages()
    yield from mutation_page.pages()


def pack_pages() -> Iterable[tuple[str, str]]:
    """What is told of the rule sets themselves."""
    with read_once():
        yield from _pack_pages()


def _pack_pages() -> Iterable[tuple[str, str]]:
    packs = _ask({"ask": "describe"})["packs"]
    yield "index.md", _index(packs)
    described = [_ask({"ask": "describe", "pack": p["id"], "edition": p["edition"]}) for p in packs]
    yield from regions.pages(described)
    yield from hazard_page.pages(described)
    for held in described:
        folder = reference_folder(held["pack"], (other["pack"] for other in described))
        yield f"{folder}/index.md", _pack_page(held)
        yield f"{folder}/rules.md", _rules_page(held)
        yield f"{folder}/questions.md", _questions_page(held)
        yield f"{folder}/schedule.md", _schedule_page(held)
        yield f"{folder}/figures.md", _figures_page(held)
        yield f"{folder}/sources.md", _sources_page(held)
        for one in held["tables"]:
            yield f"{folder}/tables/{one['id']}.md", _table_page(held, one)


def _ask(request: dict) -> dict:
    reply = json.loads(handle(json.dumps({"format": 1, **request})))
    if "error" in reply:
        sys.exit(f"the checker cannot answer {request}: {reply['error']}")
    return reply


def _index(packs: list[dict]) -> str:
    rows = []
    for pack in packs:
        link = f"[{pack['title']}](regions/{edition_page(pack)}.md)" + (" **preview**" if pack["preview"] else "")
        rows.append([link, pack["edition"], pack["version"], pack["valid_from"], pack["review_by"]])
    return (
        "# Rules and figures\n\nWhat the checker knows, where it comes from and how well it is known. "
        "These pages come from the same files that the checker runs.\n\n"
        + table(["Rule set", "Edition", "Version", "In force from", "Review by"], rows)
        + "\n## How well a figure is known { #known }\n\n"
        + table(["Status", "Meaning"], [list(pair) for pair in STATUS_WORDS.items()])
        + "\nWhat can go wrong, and what catches it: [the hazard log](hazards.md).\n"
        "\nWorked cases: [scenarios](scenarios/index.md). Comparison with published examples: [evidence](evidence.md).\n"
        "\nHow to write rules: [the rule language](language.md) and [the rule files](schema/index.md).\n"
    )


def _pack_page(held: dict) -> str:
    pack = held["pack"]
    counts: dict[str, int] = {}
    for entry in [*held["rules"], *held["parameters"], *(c for t in held["tables"] for c in t["cells"])]:
        counts[entry["status"]] = counts.get(entry["status"], 0) + 1
    tables = "\n".join(f"- [{t['title']}](tables/{t['id']}.md)" for t in held["tables"])
    texts = "\n".join(f"- {item['text']}" for item in held["texts"]["defers_to"])
    return (
        f"# {pack['title']}\n\n"
        + (f'!!! warning "Preview"\n    {pack["preview"]}\n\n' if pack["preview"] else "")
        + f"[Who may do it, what is special, what is due for review](../regions/{edition_page(pack)}.md)\n\n"
        f"Edition {pack['edition']}, version {pack['version']}, in force from {pack['valid_from']}, "
        f"review due by {pack['review_by']}.\n\n"
        f"Fingerprint of the compiled rules: `{pack['sha256']}`\n\n"
        "- [Rules](rules.md)\n- [Questions](questions.md)\n- [The schedule](schedule.md)\n"
        "- [Single figures](figures.md)\n- [Sources](sources.md)\n\n"
        f"## Tables\n\n{tables}\n\n## How well it is known\n\n"
        + table(
            ["Status", "Rules and figures", "Meaning"],
            [[s, counts[s], STATUS_WORDS[s]] for s in STATUS_WORDS if s in counts],
        )
        + f"\n## Who has the last word\n\n{texts}\n"
    )


def _rules_page(held: dict) -> str:
    parts = [f"# Rules: {held['pack']['title']}\n"]
    sources = {s["id"]: s for s in held["sources"]}
    questions = {q["id"]: q for q in [*held["questions"], *held["plan"]["questions"]]}
    hazards = hazard_page.by_rule().get((held["pack"]["id"], held["pack"]["edition"]), {})
    for stage in held["pack"]["stages"]:
        rules = [rule for rule in held["rules"] if rule["stage"] == stage["id"]]
        if not rules:
            continue
        parts.append(f"## {stage['title']}\n")
        for rule in rules:
            reads = ", ".join(f"[{q}](questions.md#{q})" for q in rule["reads"] if q in questions)
            parts.append(
                f"### {filled(held, rule['title'])} {{ #{rule['id']} }}\n\n"
                f"`{rule['id']}` · weight {rule['weight']} · status {rule['status']} · {_origin(rule)}\n\n"
                f"- Applies when: `{rule['applies']}`\n- Requires: `{rule['requires']}`\n"
                f"- Source: [{cell(sources[rule['source']]['title'])}](sources.md#{rule['source']}), "
                f"{rule['clause'] or 'no clause'}, checked {rule['checked']}\n"
                f"- Reads: {reads or 'nothing'}\n- If it fails: {filled(held, rule['fix'])}\n"
                + (f"- Note: {rule['note']}\n" if rule["note"] else "")
                + _protects(hazards.get(rule["id"], []))
                + f"\n{report_figure.of_rule(held, rule)}"
            )
    return "\n".join(parts)


def _protects(hazards: list[Item]) -> str:
    """From what a rule protects, with links to the hazard log."""
    links = ", ".join(f"[{item.id}](../{hazard_page.NAME}#{item.id})" for item in hazards)
    return f"- Protects from: {links}\n" if links else ""


def _origin(entry: dict) -> str:
    return {"base": "same as base", "adds": "added by this region", "overrides": "replaces the base item"}[
        entry["origin"]
    ]


def _questions_page(held: dict) -> str:
    parts = [
        f"# Questions: {held['pack']['title']}\n\nIn the order you see them. You are asked only those that can still change the verdict.\n"
    ]
    for question in held["questions"]:
        if question["kind"] == "number":
            answers = f"a number, {question['minimum']} to {question['maximum']} {question['unit']}".replace(
                " 1\n", "\n"
            )
        elif question["kind"] == "yes-no":
            answers = "`true` or `false`"
        else:
            answers = ", ".join(f"`{c['value']}` ({filled(held, c['label'])})" for c in question["choices"])
        extra = ', `"not-stated"` when the label does not say' if question["not_stated"] else ""
        default = (
            f"\n- Assumed if you do not answer: `{question['default']}`" if question["default"] is not None else ""
        )
        used = ", ".join(f"[{rule}](rules.md#{rule})" for rule in question["decides"])
        parts.append(
            f"## `{question['id']}` {{ #{question['id']} }}\n\n**{filled(held, question['text'])}**\n\n{filled(held, question['help'])}\n\n"
            f'- Answers: {answers}, `"dont-know"`{extra}{default}\n- Why we ask: {filled(held, question["why"])}\n'
            f"- How to find out: {filled(held, question['find_out'])}\n- Decides: {used or 'only what is shown'}\n"
            + _usual(question)
            + _pictured(held, question)
        )
    return "\n".join(parts)


def _pictured(held: dict, question: dict) -> str:
    """The drawing of where the answer stands, at the first question that it belongs to; the others link there."""
    asked = {other["id"]: other for other in held["questions"]}
    links, figures = "", ""
    for picture in held["pictures"]:
        if question["id"] not in picture["questions"]:
            continue
        first = min(picture["questions"], key=[*asked].index)
        if question["id"] == first:
            figures += (
                f'\n<figure class="sw-figure">{picture["svg"]}<figcaption>{picture["text"]}</figcaption></figure>\n'
            )
        else:
            links += f"- Where it stands: picture at [{asked[first]['label']}](#{first})\n"
    return links + figures


def _usual(question: dict) -> str:
    """What the short form supposes where nobody has answered."""
    usual = question["usual"]
    if not usual:
        return ""
    if "same_as" in usual:
        value = f"as [{usual['same_as']}](#{usual['same_as']})"
    else:
        value = f"`{str(usual['value']).lower() if usual['value'] in (True, False) else usual['value']}`"
        if question["kind"] == "number" and usual["value"] != "not-stated":
            value = f"{value} {question['unit']}".removesuffix(" 1")
    source = f"[{usual['source']}](sources.md#{usual['source']})"
    return f"- Usual here: {value}. {usual['why']} How to see it: {usual['seen']} Source: {source}, {usual['status']}\n"


def _schedule_page(held: dict) -> str:
    """Questions and rules of the schedule on one page; a rule's link to a question of the check leads to that page."""
    both = {**held, "pack": {**held["pack"], "stages": held["plan"]["stages"]}}
    rules = _rules_page({**both, "rules": held["plan"]["rules"]}).partition("\n")[2]
    questions = _questions_page({**held, "questions": held["plan"]["questions"], "pictures": []}).partition("\n## ")[2]
    for question in held["plan"]["questions"]:
        rules = rules.replace(f"](questions.md#{question['id']})", f"](#{question['id']})")
    return (
        f"# The schedule: {held['pack']['title']}\n\nHow `spareway plan` judges a schedule, and what you can tell it. "
        f"[Sources](sources.md).\n\n{rules}\n## Questions of the schedule\n\n"
        + f"### {questions}".replace("\n## ", "\n### ").replace("](rules.md#", "](#")
    )


def _figures_page(held: dict) -> str:
    rows = [
        [
            f"`{p['id']}`",
            p["title"],
            f"{p['value']} {p['unit']}".removesuffix(" 1"),
            f"[{p['source']}](sources.md#{p['source']})",
            p["clause"],
            p["status"],
            p["checked"],
            p["note"],
        ]
        for p in held["parameters"]
    ]
    return (
        f"# Single figures: {held['pack']['title']}\n\n"
        + table(["Id", "What", "Value", "Source", "Clause", "Status", "Checked", "Note"], rows)
        + f"\n{report_figure.of_figures(held)}"
    )


def _value(cell_: dict, unit: str) -> str:
    """A cell as a reader sees it; a lower bound says so."""
    text = f"{cell_['value']} {unit}".strip().removesuffix(" 1")
    most = cell_.get("most")
    return text if most is None else f"{text} or more" if most == "Infinity" else f"{text} to {most}"


def _bounds(rule: dict) -> str:
    """Where the bounds of a table come from: the reason, then the inputs."""
    if "conductor_c" not in rule:
        return f"{rule['why']}\n\nA bound can give a pass. Each cell's note has the sum."
    hot = ", ".join(f"{insulation} {celsius} °C" for insulation, celsius in rule["conductor_c"].items())
    around = f"air of {rule['air_c']} °C" + (f", ground of {rule['ground_c']} °C" if "ground_c" in rule else "")
    ways = "\n".join(
        f"- {method}: {by['times']} x method {by['like']}" if "times" in by else f"- {method}: method {by['like']}"
        for method, by in rule.get("method", {}).items()
    )
    return (
        f"{rule['why']}\n\nA bound can give a pass. Above it the answer is open: look in the printed table.\n\n"
        f"Conductor: {hot}. Around it: {around}. Rounded down to a multiple of {rule['step']}. "
        f"Each cell's note has the sum."
        + (
            f"\n\nHow the cable lies here, and the method of the iec rule set by which it goes:\n\n{ways}"
            if ways
            else ""
        )
    )


def _table_page(held: dict, held_table: dict) -> str:
    axes = held_table["axes"]
    rows = [
        [
            *cell_["keys"],
            _value(cell_, held_table["unit"]),
            f"[{cell_['source']}](../sources.md#{cell_['source']})",
            cell_["clause"],
            cell_["status"],
            cell_["checked"],
            cell_["note"],
        ]
        for cell_ in held_table["cells"]
    ]
    rules = "\n".join(f"- {axis['name']}: {_between(axis)}" for axis in axes if axis["kind"] == "number")
    absent = "\n".join(
        f"- {', '.join(f'{k} = {v}' for k, v in entry['where'].items())}: {entry['why']}"
        for entry in held_table["absent"]
    )
    return (
        f"# {held_table['title']}\n\n`{held_table['id']}` in [{held['pack']['title']}](../index.md), {_origin(held_table)}."
        f"\n\n{held_table['note']}\n\n"
        + (f"## Between and outside the rows\n\n{rules}\n\n" if rules else "")
        + (f"## Not in this table\n\n{absent}\n\n" if absent else "")
        + (f"## Bounds\n\n{_bounds(held_table['bounds'])}\n\n" if "bounds" in held_table else "")
        + "## Cells\n\n"
        + table([*(a["name"] for a in axes), "Value", "Source", "Clause", "Status", "Checked", "Note"], rows)
        + f"\n{report_figure.of_table(held, held_table)}"
    )


def _between(axis: dict) -> str:
    between = {
        "none": "only the rows listed",
        "next-up": "between two rows, use the higher one",
        "next-down": "between two rows, use the lower one",
    }
    below = {"absent": "below the first row there is no value", "first": "below the first row, use the first row"}
    above = {"absent": "above the last row there is no value", "last": "above the last row, use the last row"}
    no_figure = {"lower": ", but none above that of the last row", "higher": ", but none below that of the last row"}
    beyond = no_figure.get(Axis.goes(axis), "") if axis["above"] == "absent" else ""
    return f"{between[axis['between']]}; {below[axis['below']]}; {above[axis['above']]}{beyond}"


def _sources_page(held: dict) -> str:
    parts = [f"# Sources: {held['pack']['title']}\n"]
    for source in held["sources"]:
        url = (
            f"\n\nSeen at: <{source['url']}>"
            if str(source.get("url", "")).startswith("http")
            else f"\n\nSeen at: {source['url']}"
            if source.get("url")
            else ""
        )
        note = f"\n\n{source['note']}" if source.get("note") else ""
        parts.append(f"## {source['title']} {{ #{source['id']} }}\n\n`{source['id']}` · {source['kind']}{url}{note}\n")
    return "\n".join(parts)

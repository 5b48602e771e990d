"""The result of a whole run as a page."""

from __future__ import annotations

from collections import Counter
from typing import Any

_HEAD = """# Mistakes in the data, and who notices them

Made by `python -m tests.mutation --write` from the rule sets as they stand; not written by hand.

Every figure, comparison, clause, weight and override of every rule set is changed, one at a time: the last digit up and
down, ten times as much, the figure of the next row, left out; `<` for `<=`, the two sides changed over, a clause dropped, `and`
for `or`; a rule that only advises any more; the item of the rule set it extends. A mistake counts as noticed when
a second copy, the lint, a test of the tables, a worked case or a published example fails on it. What an edition or region takes
over is counted where it comes from.

"""
_REST = """
Nothing that a rule of law or standard rests on survives without a reason. A figure that is only recalled gives no pass
until the reader has confirmed it in their own copy, so a slip in it takes nothing from anybody. `proved` means that the
solver found no answers for which the rule with the mistake comes out differently.

"""
_NO_RULE = {
    "terminal-marks": "marks printed on the job sheet and its drawing",
    "brief-facts": "headings of the brief for a licensed person",
    "conductor-colour": "colours told on the job sheet",
    "sheet-phases": "headings of the job sheet",
    "sheet-style": "how the job sheet draws and words it",
    "test-pairs": "the pairs to test, told on the job sheet",
    "ferrule-colour": "colours told on the job sheet",
    "screw-torque": "figures told on the job sheet",
    "caution-place": "which cautions stand where on the job sheet",
}


def page(results: list[Any]) -> str:
    """`results`: one of `tests.mutation.__main__.Result` for each rule set."""
    lines = [
        "| Rule set | Mistakes made | Noticed | Survive | Of these in law or standard, with a reason | Without one |"
    ]
    lines.append("| - | -: | -: | -: | -: | -: |")
    for result in results:
        strict = [s for s in result.survivors if s.weight in ("law", "standard")]
        bare = sum(s.why is None for s in strict)
        lines.append(
            f"| {_name(result)} | {result.made} | {result.made - len(result.survivors)} | {len(result.survivors)} "
            f"| {len(strict) - bare} | {bare} |"
        )
    killed: Counter = sum((result.killed for result in results), Counter())
    lines += ["", "Who noticed first: " + ", ".join(f"{who} {count}" for who, count in killed.most_common()) + ".", ""]
    told = "\n".join(lines)
    return _HEAD + told + _REST.rstrip("\n") + "\n" + "".join(_survivors(result) for result in results)


def _name(result: Any) -> str:
    return f"{result.pack.id} {result.pack.about['edition']}"


def _survivors(result: Any) -> str:
    """What survives in one rule set: what decides by name, the rest by item."""
    if not result.survivors:
        return ""
    lines = [f"\n## Survivors in {_name(result)}\n"]
    for weight in ("law", "standard", "practice", "advice", ""):
        held = [s for s in result.survivors if s.weight == weight]
        if not held:
            continue
        lines.append(f"Weight {weight}:\n" if weight else "No rule rests on these:\n")
        groups: dict[tuple[str, str, str], list[Any]] = {}
        for survivor in held:
            mutant = survivor.mutant
            groups.setdefault((mutant.kind, mutant.item, survivor.why or ""), []).append(mutant)
        for (kind, item, why), made in sorted(groups.items()):
            reason = why or (_NO_RULE.get(item, "told, not compared") if not weight else "")
            many = len(made) > 4 or not weight
            what = f"{len(made)} mistakes" if many else "; ".join(f"`{_what(mutant)}`" for mutant in made)
            lines.append(f"- {kind} `{item}`: {what}{f' ({reason})' if reason else ''}")
        lines.append("")
    return "\n".join(lines).rstrip("\n") + "\n"


def _what(mutant: Any) -> str:
    at = "/".join(mutant.at) if mutant.kind == "cell" else ""
    return f"{at}: {mutant.what}" if at else mutant.what

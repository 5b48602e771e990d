"""`spareway rules diff`: what changed between two rule sets, and whose outcome changes by it."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from typing import Any, NamedTuple

from ...cli import output
from .. import rulefiles, scenarios
from ..reach import add_reach
from ..reads import closure, tree_names
from . import day
from .judging import check, installed
from .paths import boundary_paths
from .sides import sides

# Outcomes in the order of what a reader must see first.
_RANK = {("failed", "passed"): 0, ("failed", "not-applicable"): 1, ("failed", "gone"): 1, ("cannot-tell", "passed"): 2,
         ("failed", "cannot-tell"): 3, ("passed", "failed"): 4}  # fmt: skip
_EASED = (0, 1)
MOST_PATHS = 600  # over all cases: a diff takes seconds, not minutes
_WEAK = ("memory", "practice", "conflict")


class Change(NamedTuple):
    """One item that differs: kind, id, and the item in the old and the new rule set (None where it is not there)."""

    kind: str
    id: str
    old: dict[str, Any] | None
    new: dict[str, Any] | None

    @property
    def named(self) -> bool:
        """Whether a source with a place in it, better than recalled, stands behind the new state."""
        new = self.new or {}
        return (
            bool(new.get("source") and new.get("clause"))
            and new["source"] != "common-practice"
            and new.get("status") not in _WEAK
        )


class Outcome(NamedTuple):
    """A rule that ends otherwise in a case; `path` is the answer that was changed, empty for the case as it stands."""

    case: str
    path: str
    rule: str
    old: str
    new: str
    causes: tuple[Change, ...]

    @property
    def rank(self) -> int:
        return _RANK.get((self.old, self.new), 9)

    @property
    def unsourced(self) -> bool:
        """Eased, and not every figure or rule behind it has a named source."""
        carried = [cause for cause in self.causes if cause.kind != "question"]
        return self.rank in _EASED and not (carried and all(cause.named for cause in carried))


def run(options: Namespace) -> int:
    """Tells the differences; 1 when an outcome is eased and no named source stands behind it."""
    as_of = options.as_of and day(options.as_of)
    parts, bad = [], 0
    for title, old, new in sides(options.old, options.new):
        changes = list(changed(old, new))
        found = sorted(
            outcomes(old, new, changes, as_of), key=lambda o: (o.rank, not o.unsourced, o.rule, o.case, o.path)
        )
        bad += sum(outcome.unsourced for outcome in found)
        if changes:
            parts.append(told(title, changes, found, options.markdown))
    output.write("\n".join(parts) if parts else "Nothing differs.\n")
    if bad:
        output.write(f"\n{bad} outcome(s) went from failed to passed without a named source.\n")
    return 1 if bad else 0


def changed(old: dict, new: dict) -> Iterator[Change]:
    """Every item that differs, tables cell by cell."""
    before, after = dict(_items(old)), dict(_items(new))
    for key in sorted(before.keys() | after.keys()):
        if _bare(before.get(key)) != _bare(after.get(key)):
            yield Change(*key, before.get(key), after.get(key))


def _items(content: dict) -> Iterator[tuple[tuple[str, str], dict]]:
    for part in (content, content["plan"]):
        for kind in ("rule", "question"):
            yield from (((kind, item["id"]), item) for item in part[f"{kind}s"])
        for section, texts in part["texts"].items():
            yield from ((("text", f"{section}/{item['id']}"), item) for item in texts)
    yield from ((("parameter", item["id"]), item) for item in content["parameters"])
    for table in content["tables"]:
        yield ("table", table["id"]), {key: value for key, value in table.items() if key != "cells"}
        for cell in table["cells"]:
            yield ("cell", f"{table['id']}/{'/'.join(cell['keys'])}"), cell


def _bare(item: dict | None) -> dict | None:
    """An item without where it comes from, when it was looked at and what the build adds."""
    return item and {
        k: v for k, v in item.items() if k not in ("origin", "stale_after", "checked", "reach", "any_answer", "reads")
    }


def outcomes(old: dict, new: dict, changes: list[Change], as_of: str | None) -> Iterator[Outcome]:
    """Every rule that ends otherwise, in the worked cases of the rule set and on the boundaries of what changed."""
    if not [change for change in changes if change.kind != "text"]:
        return
    for content in (old, new):
        add_reach(content)
    cases = [c for c in scenarios.every(rulefiles.RULES.parent / "scenarios") if c.request["pack"] == new["pack"]["id"]]
    most = MOST_PATHS // max(len(cases), 1)
    walked = [
        (case, path, answers)
        for case in cases
        for path, answers in boundary_paths(case.request["answers"], old, new, changes, most)
    ]
    causes = _causes(old, new, changes)
    held = []
    for content in (old, new):
        about = {"pack": content["pack"]["id"], "edition": content["pack"]["edition"]}
        with installed([content]):
            held.append(
                [
                    _found({**c.request, **about, "answers": a, "as_of": as_of or c.request["as_of"]})
                    for c, _, a in walked
                ]
            )
    told: set[tuple] = set()
    for (case, path, _), before, after in zip(walked, *held, strict=True):
        # Where one of the two does not take an answer, there is nothing to compare.
        for rule in sorted(before.keys() | after.keys()) if before and after else ():
            was, now = before.get(rule, "gone"), after.get(rule, "gone")
            # Of many boundaries with one and the same effect the first is told.
            if was != now and {was, now} != {"gone", "not-applicable"} and (case.id, rule, was, now) not in told:
                told.add((case.id, rule, was, now))
                yield Outcome(case.id, path, rule, was, now, causes.get(rule, ()))


def _found(request: dict) -> dict[str, str]:
    """The outcome of every rule, and the headline; an answer that one rule set does not take leaves no outcome."""
    reply = check(request)
    if "error" in reply:
        return {}
    return {f["rule"]: f["outcome"] for f in reply["findings"]} | {"(headline)": reply["headline"]}


def _causes(old: dict, new: dict, changes: list[Change]) -> dict[str, tuple[Change, ...]]:
    """What each rule reads among the changed items, itself included."""
    found: dict[str, tuple[Change, ...]] = {}
    for content in (old, new):
        axes = {table["id"]: [axis["name"] for axis in table["axes"]] for table in content["tables"]}
        for rule in content["rules"]:
            names = closure(tree_names(rule["applies"]) | tree_names(rule["requires"]), axes)
            held = [c for c in changes if c.id.partition("/")[0] in names or (c.kind, c.id) == ("rule", rule["id"])]
            found[rule["id"]] = _joined(found.get(rule["id"], ()), held)
    return found


def _joined(one: tuple[Change, ...], more: list[Change]) -> tuple[Change, ...]:
    known = {(change.kind, change.id) for change in one}
    return (*one, *(change for change in more if (change.kind, change.id) not in known and change.kind != "text"))


def told(title: str, changes: list[Change], found: list[Outcome], markdown: bool) -> str:
    """The differences of one pair of rule sets as text."""
    head, item = ("## ", "- ") if markdown else ("", "  ")
    lines = [f"{head}{title}", "", f"{head and '### '}Changed items ({len(changes)})", ""]
    lines += [f"{item}{_told(change)}" for change in changes]
    lines += ["", f"{head and '### '}Changed outcomes ({len(found)})", ""]
    for outcome in found:
        by = ", ".join(f"{c.kind} {c.id}" for c in outcome.causes[:4]) or "no changed item"
        warn = " NO NAMED SOURCE." if outcome.unsourced else ""
        where = f"{outcome.case}{f' with {outcome.path}' if outcome.path else ''}"
        lines.append(f"{item}{outcome.rule}: {outcome.old} to {outcome.new} in {where}; by {by}.{warn}")
    if not found:
        lines.append(f"{item}None, in the worked cases and on the boundaries of what changed.")
    return "\n".join(lines) + "\n"


def _told(change: Change) -> str:
    state = "added" if change.old is None else "removed" if change.new is None else "changed"
    was, now = ((item or {}).get("value") for item in (change.old, change.new))
    value = (
        f" {was} to {now}"
        if was != now and was is not None and now is not None
        else f" ({now or was})"
        if now or was
        else ""
    )
    held = change.new or {}
    source = (
        f": {held['source']}, {held.get('clause') or 'no clause'}, {held['status']}"
        if held.get("source") and held.get("status")
        else ""
    )
    return f"{state} {change.kind} {change.id}{value}{source}"

"""Whose outcome changes between two rule sets: over all cases, and on the boundaries of what changed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.dev.cases.every_case import HEADLINE, Judged, NamedRequest, every, judged
from checker.dev.cases.judging import installed
from checker.dev.maintain.boundaries import boundary_paths
from checker.dev.maintain.changed import Change
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.reads import axes_of, closure, rule_names

# Outcomes in the order of what a reader must see first.
_RANK = {("failed", "passed"): 0, ("failed", "not-applicable"): 1, ("failed", "gone"): 1, ("cannot-tell", "passed"): 2,
         ("failed", "cannot-tell"): 3, ("passed", "failed"): 4}  # fmt: skip
_NEWLY_PASSING = (0, 1)
MOST_PATHS = 600  # over all cases: a diff takes seconds, not minutes


class Outcome(NamedTuple):
    """A rule that ends otherwise in a case, the headline counted as one; `causes` are the changed items it reads."""

    case: NamedRequest
    rule: str
    old: str
    new: str
    causes: tuple[Change, ...]

    @property
    def rank(self) -> int:
        return _RANK.get((self.old, self.new), 9)

    @property
    def unsourced(self) -> bool:
        """Newly passing, and not every figure or rule behind it has a named source."""
        carried = [cause for cause in self.causes if cause.kind != "question"]
        return self.rank in _NEWLY_PASSING and not (carried and all(cause.named for cause in carried))


def outcomes(
    old: dict, new: dict, changes: list[Change], as_of: str | None, most_paths: int | None = None
) -> list[Outcome]:
    """Every rule that ends otherwise, what newly passes first. `most_paths`: boundaries looked at, else `MOST_PATHS`."""
    if all(change.kind == "text" for change in changes):
        return []
    cases = every(rulefiles.RULES.parent, new["pack"]["id"])
    before, after = (_all(cases, content, as_of) for content in (old, new))
    most = (most_paths or MOST_PATHS) // max(len(cases), 1)
    paths = [
        path
        for case, *known in zip(cases, before, after, strict=True)
        for path in boundary_paths(case, old, new, changes, known, most)
    ]
    causes = _causes(old, new, changes)
    found: dict[tuple, Outcome] = {}
    before += _all(paths, old, as_of)
    after += _all(paths, new, as_of)
    walked = zip((*cases, *paths), before, after, strict=True)
    for outcome in (one for case, was, now in walked for one in _told_apart(case, was, now, causes)):
        # Of many boundaries with one and the same effect the first is told.
        found.setdefault((outcome.case.id, outcome.rule, outcome.old, outcome.new), outcome)
    return sorted(found.values(), key=lambda o: (o.rank, not o.unsourced, o.rule, o.case.id, o.case.boundary))


def _all(cases: list[NamedRequest], content: dict, as_of: str | None) -> list[Judged]:
    with installed([content]):
        return [judged(case, content, as_of) for case in cases]


def _told_apart(
    case: NamedRequest, old: Judged, new: Judged, causes: dict[str, tuple[Change, ...]]
) -> Iterator[Outcome]:
    # Where one of the two does not take an answer, there is nothing to compare.
    for rule in sorted(old.outcomes.keys() | new.outcomes.keys()) if old.outcomes and new.outcomes else ():
        was, now = old.outcomes.get(rule, "gone"), new.outcomes.get(rule, "gone")
        if was != now and {was, now} != {"gone", "not-applicable"}:
            yield Outcome(case, rule, was, now, () if rule == HEADLINE else causes.get(rule, ()))


def _causes(old: dict, new: dict, changes: list[Change]) -> dict[str, tuple[Change, ...]]:
    """What each rule reads among the changed items, itself included; the rules of the schedule too."""
    found: dict[str, dict[Change, None]] = {}
    by_key = {(change.kind, change.id): change for change in changes if change.kind != "text"}
    for content in (old, new):
        axes = axes_of(content["tables"])
        for rule in _rules(content):
            names = closure(rule_names(rule), axes)
            held = found.setdefault(rule["id"], {})
            for (kind, item_id), change in by_key.items():
                if (kind, item_id) == ("rule", rule["id"]) or (kind != "rule" and item_id.partition("/")[0] in names):
                    held[change] = None
    return {rule: tuple(held) for rule, held in found.items()}


def _rules(content: dict[str, Any]) -> list[dict[str, Any]]:
    return [*content["rules"], *content["plan"]["rules"]]

"""The cases by which rule sets are compared: worked cases, schedules, and what others have published, with every variation."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from checker.dev.cases import published, scenarios
from checker.dev.cases.judging import check
from checker.dev.rulebook.lint_notices import FEWEST_CASES

HEADLINE = "(headline)"
BASE = "iec"


class NamedRequest(NamedTuple):
    """A request by name. `boundary` says which answer was moved; it is empty for the case as it stands."""

    id: str
    request: dict[str, Any]
    boundary: str = ""

    @property
    def about(self) -> str:
        return f"{self.id}{f' with {self.boundary}' if self.boundary else ''}"


def every(top: Path, pack: str) -> list[NamedRequest]:
    """All cases of the project at `top` that the rule set `pack` judges; while it has hardly any, those of base too."""
    found = [NamedRequest(case.id, case.request) for case in scenarios.every(top / "scenarios")]
    found += [
        NamedRequest(f"plan {case.id}", case.request) for case in scenarios.every_plan(top / "scenarios" / "plans")
    ]
    found += _published(top / "scenarios" / "published")
    own = [case for case in found if case.request["pack"] == pack]
    if len(own) >= FEWEST_CASES or pack == BASE:
        return own
    return [
        *own,
        *(case._replace(id=f"{case.id} (a case of {BASE})") for case in found if case.request["pack"] == BASE),
    ]


def _published(folder: Path) -> Iterator[NamedRequest]:
    data = published.held(folder)
    for example in (*data.get("example", ()), *data.get("wrong", ())):
        claims = (claim for kind in ("quantity", "finding", "differs") for claim in example.get(kind, ()))
        varied = {json.dumps(more, default=str): more for more in ({}, *(claim.get("with", {}) for claim in claims))}
        for more in varied.values():
            answers = {k: str(v) if isinstance(v, Decimal) else v for k, v in (example["answers"] | more).items()}
            request = {"pack": example.get("pack", "iec"), "as_of": published.AS_OF, "answers": answers}
            yield NamedRequest(
                f"published {example['id']}", request, ", ".join(f"{name} = {v}" for name, v in more.items())
            )


class Judged(NamedTuple):
    """What a rule set makes of a case: every rule's outcome and the headline, and the sides each rule compares."""

    outcomes: dict[str, str]
    compared: dict[str, tuple[dict[str, Any], dict[str, Any]]]


def judged(case: NamedRequest, content: dict[str, Any], as_of: str | None) -> Judged:
    """By the rule set `content`, which is installed; an answer that it does not take leaves no outcome."""
    about = {"pack": content["pack"]["id"], "edition": content["pack"]["edition"]}
    reply = check({**case.request, **about, "as_of": as_of or case.request["as_of"]})
    if "error" in reply:
        return Judged({}, {})
    found = reply["findings"]
    compared = {f["rule"]: (f["left"], f["right"]) for f in found if f["left"] and f["right"]}
    return Judged({f["rule"]: f["outcome"] for f in found} | {HEADLINE: reply["headline"]}, compared)

"""Scenarios: worked cases of our own invention, documentation and tests at once."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from checker.core.api import handle
from checker.dev import ROOT
from checker.terminal.display import Look
from checker.terminal.markdown import render
from checker.terminal.report import build
from checker.terminal.schedule import build as build_plan

FOLDER = ROOT / "scenarios"


def read_toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)


class Scenario(NamedTuple):
    id: str
    title: str
    story: str
    request: dict[str, Any]
    expect: dict[str, Any]

    @property
    def request_json(self) -> str:
        return json.dumps(self.request, ensure_ascii=False)


def read(path: Path) -> Scenario:
    """One scenario file. Decimals travel as text, so that 34.04 stays 34.04."""
    held = read_toml(path)
    answers = {name: str(value) if isinstance(value, Decimal) else value for name, value in held["answers"].items()}
    request = {
        "format": 1,
        "ask": "check",
        "pack": held["pack"],
        "edition": held.get("edition"),
        "as_of": held["as_of"],
        "answers": answers,
        "confirmed": held.get("confirmed", []),
    }
    return Scenario(path.stem, held["title"], held["story"].strip(), request, held["expect"])


def read_plan(path: Path) -> Scenario:
    """One scenario of a schedule: as `read`, with the plan of the file."""
    case = read(path)
    plan = read_toml(path)["plan"]
    return case._replace(request={**case.request, "ask": "plan", "plan": _as_sent(plan)})


def _as_sent(value: Any) -> Any:
    """A value of a plan as a request holds it: decimals as text."""
    if isinstance(value, dict):
        return {key: _as_sent(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_as_sent(inner) for inner in value]
    return str(value) if isinstance(value, Decimal) else value


def every_plan(folder: Path = FOLDER / "plans") -> list[Scenario]:
    return [read_plan(path) for path in sorted(folder.glob("*.toml"))]


def every(folder: Path = FOLDER) -> list[Scenario]:
    return [read(path) for path in sorted(folder.glob("*.toml"))]


def pages() -> Iterable[tuple[str, str]]:
    """A page per scenario with its real outcome, and a list of them."""
    listed = []
    for scenario in every():
        reply = json.loads(handle(scenario.request_json))
        listed.append((scenario, reply))
        answers = "\n".join(
            f"| [`{name}`](../{scenario.request['pack']}/questions.md#{name}) | {value} |"
            for name, value in reply["answers"].items()
        )
        report = render(build(reply), Look()).removeprefix("# ")
        yield (
            f"scenarios/{scenario.id}.md",
            f"# {scenario.title}\n\n{scenario.story}\n\n## Outcome: {report}\n\n"
            f"## The answers\n\n| Question | Answer |\n| - | - |\n{answers}\n",
        )
    planned = []
    for scenario in every_plan():
        reply = json.loads(handle(scenario.request_json))
        planned.append(
            f"| [{scenario.title}](plan-{scenario.id}.md) | {scenario.request['pack']} | {reply['headline']} |"
        )
        report = render(build_plan(reply), Look()).removeprefix("# ")
        yield (
            f"scenarios/plan-{scenario.id}.md",
            f"# {scenario.title}\n\n{scenario.story}\n\n## Outcome: {report}\n",
        )
    rows = "\n".join(f"| [{s.title}]({s.id}.md) | {s.request['pack']} | {r['headline']} |" for s, r in listed)
    yield (
        "scenarios/index.md",
        "# Scenarios\n\nInvented cases, each with what the checker really says.\n\n"
        f"| Case | Rule set | Headline |\n| - | - | - |\n{rows}\n\n"
        f"## Schedules\n\n| Case | Rule set | Headline |\n| - | - | - |\n" + "\n".join(planned) + "\n",
    )

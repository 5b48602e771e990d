"""The pages of the scenarios: each worked case with its answers and the outcome that the checker gives now."""

from __future__ import annotations

import json
from collections.abc import Iterable
from html import escape

from checker.core.api import handle
from checker.dev.cases import scenarios
from checker.dev.site import check_page
from checker.dev.site.home_page import fragment
from checker.terminal.display import Display
from checker.terminal.markdown import render
from checker.terminal.report import build
from checker.terminal.schedule import build as build_plan


def _open(address: str) -> str:
    """The button that opens the check page filled in. Raw HTML: what follows the # is no heading that MkDocs could find."""
    return f'<p><a class="md-button" href="../../../check/{escape(address)}">Open in the checker</a></p>'


def pages() -> Iterable[tuple[str, str]]:
    """A page per scenario with its real outcome, and a list of them."""
    listed = []
    day = check_page.build_day()
    names = list(check_page.rule_sets(json.loads(handle('{"format": 1, "ask": "describe"}'))["packs"], day))
    for scenario in scenarios.every():
        reply = json.loads(handle(scenario.request_json))
        listed.append((scenario, reply))
        answers = "\n".join(
            f"| [`{name}`](../{scenario.request['pack']}/questions.md#{name}) | {value} |"
            for name, value in reply["answers"].items()
        )
        report = render(build(reply), Display()).removeprefix("# ")
        yield (
            f"scenarios/{scenario.id}.md",
            f"# {scenario.title}\n\n{scenario.story}\n\n{_open(fragment(scenario.request, reply, names))}\n\n## Outcome: {report}\n\n"
            f"## The answers\n\n| Question | Answer |\n| - | - |\n{answers}\n",
        )
    planned = []
    for scenario in scenarios.every_plan():
        reply = json.loads(handle(scenario.request_json))
        planned.append(
            f"| [{scenario.title}](plan-{scenario.id}.md) | {scenario.request['pack']} | {reply['headline']} |"
        )
        report = render(build_plan(reply), Display()).removeprefix("# ")
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

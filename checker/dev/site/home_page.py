"""What the home page shows of the checker itself: a finished verdict, and examples that open the checker filled in.

Both are made from what the checker says of the scenarios when the site is built. `check_page` writes them into
`checker/web/generated/home.html`, which `checker/web/home.html` puts in the place of a mark in `docs/index.md`.
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from checker.core.api import handle
from checker.core.messages import with_unit
from checker.dev.cases import scenarios
from checker.dev.site.plain_page import WORDS
from checker.dev.site.templates import render

# One for each headline that ends a check, from four parts of the world. The first is shown finished.
EXAMPLES = ("gb-airing-cupboard", "us-water-heater-on-12-awg", "au-homeowner-garden-lights", "board-with-scorch-marks")
_LINES = 3


def home(names: list[str]) -> str:
    """The HTML. `names`: the rule sets as they are chosen on the check page."""
    held = {case.id: case for case in scenarios.every()}
    judged = [(held[name], _judged(held[name])) for name in EXAMPLES]
    examples = [
        {
            "href": f"check/{fragment(case.request, reply, names)}",
            "word": WORDS[f"headline.{reply['headline']}"],
            "headline": reply["headline"],
            "title": case.title,
            "region": reply["pack"]["title"],
        }
        for case, reply in judged
    ]
    case, reply = judged[0]
    verdict = {
        "title": case.title,
        "page": f"reference/scenarios/{case.id}/",
        "headline": reply["headline"],
        "text": reply["headline_text"],
        "who": reply["who"]["text"],
        "lines": _tightest(reply),
    }
    return render("home.html", verdict=verdict, examples=examples)


def fragment(request: dict[str, Any], reply: dict[str, Any], names: list[str]) -> str:
    """The part of the check page's address after the `#` that holds these answers, as `state.mjs` reads it."""
    pack, edition = reply["pack"]["id"], reply["pack"]["edition"]
    whole = f"{pack}@{edition}"
    fields = [("pack", whole if whole in names else pack)]
    for name, value in request["answers"].items():
        fields.append((f"a.{name}", str(value).lower() if isinstance(value, bool) else str(value)))
    fields += [("ok", cell) for cell in request.get("confirmed", [])]
    # The report at once, also where something is left open: that is what the case shows.
    return f"#{urlencode([*fields, ('at', 'report')])}"


def _judged(case: scenarios.Scenario) -> dict[str, Any]:
    return json.loads(handle(case.request_json))


def _tightest(reply: dict[str, Any]) -> list[dict[str, Any]]:
    """The comparisons with the least to spare, each with how much of its limit is used."""
    compared = [f for f in reply["findings"] if f["outcome"] == "passed" and f["stage"] in _SIZES and _is_upper(f)]
    lines = []
    for finding in sorted(compared, key=lambda f: (Decimal(f["margin_percent"]), f["rule"]))[:_LINES]:
        left, right = finding["left"], finding["right"]
        lines.append(
            {
                "title": finding["title"],
                "value": with_unit(left["value"], left["unit"]),
                "limit": with_unit(right["value"], right["unit"]),
                "used": int(100 * Decimal(left["exact"]) / Decimal(right["exact"])),
            }
        )
    return lines


_SIZES = ("device", "breaker", "cable", "drop", "links")


def _is_upper(finding: dict[str, Any]) -> bool:
    """Whether it holds a figure against the most it may be."""
    return finding["relation"] == "<=" and finding["margin_percent"] is not None

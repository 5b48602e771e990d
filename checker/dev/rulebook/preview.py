"""How much of a rule set is known well, and from which part on it may go without the label of a preview."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

# Agreed, not derived: below it a rule set counts as begun. Every rule set that was judged complete stands above it.
LEAST_KNOWN_PERCENT = 25
KNOWN = ("opened", "two-sources", "derived")


def standing(made: dict[str, Any]) -> Iterator[str]:
    """The status of every rule, figure and cell of a compiled or described pack."""
    for entry in [*made["rules"], *made["parameters"], *(c for t in made["tables"] for c in t["cells"])]:
        yield entry["status"]


def why_preview(made: dict[str, Any]) -> str | None:
    """Why this rule set is a preview, for the reader; None when enough of it is known."""
    counts = Counter(standing(made))
    known, whole = sum(counts[status] for status in KNOWN), counts.total()
    if known * 100 >= LEAST_KNOWN_PERCENT * whole:
        return None
    return (
        f"Only {known} of {whole} rules, figures and table cells of this rule set were read, seen in two places or derived. "
        f"Below {LEAST_KNOWN_PERCENT} of 100 a rule set counts as just begun."
    )

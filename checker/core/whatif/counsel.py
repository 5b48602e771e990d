"""What the report adds to a verdict: what would make it fit, and how far each number is from changing it."""

from __future__ import annotations

from checker.core.findings import Finding
from checker.core.whatif.changes import Changes
from checker.core.whatif.flips import Flips
from checker.core.whatif.trials import Bench, Trial


def counsel(findings: list[Finding], trial: Trial, bench: Bench) -> dict[str, list[dict]]:
    """`changes` and `flips` of a case, as data. `findings` as judged, those decided for every answer included."""
    judged = bench.depending(findings, trial)
    return {"changes": Changes(trial, bench, judged).all(), "flips": Flips(trial, bench, judged).all()}

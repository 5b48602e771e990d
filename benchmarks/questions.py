"""How many questions a run asks, per rule set and headline, against asking everything.

    python benchmarks/questions.py

Every scenario is answered question by question as its file answers; what it does not say is not known. `clear` is the
question after which the headline cannot get better any more, where that is so before the end.
"""

from __future__ import annotations

import json
import statistics
import sys
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from checker.core.api import handle  # noqa: E402
from checker.core.verdict import HEADLINES  # noqa: E402


def ask(case: dict[str, Any], kind: str, answers: dict[str, Any]) -> dict[str, Any]:
    return json.loads(handle(json.dumps(case | {"ask": kind, "answers": answers, "counsel": False})))


def run(case: dict[str, Any], answer: Callable[[str], Any]) -> tuple[dict[str, Any], int | None, int]:
    """The answers given, after how many of them the headline was clear (or None), and the first bound."""
    given: dict[str, Any] = {}
    clear, bound = None, None
    while True:
        reply = ask(case, "next", given)
        bound = reply["remaining"]["at_most"] if bound is None else bound
        if clear is None and reply["settled"]["headline"]:
            clear = len(given)
        if reply["question"] is None:
            return given, clear, bound
        given[reply["question"]["id"]] = answer(reply["question"]["id"])


def main() -> int:
    from tests.runtimes import batch

    cases = [json.loads(text) for name, text in batch.scenarios().items() if name.endswith(": check")]
    counts: dict[tuple[str, str], list[tuple[int, int | None]]] = defaultdict(list)
    bounds: dict[str, int] = {}
    for case in cases:
        told = case["answers"]
        # A pack may be named with an edition; what is asked first does not hang on the case.
        given, clear, bounds[case["pack"]] = run(case, lambda name, told=told: told.get(name, "dont-know"))
        counts[case["pack"], ask(case, "check", given)["headline"]].append((len(given), clear))
    everything = {
        pack: sum("default" not in q or q["default"] is None for q in _described(pack)["questions"]) for pack in bounds
    }
    print(
        f"{'pack':6}{'headline':12}{'runs':>6}{'mean':>8}{'worst':>7}{'clear after':>13}{'everything':>12}{'share':>8}"
    )
    for pack in sorted(bounds):
        for headline in HEADLINES:
            runs = counts.get((pack, headline))
            if runs:
                asked = [number for number, _ in runs]
                clear = [number for _, number in runs if number is not None]
                mean = statistics.mean(asked)
                after = f"{statistics.mean(clear):.1f}" if clear else "-"
                print(
                    f"{pack:6}{headline:12}{len(runs):6}{mean:8.1f}{max(asked):7}{after:>13}"
                    f"{everything[pack]:12}{mean / everything[pack]:8.0%}"
                )
        print(f"{pack:6}first bound: at most {bounds[pack]}")
    return 0


def _described(pack: str) -> dict[str, Any]:
    return json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))


if __name__ == "__main__":
    sys.exit(main())

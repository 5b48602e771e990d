"""How many questions a run asks, per rule set and headline, against asking everything.

    python benchmarks/questions.py

Every scenario is answered question by question as its file answers, under every rule set and not only its own; what it
does not say, or says in a way this rule set does not take, is not known. `clear` is the question after which the headline
cannot get better any more, where that is so before the end.
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

from checker.core import pack as packs  # noqa: E402
from checker.core.answers import check_answers  # noqa: E402
from checker.core.api import handle  # noqa: E402
from checker.core.errors import BadRequest  # noqa: E402
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
    print(
        f"{'pack':6}{'headline':12}{'runs':>6}{'mean':>8}{'worst':>7}{'clear after':>13}{'everything':>12}{'share':>8}"
    )
    for pack in dict.fromkeys(held["id"] for held in described()["packs"]):
        questions = described(pack)["questions"]
        everything = sum(q.get("default") is None for q in questions)
        counts: dict[str, list[tuple[int, int | None]]] = defaultdict(list)
        for case in cases:
            own = {"format": 1, "pack": pack, "edition": None, "as_of": case["as_of"]}
            if case["pack"] == pack:
                own["edition"] = case.get("edition")
            told = taken(packs.choose(pack, own["edition"], own["as_of"]), case["answers"])
            given, clear, bound = run(own, lambda name, told=told: told.get(name, "dont-know"))
            counts[ask(own, "check", given)["headline"]].append((len(given), clear))
        for headline in filter(counts.get, HEADLINES):
            asked = [number for number, _ in counts[headline]]
            clear = [number for _, number in counts[headline] if number is not None]
            mean = statistics.mean(asked)
            after = f"{statistics.mean(clear):.1f}" if clear else "-"
            print(
                f"{pack:6}{headline:12}{len(asked):6}{mean:8.1f}{max(asked):7}{after:>13}{everything:12}{mean / everything:8.0%}"
            )
        print(f"{pack:6}first bound: at most {bound}", flush=True)
    return 0


def taken(pack: packs.Pack, answers: dict[str, Any]) -> dict[str, Any]:
    """Those of `answers` that the rule set takes."""

    def takes(name: str) -> bool:
        try:
            return name in check_answers({name: answers[name]}, pack.questions)
        except BadRequest:
            return False

    return {name: answers[name] for name in filter(takes, answers)}


def described(pack: str | None = None) -> dict[str, Any]:
    return json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))


if __name__ == "__main__":
    sys.exit(main())

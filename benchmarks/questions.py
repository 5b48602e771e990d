"""How many questions a run asks, per rule set and headline, against asking everything.

    python benchmarks/questions.py

Every scenario is answered question by question as its file answers, under every rule set and not only its own; what it
does not say, or says in a way this rule set does not take, is not known. `clear` is the question after which the headline
cannot get better any more, where that is so before the end.

First comes the short run of three invented jobs of a licensed electrician: a water heater, LED lamps, a pool pump. `sizing`
counts the answers beside danger and law; `ticks` the looks that the short verdict asks for, each of which may confirm
several things; `taps` all of them with one Next for a screen that ends in a number; `words` what stands on the screens.
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

from checker.cli.short_run import looks, next_question  # noqa: E402
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


SOUND: dict[str, Any] = {
    "worker": "licensed", "premises": "dwelling", "place": "england", "isolation": "whole-board", "lock_off": True,
    "tester": "two-pole", "tester_proved": True, "other_supply": "none", "board_condition": "sound", "earth_present": True,
    "life_safety_load": False, "conductor_metal": "copper", "board_maker_accepts": True, "measured_loop_ohm": "not-stated",
    "skilled_tester": True, "work_scope": "existing-circuit", "work_place": "elsewhere", "load_current_a": "not-stated",
    "device_resistive_a": 16, "permit": "issued", "device_listed": True, "working_space": True, "motor_overload": True,
    "electronic_drive": False, "owner_allowed": True, "rcd_type": "a",
}  # fmt: skip
JOBS: dict[str, dict[str, Any]] = {
    "heater": {
        "load_kind": "water-heater", "load_power_w": 3000, "device_kind": "time-switch", "breaker_rating_a": 16,
        "cable_size": "2.5 mm2", "protective_size": "1.5 mm2",
    },
    "led": {
        "load_kind": "led-lamps", "lamp_count": 12, "lamp_power_w": 10, "load_power_w": 120, "device_kind": "time-switch",
        "device_led_w": 600, "breaker_rating_a": 6, "cable_size": "1.5 mm2", "protective_size": "1 mm2",
    },
    "pump": {
        "load_kind": "pool-pump", "load_current_a": "5.5", "device_kind": "time-switch-and-contactor", "motor_output_hp": 1,
        "contactor_resistive_a": 25, "contactor_motor_a": 9, "breaker_rating_a": 20, "cable_size": "2.5 mm2",
        "protective_size": "2.5 mm2", "location": "pool",
    },
}  # fmt: skip
# What is otherwise there: in us sizes in AWG, a rated current counted at 125 %, GFCI at pools; in gb flat cable.
OTHERWISE: dict[str, dict[str, dict[str, Any]]] = {
    "us": {
        "heater": {
            "breaker_rating_a": 20, "device_resistive_a": 40, "cable_size": "12 AWG", "protective_size": "12 AWG",
            "place": "other",
        },
        "led": {"breaker_rating_a": 15, "cable_size": "14 AWG", "protective_size": "14 AWG", "place": "other"},
        "pump": {
            "cable_size": "12 AWG", "protective_size": "12 AWG", "rcd": "gfci", "contactor_motor_hp": 2, "pool_distance_m": 4,
            "pool_barrier": False, "place": "other",
        },
    },
    "gb": {"pump": {"protective_size": "1.5 mm2"}},
}  # fmt: skip


def short_run(pack: str, told: dict[str, Any]) -> dict[str, Any]:
    """The short run of one job, as page and terminal walk it: how much is answered, tapped and read."""
    described_pack = described(pack)
    questions = {question["id"]: question for question in described_pack["questions"]}
    case = {"format": 1, "pack": pack, "edition": None, "as_of": "2026-11-25", "suppose": True}
    given: dict[str, Any] = {}
    while True:
        reply = ask(case, "next", given)
        name = next_question(reply["supposed"]["waits_for"], given, questions)
        if name is None or reply["settled"]["headline"]:
            break
        given[name] = told.get(name, "dont-know")
    lines = reply["supposed"]["lines"]
    looked = looks(lines, questions)
    shown = [questions[name] for name in given]
    last = {question["screen"]: question for question in shown}
    nexts = sum(question["kind"] == "number" for question in last.values())
    parts = {stage["id"]: stage["part"] for stage in described_pack["pack"]["stages"]}
    titles = {screen["id"]: screen["title"] for screen in described_pack["screens"]}
    words = sum(map(spoken, shown)) + sum(len(titles[screen].split()) + 8 for screen in last)
    return {
        "answers": len(given),
        "sizing": sum(parts[question["stage"]] == "sizing" for question in shown),
        "screens": len(last),
        "supposed": reply["supposed"]["headline"],
        "lines": len(lines),
        "ticks": len(looked),
        "taps": 2 + len(given) + nexts + len(looked),
        "words": words,
    }


def spoken(question: dict[str, Any]) -> int:
    """The words of a question as it stands on a screen, its help folded."""
    texts = [question["text"], "Help", "I don't know", *(choice["label"] for choice in question["choices"] or ())]
    texts += ["Yes No"] if question["kind"] == "yes-no" else []
    texts += ["The label does not say"] if question["not_stated"] else []
    return sum(len(text.split()) for text in texts)


def short_runs() -> None:
    keys = ("answers", "sizing", "screens", "lines", "ticks", "taps", "words")
    print(f"{'pack':6}{'job':8}" + "".join(f"{key:>9}" for key in keys) + "  supposed")
    for pack in dict.fromkeys(held["id"] for held in described()["packs"]):
        for job, about in JOBS.items():
            run_ = short_run(pack, SOUND | about | OTHERWISE.get(pack, {}).get(job, {}))
            print(f"{pack:6}{job:8}" + "".join(f"{run_[key]:9}" for key in keys) + f"  {run_['supposed']}", flush=True)


def main() -> int:
    from tests.runtimes import batch

    short_runs()
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

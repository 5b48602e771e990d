"""How much of the everyday is decided by the figures that the rule sets hold, without a standard on the desk.

    python benchmarks/known.py            the goals, and where they stand
    python benchmarks/known.py --open     what keeps each open job from an answer

The jobs are in `known.toml`. `tests/trade/test_everyday_jobs.py` holds the goals.
"""

from __future__ import annotations

import json
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from checker import packs  # noqa: E402
from checker.core.api import handle  # noqa: E402

AS_OF = "2026-11-30"
JOBS = tomllib.loads((ROOT / "benchmarks" / "known.toml").read_text("utf-8"))
PACKS = tuple(JOBS["laid"])
FIRM = ("opened", "two-sources", "derived", "one-source", "cross-checked", "practice")
SEEN = ("opened", "two-sources", "one-source")  # somebody saw it in print


class Job(NamedTuple):
    name: str
    laid: str
    answers: dict[str, Any]


@cache
def ask(kind: str, pack: str, answers: str = "{}") -> dict[str, Any]:
    request = {"format": 1, "ask": kind, "pack": pack, "as_of": AS_OF, "answers": json.loads(answers), "counsel": False}
    reply = json.loads(handle(json.dumps(request)))
    assert "error" not in reply, reply
    return reply


def check(pack: str, answers: dict[str, Any]) -> dict[str, Any]:
    return ask("check", pack, json.dumps(answers))


def everyday(pack: str) -> Iterator[Job]:
    """Each job with every answer, in the terms of this rule set: what the job does not say is as usual."""
    questions = {question["id"]: question for question in ask("describe", pack)["questions"]}
    usual = {name: held["usual"] for name, held in questions.items() if held["usual"]}
    left_out = {name: "not-stated" for name, held in questions.items() if held["not_stated"]}
    supposed = {name: held["value"] for name, held in usual.items() if "value" in held}
    sizes = JOBS["sizes"].get(pack, JOBS["sizes"]["all"])
    for job in JOBS["job"]:
        for laid, how in JOBS["laid"][pack].items():
            told = {
                **JOBS["said"],
                **JOBS["there"].get(pack, {}),
                **sizes[job["size"]],
                **job["answers"],
                **job.get("there", {}).get(pack, {}),
                **how,
            }
            answers = left_out | supposed | told
            same = {name: answers[held["same_as"]] for name, held in usual.items() if held.get("same_as") in answers}
            answers = {name: value for name, value in (same | answers).items() if name in questions}
            yield Job(job["name"], laid, answers)


def reached(pack: str) -> dict[str, str]:
    """The cells that an everyday job can come upon, with their status: every way of laying, cables up to 6 mm²."""
    choices = {
        question["id"]: [choice["value"] for choice in question["choices"]]
        for question in ask("describe", pack)["questions"]
    }
    sizes = {"us": ("14 AWG", "12 AWG", "10 AWG")}.get(pack, ("1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2"))
    found: dict[str, str] = {}
    for job in everyday(pack):
        if job.laid == "clipped":
            for method in choices["method"]:
                for size in sizes:
                    report = check(pack, job.answers | {"method": method, "cable_size": size})
                    for finding in report["findings"]:
                        found |= {cell["id"]: cell["status"] for cell in finding["cells"]}
    return found


def bounds(pack: str) -> int:
    """How many cells of the rule set are lower bounds that the build worked out."""
    (name,) = [name for name in packs.names() if name.startswith(f"{pack}@")][-1:]
    content = json.loads(packs.read(name))["content"]
    return sum("most" in cell for table in content["tables"] for cell in table["cells"])


def open_reasons(report: dict[str, Any]) -> str:
    """What keeps the sizing from an answer, by rule."""
    findings = {finding["rule"]: finding for finding in report["findings"]}
    told = {rule: [f"{one['kind']} {one['id']}" for one in findings[rule]["reasons"]] for rule in findings}
    return "; ".join(f"{rule}: {', '.join(told[rule])}" for rule in report["sizing"]["because"])


def main() -> int:
    print(f"{len(JOBS['job'])} everyday jobs, by how the cable lies; cells that they can reach; bounds")
    for pack in PACKS:
        fits: dict[str, int] = dict.fromkeys(JOBS["laid"][pack], 0)
        figures: list[str] = []
        for job in everyday(pack):
            report = check(pack, job.answers)
            fits[job.laid] += report["sizing"]["outcome"] == "fits"
            figures += [cell["status"] for finding in report["findings"] for cell in finding["cells"]]
            if "--open" in sys.argv and report["sizing"]["outcome"] != "fits":
                print(f"  {pack} {job.laid}: {job.name}: {report['sizing']['outcome']}: {open_reasons(report)}")
        said = ", ".join(f"{laid} {count}" for laid, count in fits.items())
        statuses = list(reached(pack).values())
        firm = sum(status in FIRM for status in statuses)
        seen = sum(status in SEEN for status in figures) / len(figures)
        print(
            f"{pack:4}fits: {said}; {firm} of {len(statuses)} cells firm; {bounds(pack)} bounds; "
            f"{seen:.0%} of a verdict's figures seen in print",
            flush=True,
        )
    from tests.tables.heat_balance import comparisons, rounded_down

    held = list(comparisons())
    above = sum(rounded_down(one.bound, 0.5) > one.printed for one in held)
    print(f"derived bounds above a printed figure: {above} of {len(held)} comparisons")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""At every row of a table, at every limit, and a step to each side: a worse number never makes a rule come out better.

With figures as they are, so a row that is only recalled between firm ones shows here as well. What may come out better
for a worse answer is listed with its reason in `tests/proofs/exceptions.toml`, where the same is proved for all answers.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal, localcontext
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from checker.core import pack as packs
from checker.core.findings import CANNOT_TELL, FAILED, Gate
from checker.core.values import CONTEXT, ReasonKind
from checker.core.whatif import any_answer
from checker.core.whatif.flips import Flips
from checker.core.whatif.trials import Bench, Judged, Trial
from checker.dev.cases import scenarios
from tests.core import asking
from tests.core.test_nothing_unasked import as_read

PROOFS = Path(__file__).parents[1] / "proofs"


def listed(name: str) -> list[dict[str, Any]]:
    return tomllib.loads((PROOFS / f"{name}.toml").read_text(encoding="utf-8"))["steps"]


# Which way a number gets better, for every number that a table or a limit reads.
BETTER = {step["question"]: step["way"] for step in listed("steps")} | {
    "board_conditional_ka": "up", "board_diversity": "up", "contactor_motor_hp": "up", "contactor_voltage_v": "up",
    "device_ballast_a": "up", "device_inrush_a": "up", "device_motor_hp": "up", "device_terminal_max_mm2": "up",
    "device_tungsten_a": "up", "drivers_per_c16": "up", "efficiency": "up", "enclosure_space_in3": "up",
    "load_breaker_marked_a": "up", "pool_distance_m": "up", "power_factor": "up",
    "current_carrying_conductors": "down", "device_terminal_min_mm2": "down", "enclosure_conductors": "down",
    "motor_output_hp": "down", "rcd_rating_ma": "down", "run_hours": "down", "starts_per_hour": "down",
}  # fmt: skip
NEITHER_WAY = {
    "breaker_rating_a": "a larger breaker carries more and protects less",
    "clock_voltage_v": "it has to be that of the supply",
    "code_current_a": "one far above every table contradicts the rest",
    "contactor_coil_a": "a coil that takes almost nothing can be held closed by a leak, one that takes much loads the clock",
    "contactor_coil_v": "it has to be that of the supply",
    "device_torque_nm": "a screw is tightened as printed, neither more nor less",
    "device_voltage_v": "of a clock it has to be that of the supply",
    "load_voltage_v": "it has to be that of the supply",
    "supply_voltage_v": "more of it drives less current into a power and more into a resistance",
    "tank_litres": "for the schedule alone", "water_cold_c": "for the schedule alone", "water_hot_c": "for the schedule alone",
    "terminal_c": "a hotter terminal takes more current, and asks for wires that stand it",
    "terminal_screw_mm": "how tight, not whether",
    "third_harmonic_percent": "above 45 % the standard's own table (IEC 60364-5-52, E.52.1) lets the neutral carry more than just below",
}  # fmt: skip
EXCEPTIONS = {
    (entry["question"], rule)
    for entry in listed("exceptions")
    for rule in [*entry.get("loses", []), *entry.get("fails", [])]
}
EXCEPTIONS.add(("motor_output_hp", "motor-breaker"))  # us: NFPA 70, 430.52 bounds the breaker by the motor
CASES = scenarios.every()


def test_each_number_gets_better_one_way_or_says_why_neither():
    asked = {q["id"] for pack in asking.PACKS for q in asking.contents()[pack]["questions"] if q["kind"] == "number"}
    assert asked <= BETTER.keys() | NEITHER_WAY.keys()
    assert not BETTER.keys() & NEITHER_WAY.keys()


@cache
def rows(pack: packs.Pack, name: str) -> frozenset[Decimal]:
    """Every row of every table of the pack on the axis of this name."""
    keys = [axis.keys for table in pack.tables.values() for axis in table.axes if axis.name == name and axis.number]
    return frozenset(row for held in keys for row in held)  # type: ignore[misc]  # numbers


def seams(trial: Trial, flips: Flips, name: str) -> list[Decimal]:
    """The answer, the ends of the question, every row and every limit on the way, and the next number on each side."""
    question, now = trial.pack.questions[name], trial.answers[name]
    step, low, high = (Decimal(question[key]) for key in ("step", "minimum", "maximum"))
    assert isinstance(now, Decimal)
    limits = [Decimal(flip[end]) for flip in flips.both_ways(name, now) for end in ("holds_to", "changes_at")]
    near = {
        at + side for at in (now, low, high, *rows(trial.pack, name), *limits) for side in (-step, Decimal(0), step)
    }
    return sorted(value for value in near if low <= value <= high)


def rank(judged: Judged) -> int:
    return {FAILED: 0, CANNOT_TELL: 1}.get(judged.finding.outcome, 2)


def at_odds(judged: Judged) -> bool:
    """Two answers that cannot both be right show a slip of the pen, not a worse case."""
    return any(reason.kind is ReasonKind.CONTRADICTION for reason in judged.finding.reasons)


@pytest.mark.sampled(one_in=8)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_worse_by_a_step_never_fits_better(case):
    gate = Gate(str(case.request["as_of"]), frozenset(case.request.get("confirmed", ())))
    pack = packs.choose(case.request["pack"], case.request.get("edition"), gate.as_of)
    with localcontext(CONTEXT):
        trial, bench = Trial(pack, as_read(pack, case.request["answers"])), Bench(gate)
        judged = bench.depending(any_answer.judge(trial, bench), trial)
        flips = Flips(trial, bench, judged)
        for name in BETTER:
            if isinstance(trial.answers.get(name), Decimal):
                assert_worse_never_fits_better(name, seams(trial, flips, name), trial, bench, judged)


def assert_worse_never_fits_better(
    name: str, numbers: list[Decimal], trial: Trial, bench: Bench, judged: dict[str, Judged]
) -> None:
    concerned = {rule: held for rule, held in judged.items() if name in held.names and (name, rule) not in EXCEPTIONS}
    before = dict.fromkeys(concerned, 2)
    for value in numbers if BETTER[name] == "down" else numbers[::-1]:
        now = bench.again(concerned, trial.with_answers({name: value}), frozenset((name,)))
        ranks = {rule: rank(held) for rule, held in now.items() if not at_odds(held)}
        better = [rule for rule, at in ranks.items() if at > before[rule]]
        assert not better, f"{name} = {value} makes {better} come out better"
        before |= ranks

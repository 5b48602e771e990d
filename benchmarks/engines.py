"""The core against the same rules by hand and in general-purpose rule engines: same cases, one run, same outcomes.

    python benchmarks/engines.py

`RULES` are judged for a resistive load behind a time switch, everything known. By hand means: straight-line Decimal
Python that works out the quantities and compares, with no trace of cells, no doubts and no sentences. The engines get
the quantities from that code for nothing and evaluate the rules' own expressions, parsed beforehand. The core does
everything: doubts, the cells each finding rests on, and the gate on weak figures. Read the ratios, not the rates.
"""

from __future__ import annotations

import itertools
import json
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from checker.core import pack as packs  # noqa: E402
from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, weigh  # noqa: E402
from checker.core.situation import Reader, Situation  # noqa: E402
from checker.core.values import CONTEXT  # noqa: E402

AS_OF = "2026-11-25"
ROUNDS = 12
NOTHING: frozenset[str] = frozenset()
RULES = (
    "breaker-carries-load", "breaker-within-cable", "load-within-cable", "thermal-rating", "contact-rating-serves-load",
    "breaker-within-device", "breaking-capacity", "fault-within-device", "contact-voltage", "clock-voltage",
    "load-made-for-voltage", "smallest-size", "usual-smallest-size", "voltage-drop-within-limit", "terminal-takes-cable",
    "terminal-takes-link", "links-carry-breaker", "room-on-rail", "board-ambient", "neutral-same-rcd",
    "no-shared-neutral", "rcd-wet-places",
)  # fmt: skip
D = Decimal


def cases() -> list[dict[str, Any]]:
    """Kettles of every strength on every cable: some fit, most do not."""
    fixed = {
        "load_kind": "heater", "load_current_a": "not-stated", "load_voltage_v": D(230), "circuit_dedicated": True,
        "conductor_metal": "copper", "cable_insulation": "pvc", "method": "C", "insulation_length_mm": D(0),
        "device_kind": "time-switch", "device_voltage_v": D(250), "clock_voltage_v": D(230),
        "contactor_voltage_v": "not-stated", "device_backup_a": "not-stated", "device_short_circuit_ka": D(6),
        "breaker_capacity_ka": D(6), "upstream_drop_percent": D("0.5"), "device_terminal_min_mm2": D(1),
        "device_terminal_max_mm2": D(6), "device_modules": D(2), "device_ambient_max_c": "not-stated",
        "rcd": "30-ma", "rcd_rating_ma": "not-stated", "location": "outdoors", "supply_voltage_v": D(230),
        "phases": "single", "loaded_conductors": "two", "breaker_kind": "breaker", "other_load_a": "not-stated",
    }  # fmt: skip
    fixed.pop("rcd_rating_ma")
    varied = itertools.product(
        (D(1500), D(3000), D(5000)), (D(10), D(16), D(20)), ("1.5 mm2", "2.5 mm2", "6 mm2"),
        (D(12), D(70)), ((D(30), D(1), D(3)), (D(45), D(3), D(9))), ((D(16), D(3)), (D(20), D(1))),
    )  # fmt: skip
    made = []
    for power, rating, size, length, (warm, group, fault), (device, spare) in varied:
        made.append(
            fixed
            | {
                "load_power_w": power, "breaker_rating_a": rating, "cable_size": size, "link_size": size,
                "run_length_m": length, "ambient_c": warm, "board_ambient_c": warm, "grouped_circuits": group,
                "fault_current_ka": fault, "device_resistive_a": device, "spare_modules": spare,
                "neutral_bar": "same-rcd" if spare > 1 else "other-rcd",
            }
        )  # fmt: skip
    return made


class ByHand:
    """The same rules as anybody would write them down for one country."""

    def __init__(self, pack: packs.Pack) -> None:
        def column(table: str) -> dict[tuple, Decimal]:
            return {keys: cell.value for keys, cell in pack.tables[table].cells.items()}

        p = {name: cell.value for name, cell in pack.parameters.items()}
        self.p = p
        self.current, self.link = column("cable-current"), column("link-current")
        self.ambient, self.group = column("ambient-factor"), column("grouping-factor")
        self.ohm, self.hot = column("conductor-resistance"), column("hot-resistance")
        self.limit, self.practice = column("drop-limit"), column("practice-minimum-size")
        self.warm = sorted({keys[1] for keys in self.ambient})
        self.groups = sorted(keys[0] for keys in self.group)
        self.ratings = sorted(keys[0] for keys in self.practice)
        self.size = {choice["value"]: D(choice["mm2"]) for choice in pack.questions["cable_size"]["choices"]}

    def quantities(self, a: dict[str, Any]) -> dict[str, Any]:
        volts, size = a["supply_voltage_v"], self.size[a["cable_size"]]
        current = a["load_power_w"] / volts
        if a["load_voltage_v"] != "not-stated":
            current = max(current, a["load_power_w"] * volts / (a["load_voltage_v"] * a["load_voltage_v"]))
        air = self.ambient[a["cable_insulation"], next(k for k in self.warm if k >= a["ambient_c"])]
        group = self.group[(next(k for k in self.groups if k >= a["grouped_circuits"]),)]
        row = (a["conductor_metal"], a["cable_insulation"], a["method"], a["loaded_conductors"], size)
        board = min(self.ambient["pvc", next(k for k in self.warm if k >= a["board_ambient_c"])], D(1))
        ohm = self.ohm[a["conductor_metal"], size] / 1000
        lost = 2 * ohm * self.hot[a["conductor_metal"], a["cable_insulation"]] * current * a["run_length_m"]
        return {
            "circuit_current_a": current,
            "switched_current_a": current,
            "cable_capacity_a": self.current[row] * (air * group),
            "link_capacity_a": self.link[(self.size[a["link_size"]],)] * board,
            "cable_size_mm2": size,
            "link_size_mm2": self.size[a["link_size"]],
            "practice_minimum_mm2": self.practice[(next(k for k in self.ratings if k >= a["breaker_rating_a"]),)],
            "total_drop_percent": lost * 100 / volts + a["upstream_drop_percent"],
            "drop_limit_percent": self.limit[(a["load_kind"],)],
            "device_limit_a": a["device_resistive_a"],
            "device_thermal_a": a["device_resistive_a"],
            "contact_voltage_v": a["device_voltage_v"],
            "clock_rated_v": a["clock_voltage_v"],
            "modules_needed": a["device_modules"],
            "contact_rating": "resistive",
        }

    def judge(self, a: dict[str, Any]) -> list[bool | None]:
        """True, False, or None where a rule does not apply, in the order of `RULES`."""
        p, q = self.p, self.quantities(a)
        high, low = p["voltage_high_factor"], p["voltage_low_factor"]
        volts, rating, current = a["supply_voltage_v"], a["breaker_rating_a"], q["circuit_current_a"]
        smallest, largest = a["device_terminal_min_mm2"], a["device_terminal_max_mm2"]
        backup, short = a["device_backup_a"], a["device_short_circuit_ka"]
        return [
            current <= rating,
            rating <= q["cable_capacity_a"],
            current <= q["cable_capacity_a"],
            current <= q["device_thermal_a"],
            current <= q["device_limit_a"],
            rating <= (q["device_thermal_a"] if backup == "not-stated" else backup),
            a["fault_current_ka"] <= a["breaker_capacity_ka"],
            a["fault_current_ka"] <= (p["household_short_circuit_ka"] if short == "not-stated" else short),
            q["contact_voltage_v"] >= volts,
            q["clock_rated_v"] * low <= volts <= q["clock_rated_v"] * high,
            volts <= a["load_voltage_v"] * high,
            q["cable_size_mm2"] >= p["minimum_copper_mm2"],
            q["cable_size_mm2"] >= q["practice_minimum_mm2"],
            q["total_drop_percent"] <= q["drop_limit_percent"],
            smallest <= q["cable_size_mm2"] <= largest,
            smallest <= q["link_size_mm2"] <= largest,
            rating <= q["link_capacity_a"],
            q["modules_needed"] <= a["spare_modules"],
            a["board_ambient_c"] <= p["board_usual_c"],
            None if a["neutral_bar"] == "shared" else a["neutral_bar"] == "same-rcd",
            a["neutral_bar"] != "shared",
            a["rcd"] == "30-ma",
        ]


class Core:
    def __init__(self, pack: packs.Pack) -> None:
        self.pack = pack
        held = {rule.id: rule for rule in pack.rules}
        self.rules = [held[name] for name in RULES]

    def judge(self, answers: dict[str, Any]) -> list[bool | None]:
        situation = Situation(self.pack, answers)
        return [_plain(weigh(rule, Reader(situation), AS_OF, NOTHING)[0]) for rule in self.rules]


def _plain(finding) -> bool | None:
    if finding.outcome == NOT_APPLICABLE:
        return None
    if finding.outcome == CANNOT_TELL and any(r.kind not in ("confirm", "conflict") for r in finding.reasons):
        raise AssertionError(f"{finding.rule.id} cannot tell: {finding.reasons}")
    return finding.outcome != FAILED  # a pass on an unconfirmed figure holds by the figures


class Engine:
    """A general-purpose library: `ready(text)` parses an expression, giving a function of the names' values."""

    def __init__(self, pack: packs.Pack, by_hand: ByHand, ready: Callable, decimals: bool, names: Callable) -> None:
        texts = {rule["id"]: rule for rule in pack.content["rules"]}
        self.by_hand, self.decimals, self.names = by_hand, decimals, names
        self.rules = [(ready(texts[n]["applies_text"]), ready(texts[n]["requires_text"])) for n in RULES]
        optional = re.findall(
            r"stated\((\w+)\)", " ".join(r["requires_text"] + r["applies_text"] for r in texts.values())
        )
        self.optional = tuple(dict.fromkeys(optional))

    def judge(self, answers: dict[str, Any]) -> list[bool | None]:
        held = {**self.by_hand.p, **answers, **self.by_hand.quantities(answers)}
        held |= {f"stated_{name}": answers.get(name, "not-stated") != "not-stated" for name in self.optional}
        # A comparison with what is not stated stands behind `stated(...) and`; the engines want a number all the same.
        held = {name: D(0) if value == "not-stated" else value for name, value in held.items()}
        held.setdefault("rcd_rating_ma", D(0))
        if not self.decimals:
            held = {name: float(value) if isinstance(value, D) else value for name, value in held.items()}
        values = self.names(held)
        return [bool(requires(values)) if applies(values) else None for applies, requires in self.rules]


Ready = Callable[[str], Callable]


def _flat(text: str) -> str:
    return re.sub(r"stated\((\w+)\)", r"stated_\1", text)


def _listed(text: str) -> str:
    return re.sub(r"\((('[^']*',? ?)+)\)", r"[\1]", _flat(text)).replace("True", "true")


def _simpleeval() -> tuple[Ready, bool, Callable]:
    import simpleeval

    def ready(text: str) -> Callable:
        evaluator = simpleeval.EvalWithCompoundTypes()
        parsed = evaluator.parse(_flat(text))

        def run(values: dict[str, Any]) -> Any:
            evaluator.names = values
            return evaluator.eval(text, previously_parsed=parsed)

        return run

    return ready, True, lambda held: held


def _zen() -> tuple[Ready, bool, Callable]:
    import zen

    return lambda text: zen.compile_expression(_listed(text)).evaluate, False, lambda held: held


def _cel() -> tuple[Ready, bool, Callable]:
    import celpy

    environment = celpy.Environment()

    def ready(text: str) -> Callable:
        text = re.sub(r"\bnot ", "!", _listed(text)).replace(" and ", " && ").replace(" or ", " || ")
        text = text.replace("<= 0", "<= 0.0").replace("> 0", "> 0.0")
        program = environment.program(environment.compile(text))
        return program.evaluate

    return ready, False, lambda held: celpy.json_to_cel(held)


ENGINES = {"simpleeval": _simpleeval, "zen-engine": _zen, "cel-python": _cel}
# The others hold or need machine code of which Pyodide has no build.
PURE = ("simpleeval",)


def rate(judge: Callable, wanted: list[dict[str, Any]], least: float) -> float:
    """Checks a second, over at least `least` seconds of this process' own time."""
    count, begin = 0, time.process_time()
    while time.process_time() - begin < least:
        for case in wanted:
            judge(case)
        count += len(wanted)
    return count / (time.process_time() - begin)


def compared(names: Iterable[str] = tuple(ENGINES), least: float = 0.2) -> dict[str, float]:
    """Checks a second by name, the best of `ROUNDS`: a machine that is slow for a while is slow for all of them alike.

    Raises AssertionError where one comes to another outcome than the core.
    """
    with localcontext(CONTEXT):
        pack = packs.choose("iec", None, AS_OF)
        by_hand, core = ByHand(pack), Core(pack)
        wanted = cases()
        told = [core.judge(case) for case in wanted]
        all_of_them = {"core": core, "by hand": by_hand}
        all_of_them |= {name: Engine(pack, by_hand, *ENGINES[name]()) for name in names}
        few = {name: wanted[::12] if name == "cel-python" else wanted for name in all_of_them}
        for name, one in all_of_them.items():
            for case, expected in zip(wanted, told, strict=True):
                if case in few[name] and (got := one.judge(case)) != expected:
                    wrong = [rule for rule, a, b in zip(RULES, got, expected, strict=True) if a != b]
                    raise AssertionError(f"{name} comes to another outcome on {wrong}")
        rates = dict.fromkeys(all_of_them, 0.0)
        for _, (name, one) in itertools.product(range(ROUNDS), all_of_them.items()):
            rates[name] = max(rates[name], rate(one.judge, few[name], least))
    return rates


def in_pyodide() -> dict[str, float]:
    """As `compared`, in the browser's Python under Node.js."""
    import simpleeval

    script = ROOT / "benchmarks" / "engines.mjs"
    told = subprocess.run(
        ["node", script, ROOT / "build" / "browser" / "pyodide", simpleeval.__file__],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(told.stdout)


def main() -> int:
    print(f"{len(RULES)} rules of iec, {len(cases())} cases, equal outcomes")
    for runtime, rates in (("CPython", compared()), ("Pyodide", in_pyodide())):
        for name, value in rates.items():
            print(f"{runtime}  {name:12}{value:12,.0f} checks a second{value / rates['core']:10.2f} of the core")
    return 0


if __name__ == "__main__":
    sys.exit(main())

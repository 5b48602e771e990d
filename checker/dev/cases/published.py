"""Published examples, asked again: what others print, beside what the checker gives for the same facts now.

The examples stand in `scenarios/published/*.toml`; tests judge them. Here the same questions go through the same door,
so that the page of evidence can show the answers, also where they differ. What a source rounded is compared as rounded.
"""

from __future__ import annotations

import itertools
import json
import tomllib
from collections.abc import Iterator
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from checker.core.api import handle
from checker.dev.checkout import ROOT

FOLDER = ROOT / "scenarios" / "published"
AS_OF = "2026-11-25"  # the day the examples were compared; a later one could only turn figures stale
ROUNDING = {"nearest": ROUND_HALF_UP, "down": ROUND_DOWN}
AGREES, DIFFERS, REFUSED, APART = "agrees", "differs, with a reason", "refused", "does not agree"


class Line(NamedTuple):
    """One comparison; it may stand for several `figures` of one printed row.

    `group` is the status of the example, or "wrong"; `result` one of the four words above.
    """

    group: str
    source: str
    published: str
    compared: str
    printed: str
    ours: str
    result: str
    remark: str = ""
    figures: int = 1


def held(folder: Path = FOLDER) -> dict[str, Any]:
    """All example files in one; lists of the same name are joined."""
    found: dict[str, Any] = {}
    for path in sorted(folder.glob("*.toml")):
        for name, part in tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal).items():
            if isinstance(part, list):
                found.setdefault(name, []).extend(part)
            else:
                found[name] = part
    return found


def lines(data: dict[str, Any]) -> Iterator[Line]:
    """Every comparison, computed now."""
    for example in data["example"]:
        yield from _example(example)
    yield from _derating(data["derating"])
    yield from _lamps(data["lamps"])
    for table in data["lengths"]:
        yield from _lengths(table)
    yield from _motors(data["motors"])
    for example in data["wrong"]:
        yield _wrong(example)


# --- asking ---


@cache
def untold(pack: str) -> dict[str, Any]:
    """What an example leaves to its reader: labels say nothing more, and the circuit is the ordinary one."""
    request = {"format": 1, "ask": "describe", "pack": pack, "as_of": AS_OF}
    found: dict[str, Any] = {}
    for question in json.loads(handle(json.dumps(request)))["questions"]:
        if question["not_stated"]:
            found[question["id"]] = "not-stated"
        elif (question["usual"] or {}).get("figures"):
            found[question["id"]] = question["usual"]["value"]
    return found


def _ask(pack: str, answers: dict[str, Any]) -> dict[str, Any]:
    told = untold(pack) | answers
    request = {"format": 1, "ask": "check", "pack": pack, "as_of": AS_OF, "answers": told, "counsel": False}
    reply = json.loads(handle(json.dumps(request, default=str)))
    if "error" in reply:
        raise ValueError(f"the checker refused a published example: {reply['error']}")
    return reply


def _report(example: dict[str, Any], claim: dict[str, Any]) -> dict[str, Any]:
    return _ask(example.get("pack", "iec"), example["answers"] | claim.get("with", {}))


def _outcome(report: dict[str, Any], rule: str) -> str:
    return next(finding["outcome"] for finding in report["findings"] if finding["rule"] == rule)


def _figure(answers: dict[str, Any], name: str) -> Decimal:
    return Decimal(_ask("iec", answers)["quantities"][name]["exact"])


def _choices(pack: str, question: str) -> list[str]:
    reply = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": pack})))
    return [c["value"] for q in reply["questions"] if q["id"] == question for c in q["choices"]]


# --- the examples, one line a claim ---


def _example(example: dict[str, Any]) -> Iterator[Line]:
    start = (example["status"], linked(example), example["published"])
    for kind, judge in (("quantity", _quantity), ("differs", _difference), ("finding", _finding), ("needs", _needs)):
        for claim in example.get(kind, ()):
            changed = ", ".join(f"`{name}` {value}" for name, value in claim.get("with", {}).items())
            name = claim.get("name") or claim.get("rule") or "the least table current that passes"
            what = f"`{name}`" + (f", {changed}" if changed else "")
            yield Line(*start, what, claim.get("printed") or claim["outcome"], *judge(example, claim))


def _quantity(example: dict[str, Any], claim: dict[str, Any]) -> tuple[str, str, str]:
    found = _report(example, claim)["quantities"].get(claim["name"])
    if found is None:
        return "not known", APART, ""
    exact, printed, how = found["exact"], claim["printed"], claim["rounding"]
    if how == "exact":
        agrees, remark = exact == printed, ""
    elif how == "size-up":
        sizes = (Decimal(size.removesuffix(" mm2")) for size in _choices("iec", "protective_size"))
        agrees, remark = Decimal(exact) == min(size for size in sizes if size >= Decimal(printed)), "next size up"
    else:
        place = Decimal(1).scaleb(int(Decimal(printed).as_tuple().exponent))
        agrees = Decimal(exact).quantize(place, ROUNDING[how]) == Decimal(printed)
        remark = "" if Decimal(exact) == Decimal(printed) else {"nearest": "rounded", "down": "cut off"}[how]
    return shown(found), AGREES if agrees else APART, remark


def _difference(example: dict[str, Any], claim: dict[str, Any]) -> tuple[str, str, str]:
    found = _report(example, claim)["quantities"].get(claim["name"])
    if found is None:
        return "not known", APART, ""
    printed = Decimal(claim["printed"])
    near = abs(Decimal(found["exact"]) - printed) * 100 <= printed * claim["within_percent"]
    return shown(found), DIFFERS if near else APART, claim["why"]


def _finding(example: dict[str, Any], claim: dict[str, Any]) -> tuple[str, str, str]:
    found = _outcome(_report(example, claim), claim["rule"])
    return found, AGREES if found == claim["outcome"] else APART, ""


def _needs(example: dict[str, Any], claim: dict[str, Any]) -> tuple[str, str, str]:
    pack = example.get("pack", "iec")
    tried: dict[bool, list[Decimal]] = {True: [], False: []}
    axes = (_choices(pack, name) for name in ("method", "cable_size", "loaded_conductors"))
    for method, size, loaded in itertools.product(*axes):
        how = {"method": method, "cable_size": size, "loaded_conductors": loaded, "conductor_metal": "copper"}
        report = _report(example, {"with": how | {"third_harmonic_percent": 0}})
        if method not in ("D1", "D2") and "cable_tabulated_a" in report["quantities"]:
            passed = _outcome(report, "breaker-within-cable") == "passed"
            tried[passed].append(Decimal(report["quantities"]["cable_tabulated_a"]["exact"]))
    most, least = max(tried[False]), min(tried[True])
    half = Decimal(1).scaleb(int(Decimal(claim["printed"]).as_tuple().exponent)) / 2
    agrees = most < Decimal(claim["printed"]) + half and least >= Decimal(claim["printed"]) - half
    return f"{most} A fails, {least} A passes", AGREES if agrees else APART, "among the cells of our table"


def _wrong(example: dict[str, Any]) -> Line:
    report = _report(example, {})
    refused, seen = report["headline"] != "fits", []
    for claim in example.get("must", ()):
        found = _outcome(report, claim["rule"])
        refused &= found == claim["outcome"]
        seen.append(f"`{claim['rule']}` {found}")
    for claim in example.get("never", ()):
        found = _outcome(report, claim["rule"])
        refused &= found not in (claim["outcome"], "not-applicable")
        seen.append(f"`{claim['rule']}` {found}")
    for claim in example.get("above", ()):
        found = report["quantities"].get(claim["name"])
        refused &= found is None or Decimal(found["exact"]) > Decimal(claim["printed"])
        seen.append(f"`{claim['name']}` {shown(found) if found else 'not known'}")
    result = REFUSED if refused else APART
    return Line("wrong", linked(example), example["published"], "the whole report", "", "; ".join(seen), result)


# --- the tables, one line a printed row ---


def _row(start: tuple[str, str, str], what: str, cells: list[tuple[str, Decimal, bool]], remark: str) -> Iterator[Line]:
    """A line for the cells that agree and one for those that do not. A cell: printed, ours, whether they agree."""
    for agrees in (True, False):
        part = [(printed, ours) for printed, ours, same in cells if same is agrees]
        if part:
            printed, ours = (", ".join(side) for side in zip(*((p, _short(o)) for p, o in part), strict=True))
            yield Line(*start, what, printed, ours, AGREES if agrees else APART, remark, len(part))


def _derating(table: dict[str, Any]) -> Iterator[Line]:
    urls = ", ".join(f"[{number}](<{url}>)" for number, url in enumerate(table["urls"], 1))
    start = ("published", f"{table['source']} ({urls})", "amperes at 30, 40, 45, 50 and 55 °C, three loaded, PVC")
    for row in table["row"]:
        answers: dict[str, Any] = {"conductor_metal": "copper", "cable_insulation": "pvc", "loaded_conductors": "three"}
        answers |= {"method": row["method"], "cable_size": row["size"], "grouped_circuits": 1}
        answers |= {"insulation_length_mm": 0, "third_harmonic_percent": 0}
        cells = []
        for degrees, printed in zip(table["ambient_c"], row["printed"], strict=True):
            ours = _figure(answers | {"ambient_c": degrees}, "cable_capacity_a")
            cells.append((str(printed), ours, abs(ours - printed) <= Decimal("0.5")))
        what = f"`cable_capacity_a`, {row['method']}, {row['size']}"
        yield from _row(
            start, what, cells, "rounded to whole amperes by the source, some upwards; ours is never rounded up"
        )


def _lamps(table: dict[str, Any]) -> Iterator[Line]:
    contactors = ", ".join(map(str, table["contactor_a"]))
    start = ("published", linked(table), f"lamps on contactors of {contactors} A")
    for row in table["row"]:
        cells = []
        for contactor, count in zip(table["contactor_a"], row["count"], strict=True):
            answers = {"load_kind": "filament-lamps", "supply_voltage_v": 230, "lamp_power_w": row["lamp_w"]}
            answers |= {"device_kind": "contactor", "contactor_resistive_a": contactor}
            answers["device_filament_w"] = count * row["lamp_w"]
            edge = [
                _outcome(_ask("iec", answers | {"lamp_count": n}), "lamp-load-within-device")
                for n in (count, count + 1)
            ]
            most = count if edge == ["passed", "failed"] else 0
            cells.append((str(count), Decimal(most), most == count))
        remark = "with the limit in watts that the count stands for: one lamp more fails"
        yield from _row(start, f"lamps of {row['lamp_w']} W that pass", cells, remark)


def _lengths(table: dict[str, Any]) -> Iterator[Line]:
    start = ("published", linked(table), f"metres, type {table['curve']}, {', '.join(map(str, table['rating_a']))} A")
    for row in table["row"]:
        cells = []
        area = Decimal(row["size"].removesuffix(" mm2"))
        for rating, printed in zip(table["rating_a"], row["printed"], strict=True):
            if printed == "-":
                continue
            answers = {"supply_voltage_v": 230, "supply_system": "tn-s", "breaker_kind": "breaker"}
            answers |= {"breaker_curve": table["curve"], "breaker_rating_a": rating}
            trips = _figure(answers, "breaker_trips_a")
            limit = _figure(answers, "loop_limit_ohm") * trips / (table["trip"] * rating)
            ours = Decimal("0.8") * limit * area / (2 * Decimal(table["rho"]))
            same = ours.quantize(Decimal(1), ROUND_HALF_UP) == Decimal(printed)
            if [row["size"], rating] in table.get("misprints", []):
                what = f"`loop_limit_ohm`, {row['size']}, {rating} A"
                result = APART if same else REFUSED
                why = "a misprint: longer at this rating than at the next smaller one"
                yield Line("wrong", *start[1:], what, printed, _short(ours), result, why)
            else:
                cells.append((printed, ours, same))
        remark = f"our loop limit through the source's own law ({table['rho']} ohm mm²/m). {table['why']}"
        yield from _row(start, f"`loop_limit_ohm`, {row['size']}", cells, remark)


def _motors(table: dict[str, Any]) -> Iterator[Line]:
    for row in table["row"]:
        for volts in (115, 230):
            answers = {"load_kind": "motor", "motor_output_w": row["output_w"], "supply_voltage_v": volts}
            found = _ask("iec", answers)["quantities"].get("design_current_a")
            printed = row[f"v{volts}"]
            same = found is None or Decimal(found["exact"]) >= Decimal(printed)
            ours = shown(found) if found else "no figure: the table of motors is for 220 V and above"
            yield Line(
                "published", linked(table), f"{row['output_w']} W at {volts} V: {printed} A", "`design_current_a`", printed,
                ours, DIFFERS if same else APART, "A country's table of typical motors: ours may not be lower.",
            )  # fmt: skip


# --- words ---


def linked(example: dict[str, Any]) -> str:
    """The source, with its place where there is one: a link only where it is a whole address."""
    place = example.get("url", "")
    if place.startswith(("https://", "http://")):
        return f"[{example['source']}](<{place}>)"
    return f"{example['source']} ({place})" if place else example["source"]


def shown(found: dict[str, Any]) -> str:
    return f"{found['value']} {found.get('unit') or ''}".strip().removesuffix(" 1")


def _short(value: Decimal) -> str:
    return f"{value.quantize(Decimal('0.1'), ROUND_HALF_UP):f}".removesuffix(".0")

"""One job judged under several rule sets or editions, finding beside finding, what differs first.

Nothing is translated: an answer that a rule set does not know (another list of sizes, another name of a method) is left
out under it and listed, and what hangs on it is then not known. So no size ever turns into its nearest neighbour.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from checker.core import findings, report, verdict
from checker.core.answers import check_answers, table
from checker.core.errors import BadRequest, told
from checker.core.findings import NOT_APPLICABLE, Gate
from checker.core.pack import Pack, choose, named
from checker.core.situation import Figures, Situation
from checker.core.values import Value, plain
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial

MOST = 12  # rule sets at once
OUTCOME, FIGURES, SAME = "outcome", "figures", "same"
_SHOWN = ("title", "outcome", "message", "fix", "status", "sources", "left", "relation", "right", "margin_percent")


class _Judged(NamedTuple):
    pack: Pack
    situation: Situation
    left_out: list[dict]
    findings: list[findings.Finding]
    verdict: verdict.Verdict
    figures: Figures
    quantities: dict


def build(packs: object, answers: object, gate: Gate) -> dict:
    """The reply to `compare`: `packs` (each with its verdict and the answers it left out), `findings` and `quantities`
    row by row with one entry a pack, in the order asked.

    A row's `differs` is "outcome", "figures" or "same"; a rule that a pack does not have counts as not applicable.
    Raises `BadRequest` for packs that do not exist and for answers that no pack takes.
    """
    judged = _all_judged(_packs(packs, gate.as_of), answers, gate)
    return {
        "packs": [_head(one, gate.as_of) for one in judged],
        "findings": _finding_rows(judged),
        "quantities": _quantity_rows(judged),
    }


def _packs(given: object, as_of: str) -> list[Pack]:
    fix = 'Write a list of ids such as ["iec", "za@3"]. Add @ and an edition if you do not want the one in force.'
    if not isinstance(given, list) or not all(isinstance(one, str) for one in given):
        raise BadRequest("packs", "this is not a list of rule sets", "The job is judged under each one.", fix)
    if not 2 <= len(given) <= MOST:
        raise BadRequest(
            "packs",
            f"the list has {len(given)} rule set{'' if len(given) == 1 else 's'}",
            f"You can compare two to {MOST}.",
            fix,
        )
    packs = []
    for one in given:
        pack_id, _, edition = one.partition("@")
        try:
            pack = choose(pack_id, edition or None, as_of)
        except BadRequest as bad:
            raise BadRequest("packs", bad.what, bad.why, bad.fix) from None
        if pack in packs:
            raise BadRequest("packs", f"{told(one)} is named twice", "A rule set always agrees with itself.", fix)
        packs.append(pack)
    return packs


def _all_judged(packs: list[Pack], given: object, gate: Gate) -> list[_Judged]:
    kept: list[dict[str, Value]] = [{} for _ in packs]
    left_out: list[list[dict]] = [[] for _ in packs]
    for name, value in table(given).items():
        refused = []
        label = next((pack.questions[name]["label"] for pack in packs if name in pack.questions), name)
        told = {"question": name, "label": label, "value": _plain(value)}
        for pack, answers, missing in zip(packs, kept, left_out, strict=True):
            if name in pack.unread:
                missing.append({**told, "why": pack.unread[name].rstrip(".")})
                continue
            try:
                answers |= check_answers({name: value}, pack.questions)
            except BadRequest as bad:
                missing.append({**told, "why": bad.what})
                refused.append(bad)
        if len(refused) == len(packs):
            raise refused[0]
    judged = []
    for pack, answers, missing in zip(packs, kept, left_out, strict=True):
        case = Trial(pack, answers)
        found = any_answer.judge(case, Bench(gate))
        figures = Figures(pack, case.answers)
        shown = report.quantities(figures)
        judged.append(_Judged(pack, case, missing, found, verdict.reach(found, answers.get("worker")), figures, shown))
    return judged


def _plain(value: object) -> object:
    return plain(value) if isinstance(value, Decimal) else value


def _head(one: _Judged, as_of: str) -> dict:
    reached = report.verdict_shown(one.situation, one.verdict)
    rest = {"left_out": one.left_out, "assumed": report.assumed(one.figures)}
    return {"pack": named(one.pack, as_of), **reached, **rest}


def _finding_rows(judged: list[_Judged]) -> list[dict]:
    shown = [{f.rule.id: report.finding_shown(one.situation, f) for f in one.findings} for one in judged]
    rows = []
    for rule in dict.fromkeys(rule for column in shown for rule in column):
        entries = [column.get(rule) for column in shown]
        there = [entry for entry in entries if entry]
        rows.append(
            {
                "rule": rule,
                "title": there[0]["title"],
                "stage": there[0]["stage"],
                "part": there[0]["part"],
                "weight": there[0]["weight"],
                "differs": _difference(entries),
                "by_pack": [{key: entry[key] for key in _SHOWN} if entry else None for entry in entries],
            }
        )
    return _differing_first(rows)


def _difference(entries: list[dict | None]) -> str:
    if len({entry["outcome"] if entry else NOT_APPLICABLE for entry in entries}) > 1:
        return OUTCOME
    compared = {_exact(entry) for entry in entries if entry and entry["outcome"] != NOT_APPLICABLE}
    return FIGURES if len(compared) > 1 else SAME


def _exact(entry: dict) -> tuple:
    sides = (entry["left"], entry["right"])
    return (entry["relation"], *((side["exact"], side["unit"]) if side else None for side in sides))


def _quantity_rows(judged: list[_Judged]) -> list[dict]:
    shown = [one.quantities for one in judged]
    rows = []
    for name in dict.fromkeys(name for column in shown for name in column):
        entries = [column.get(name) for column in shown]
        values = {(entry["exact"], entry["unit"]) if entry else None for entry in entries}
        rows.append({"quantity": name, "differs": FIGURES if len(values) > 1 else SAME, "by_pack": entries})
    return _differing_first(rows)


def _differing_first(rows: list[dict]) -> list[dict]:
    return sorted(rows, key=lambda row: (OUTCOME, FIGURES, SAME).index(row["differs"]))

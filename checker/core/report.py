"""The report of one check: the keys that docs/format.md lists, as plain data, sentences filled in."""

from __future__ import annotations

from decimal import Decimal

from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, Finding, Side
from checker.core.messages import advise, cited, fill, told, unit_shown, value_shown
from checker.core.quantities import QUANTITIES
from checker.core.situation import Figures, Reader, Situation
from checker.core.tables import Cell
from checker.core.values import Reason, ReasonKind, Unknown, plain, shown
from checker.core.verdict import Verdict
from checker.core.wiring.connections import listed

SECTIONS = ("steps", "tests", "cautions", "defers_to", "not_checked")


def build(situation: Situation, findings: list[Finding], verdict: Verdict, counsel: dict) -> dict:
    """`findings` in pack order; `counsel` holds `changes` and `flips`.

    Numbers come as text: `value` rounded for the eye, `exact` as computed.
    """
    rows = [finding_shown(situation, f) for f in findings]
    figures = Figures(situation.pack, situation.answers)
    return {
        **verdict_shown(situation, verdict),
        "findings": rows,
        "quantities": quantities(figures),
        "find_out": find_out(situation, findings),
        **counsel,
        **{section: texts(situation, section) for section in SECTIONS},
        "connections": listed(situation),
        "answers": {name: plain(v) if isinstance(v, Decimal) else v for name, v in situation.answers.items()},
        "assumed": assumed(figures),
    }


def without_working(situation: Situation, findings: list[Finding], verdict: Verdict) -> dict:
    """The verdict, what stands in its way, and the cautions that belong to any verdict; a part of what `build` gives.

    For a page that judges again at every change of an answer: the working is most of a report's time.
    """
    return {
        **verdict_shown(situation, verdict),
        "findings": [_outcome_shown(situation, finding) for finding in findings],
        "find_out": find_out(situation, findings),
        **{section: texts(situation, section) for section in ("cautions", "defers_to", "not_checked")},
    }


def verdict_shown(situation: Situation, verdict: Verdict) -> dict:
    """Headline, who may and sizing, each with its sentence."""
    return {
        "headline": verdict.headline,
        "headline_text": fill(situation, situation.pack.phrases[f"headline.{verdict.headline}"]),
        "who": _part(situation, "who", verdict.who),
        "sizing": _part(situation, "sizing", verdict.sizing),
    }


def assumed(situation: Situation) -> dict:
    """What the pack assumed because nobody said otherwise, and why; whatever read it has to have been worked out."""
    return {
        name: {"value": value, "why": question.get("default_why") or question["usual"]["why"]}
        for name, value in sorted(situation.assumed.items())
        if (question := situation.pack.questions[name])
    }


def _part(situation: Situation, kind: str, part) -> dict:
    text = fill(situation, situation.pack.phrases[f"{kind}.{part.outcome}"])
    return {"outcome": part.outcome, "text": text, "because": list(part.because)}


def finding_shown(situation: Situation, finding: Finding) -> dict:
    """One finding as data."""
    rule, failed = finding.rule, finding.outcome == FAILED
    measure = finding.measure
    applies = finding.outcome != NOT_APPLICABLE
    return {
        **_outcome_shown(situation, finding),
        "message": _message(situation, finding),
        "fix": (advise(situation, rule.fix) or fill(situation, situation.pack.phrases["fix.any-answer"]))
        if failed
        else None,
        "reasons": [{"kind": r.kind, "id": r.id, "text": reason_text(situation, r)} for r in finding.reasons],
        "status": rule.own.status,
        "sources": _sources(situation, finding),
        "cells": [cell_shown(cell) for cell in finding.cells.values() if cell.id != rule.id] if applies else [],
        "left": _side(measure.left) if measure else None,
        "relation": measure.relation if measure else None,
        "right": _side(measure.right) if measure else None,
        "margin_percent": shown(measure.spare * 100) if measure else None,
    }


def _outcome_shown(situation: Situation, finding: Finding) -> dict:
    rule = finding.rule
    return {
        "rule": rule.id,
        "title": fill(situation, rule.title),
        "stage": rule.stage,
        "part": rule.part,
        "weight": rule.weight,
        "outcome": finding.outcome,
    }


def _message(situation: Situation, finding: Finding) -> str:
    phrases = situation.pack.phrases
    if finding.outcome == NOT_APPLICABLE:
        return fill(situation, phrases["finding.not-applicable"])
    if finding.outcome != CANNOT_TELL and finding.reasons:
        # Decided without an answer: a sentence that names the answer would have a hole.
        outcome = fill(situation, phrases[f"finding.any-answer-{finding.outcome}"])
        return outcome.replace("{it}", fill(situation, finding.rule.title))
    if finding.outcome == CANNOT_TELL and all(
        r.kind in (ReasonKind.CONFIRM, ReasonKind.CONFLICT) for r in finding.reasons
    ):
        # The figures say yes; only their standing keeps it from being a pass.
        return f"{fill(situation, finding.rule.say['passed'])} {fill(situation, phrases['finding.unconfirmed'])}"
    return fill(situation, finding.rule.say[finding.outcome])


def reason_text(situation: Situation, reason: Reason) -> str:
    """Why a finding cannot tell, in words."""
    pack = situation.pack
    template = pack.phrases[f"reason.{reason.kind}"]
    if reason.id in pack.questions:
        return template.replace("{it}", pack.questions[reason.id]["label"])
    cell = find_cell(situation, reason.id)
    if cell is None:
        return template.replace("{it}", reason.id)
    place = cited(pack.sources[cell.source]["title"], cell.source, cell.clause)
    value = (
        ""
        if cell.value is None
        else f" = {plain(cell.value) if isinstance(cell.value, Decimal) else cell.value} {unit_shown(cell.unit)}".rstrip()
    )
    return template.replace("{it}", f"{reason.id}{value}").replace("{place}", place).replace("{status}", cell.status)


def find_cell(situation: Situation, cell_id: str) -> Cell | None:
    """The table cell, parameter or rule standing with this id."""
    pack = situation.pack
    if cell_id in pack.parameters:
        return pack.parameters[cell_id]
    table = pack.tables.get(cell_id.partition("/")[0])
    if table is not None:
        return next((cell for cell in table.cells.values() if cell.id == cell_id), None)
    return next((rule.own for rule in pack.rules if rule.id == cell_id), None)


def _sources(situation: Situation, finding: Finding) -> list[dict]:
    """The rule's own source first, then those of the figures it used, each source and clause once."""
    listed: dict[tuple[str, str], dict] = {}
    for cell in finding.cells.values() or (finding.rule.own,):
        source = situation.pack.sources[cell.source]
        listed.setdefault(
            (cell.source, cell.clause),
            {"id": cell.source, "title": source["title"], "clause": cell.clause, "status": cell.status},
        )
    return list(listed.values())


def cell_shown(cell: Cell) -> dict:
    """A cell for a report; `most` only where its value is a lower bound, and null in it where no upper one is known."""
    most = None if cell.most is None or cell.most.is_infinite() else plain(cell.most)
    return ({} if cell.most is None else {"most": most}) | {
        "id": cell.id,
        "value": plain(cell.value) if isinstance(cell.value, Decimal) else cell.value,
        "unit": cell.unit,
        "status": cell.status,
        "source": cell.source,
        "clause": cell.clause,
        "checked": cell.checked,
    }


def _side(side: Side) -> dict:
    return {"name": side.name, "value": shown(side.value), "exact": plain(side.value), "unit": side.unit}


def quantities(situation: Situation) -> dict:
    known: dict[str, dict] = {}
    for name, quantity in sorted(QUANTITIES.items()):
        value = situation.known(name).value
        if isinstance(value, (Unknown, Span)):
            continue
        if isinstance(value, Decimal):
            known[name] = {"value": shown(value), "exact": plain(value), "unit": quantity.unit}
        else:
            known[name] = {"value": value_shown(situation.pack, name, value), "exact": value, "unit": ""}
    return known


def find_out(situation: Situation, findings: list[Finding]) -> list[dict]:
    """What would settle the open findings that decide something, what settles most first.

    A finding that waits for one thing alone is settled by it for certain, so those count before the ones that wait for
    several.
    """
    wanted: dict[Reason, list[Finding]] = {}
    for finding in findings:
        if finding.outcome == CANNOT_TELL and finding.rule.decides:
            for reason in finding.reasons:
                wanted.setdefault(reason, []).append(finding)
    questions = situation.pack.questions
    ordered = sorted(
        wanted,
        key=lambda r: (
            -_alone(wanted[r]),
            -len(wanted[r]),
            questions[r.id]["order"] if r.id in questions else 10**9,
            r.id,
        ),
    )
    return [
        {
            "question": reason.id if reason.id in questions else None,
            "cell": None if reason.id in questions else reason.id,
            "kind": reason.kind,
            "text": reason_text(situation, reason),
            "how": questions[reason.id]["find_out"] if reason.id in questions else _how(situation, reason),
            "settles": [finding.rule.id for finding in wanted[reason]],
        }
        for reason in ordered
    ]


def _alone(findings: list[Finding]) -> int:
    return sum(len(finding.reasons) == 1 for finding in findings)


def _how(situation: Situation, reason: Reason) -> str:
    """How to settle what no question settles; a table may say where the figures are printed that it does not hold."""
    phrases = situation.pack.phrases
    table = situation.pack.tables.get(reason.id.partition("/")[0])
    if reason.kind in (ReasonKind.NO_CELL, ReasonKind.BOUND):
        look = table.look if table is not None else ""
        return fill(situation, phrases["how.look"].replace("{it}", look) if look else phrases["how.no-cell"])
    return fill(situation, phrases[f"how.{reason.kind}"])


def texts(situation: Situation, section: str) -> list[dict]:
    """The texts of a section that concern this case; one whose condition is not known is shown."""
    shown_items = []
    for item in situation.pack.texts.get(section, ()):
        if item["when"](Reader(situation)) is not False:
            shown_items.append(
                {
                    "id": item["id"],
                    "text": told(situation, item),
                    "source": item["source"],
                    "status": item["status"],
                }
            )
    return shown_items

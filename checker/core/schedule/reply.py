"""The reply to `ask: "plan"`: the schedule judged by the plan's own rules, and the check made again with its hours."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from checker.core import findings, verdict
from checker.core.bounds import Span
from checker.core.findings import Gate
from checker.core.messages import fill, value_shown
from checker.core.pack import Pack
from checker.core.report import assumed, find_out, finding_shown, texts
from checker.core.schedule import heating, quantities  # noqa: F401  (they register what the rules of a plan name)
from checker.core.schedule.calendar import calendar
from checker.core.schedule.drawing import drawing
from checker.core.schedule.energy import energy
from checker.core.schedule.request import read_plan
from checker.core.schedule.situation import PLANNED, PlanSituation
from checker.core.schedule.week import clock_changes, settings, sun_by_month, week
from checker.core.schedule.window import cheapest_window
from checker.core.schedule.zonedata import VERSION
from checker.core.values import Unknown, Value, plain, shown
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial

_SECTIONS = ("cautions", "defers_to", "not_checked")


def plan(pack: Pack, answers: dict[str, Value], given: object, gate: Gate) -> dict:
    """Everything but head and version of the reply. Raises `BadRequest` where the plan cannot be used."""
    held = read_plan(given, pack.plan, gate.as_of)
    situation = PlanSituation(pack.plan, {**answers, **held.answers}, held.timetable, held.tariff)
    judged = findings.judge(situation, gate)
    schedule = verdict.sizing_of(judged)
    wiring = _wiring(pack, answers, situation, gate)
    headline = min(schedule.outcome, wiring["headline"], key=verdict.HEADLINES.index)
    days = week(held.timetable)
    kind = situation.known("load_kind").value
    title = pack.phrases["plan.load"] if isinstance(kind, Unknown) else value_shown(pack, "load_kind", kind)
    return {
        "headline": headline,
        "headline_text": fill(situation, pack.phrases[f"planned.{headline}"]),
        "schedule": {
            "outcome": schedule.outcome,
            "text": fill(situation, pack.phrases[f"schedule.{schedule.outcome}"]),
            "because": list(schedule.because),
        },
        "wiring": wiring,
        "findings": [finding_shown(situation, finding) for finding in judged],
        "find_out": find_out(situation, judged),
        "settings": settings(situation),
        "week": days,
        "drawing": drawing(days),
        "sun": {"by_month": sun_by_month(held.timetable), "sunless": _sunless(held.timetable)},
        "clock_changes": clock_changes(held.timetable),
        "year": energy(situation, held.currency),
        "cheapest_window": cheapest_window(situation),
        "quantities": _quantities(situation),
        "calendar": calendar(held.timetable, title),
        **{section: texts(situation, section) for section in _SECTIONS},
        "zone": {"name": held.timetable.zone.name, "rule": held.timetable.zone.rule, "tzdata": VERSION},
        "answers": {name: plain(v) if isinstance(v, Decimal) else v for name, v in situation.answers.items()},
        "assumed": assumed(situation),
    }


def _wiring(pack: Pack, answers: dict, situation: PlanSituation, gate: Gate) -> dict:
    """The check as answered, and made again with the hours that the plan really runs."""
    longest = situation.figure("longest_run_h")
    answered = Trial(pack, answers)
    limit = pack.questions["run_hours"]
    # An answer is a number of at most twelve places: rounded up, so that the check is made for no less than the plan.
    hours = min(Decimal(limit["maximum"]), longest.quantize(Decimal("0.01"), rounding="ROUND_CEILING"))
    again = answered.with_answers({"run_hours": hours})
    before, after = (any_answer.judge(case, Bench(gate)) for case in (answered, again))
    worker = answers.get("worker")
    reached = verdict.reach(after, worker)
    changed = [
        {"rule": new.rule.id, "title": fill(again, new.rule.title), "before": old.outcome, "after": new.outcome,
         "message": finding_shown(again, new)["message"]}
        for old, new in zip(before, after, strict=True) if old.outcome != new.outcome
    ]  # fmt: skip
    given = answers.get("run_hours")
    return {
        "headline": reached.headline,
        "text": fill(again, pack.phrases[f"headline.{reached.headline}"]),
        "who": reached.who.outcome,
        "sizing": reached.sizing.outcome,
        "headline_as_answered": verdict.reach(before, worker).headline,
        "run_hours_answered": plain(given) if isinstance(given, Decimal) else given,
        "run_hours_planned": shown(longest),
        "changed": changed,
        "find_out": [entry["text"] for entry in find_out(again, after)],
    }


def _sunless(table) -> list[dict]:
    """The days without an event that a programme waits for, joined to stretches."""
    spans: list[dict] = []
    for entry in sorted(table.sunless, key=lambda e: (e.programme, e.event, e.day)):
        day = entry.day.isoformat()
        last = spans[-1] if spans else None
        told = (entry.programme, entry.event, entry.sun)
        if (
            last
            and (last["programme"], last["event"], last["sun"]) == told
            and entry.day.toordinal() - last["_day"] <= 7
        ):
            last["until"], last["_day"] = day, entry.day.toordinal()
        else:
            spans.append({
                "programme": entry.programme, "event": entry.event, "sun": entry.sun, "from": day, "until": day,
                "_day": entry.day.toordinal(),
            })  # fmt: skip
    return [{key: value for key, value in span.items() if key != "_day"} for span in spans]


def _quantities(situation: PlanSituation) -> dict:
    known: dict[str, dict[str, Any]] = {}
    for name, quantity in sorted(PLANNED.items()):
        value = situation.known(name).value
        if isinstance(value, Decimal):
            known[name] = {"value": shown(value), "exact": plain(value), "unit": quantity.unit}
        elif not isinstance(value, (Unknown, Span)):
            known[name] = {"value": value, "exact": value, "unit": ""}
    return known

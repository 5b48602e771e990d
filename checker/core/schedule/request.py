"""The plan of a request: programmes, place, zone, tariff, and the answers to the plan's own questions."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from checker.core.answers import check_answers
from checker.core.errors import BadRequest, only_keys, told
from checker.core.pack import Pack
from checker.core.schedule.programme import Programme, read_programmes
from checker.core.schedule.tariff import Tariff, read_tariff
from checker.core.schedule.timetable import Place, Timetable
from checker.core.schedule.zonenames import zone_of
from checker.core.values import Value

_PARTS = ("programme", "zone", "tariff", "currency")


class Plan(NamedTuple):
    answers: dict[str, Value]  # to the plan's own questions
    timetable: Timetable
    tariff: Tariff | None
    currency: str


def read_plan(given: object, pack: Pack, as_of: str) -> Plan:
    """The checked plan for twelve months from the day `as_of`. Raises `BadRequest` at the first fault."""
    if not isinstance(given, dict):
        what = "there is no plan" if given is None else f"{told(given)} is not a plan"
        raise BadRequest(
            "plan", what, "Without programmes there is nothing to plan.",
            'Add a table "plan" with "zone" and at least one programme.',
        )  # fmt: skip
    own = {question["id"] for question in pack.content["plan"]["questions"]}
    only_keys(given, (*_PARTS, *sorted(own)), "a plan", "plan.{key}")
    try:
        answers = check_answers({key: given[key] for key in given if key in own}, pack.questions)
    except BadRequest as bad:
        raise BadRequest(
            bad.where.replace("answers.", "plan."), bad.args[0].partition(": ")[2], bad.why, bad.fix
        ) from None
    programmes = read_programmes(given.get("programme"))
    first = date.fromisoformat(as_of)
    zone = zone_of(given.get("zone"), first)
    tariff = read_tariff(given.get("tariff"))
    table = Timetable(programmes, zone, _place(programmes, answers, pack), first, _year_after(first))
    return Plan(answers, table, tariff, _currency(given.get("currency")))


def _year_after(day: date) -> date:
    """The same day a year on; after the 29th of February comes the 1st of March."""
    try:
        return day.replace(year=day.year + 1)
    except ValueError:
        return date(day.year + 1, 3, 1)


def _place(programmes: list[Programme], answers: dict[str, Value], pack: Pack) -> Place | None:
    latitude, longitude = (answers.get(name) for name in ("latitude_deg", "longitude_deg"))
    for name, value in (("latitude_deg", latitude), ("longitude_deg", longitude)):
        if not isinstance(value, Decimal) and any(p.on.event or p.off.event for p in programmes):
            raise BadRequest(
                f"plan.{name}", "a programme follows the sun, but the place is missing", "Sunrise and sunset depend on the place.",
                'Add "latitude_deg" (north is positive) and "longitude_deg" (east is positive), as a map shows them.',
            )  # fmt: skip
    if not isinstance(latitude, Decimal) or not isinstance(longitude, Decimal):
        return None
    return Place(
        latitude, longitude, pack.parameters["sun_zenith_deg"].value, pack.parameters["twilight_zenith_deg"].value
    )


def _currency(given: object) -> str:
    if given is None:
        return ""
    if isinstance(given, str) and 0 < len(given) <= 8 and given.isprintable() and not given.isdigit():
        return given
    raise BadRequest(
        "plan.currency",
        f"{told(given)} is not a currency",
        "The report shows it after every cost.",
        'Write a code such as "EUR" or "ZAR".',
    )

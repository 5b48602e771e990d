"""A judged schedule as a document of plain blocks, the same for text and for Markdown."""

from __future__ import annotations

from checker.terminal.blocks import Document, Item, Listing, Paragraph, Section, Table
from checker.terminal.references import References
from checker.terminal.report import (
    WORDS,
    answers_section,
    assumed_section,
    shaky,
    texts_section,
    to_find_out,
    versions_section,
)
from checker.terminal.units import with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_MARKS = {"passed": "ok", "failed": "NO", "cannot-tell": "?"}
_OUTCOMES = {"passed": "passed", "failed": "failed", "cannot-tell": "cannot tell", "not-applicable": "did not apply"}
_SIDES = {"up": "does not set", "down": "does not rise"}
_OPEN = 3  # of the questions that the wiring waits for; the check shows them all
_COLUMNS = 24  # of the week's picture in signs: one an hour


def build(reply: dict[str, Any]) -> Document:
    """The document of a `plan` reply. A missing key raises: no report is better than half of one."""
    refs = References(reply["findings"])
    by: dict[str, list[dict[str, Any]]] = {outcome: [] for outcome in _OUTCOMES}
    for finding in reply["findings"]:
        by[finding["outcome"]].append(finding)
    decides = [f for f in by["failed"] if f["weight"] != "advice"]
    advice = [f for f in by["failed"] if f["weight"] == "advice"]
    sections = [
        Section("", [Paragraph(reply["schedule"]["text"], "Schedule:"), Paragraph(reply["wiring"]["text"], "Wiring:")]),
        _findings("What to change", decides, refs, "NO"),
        _findings("Advice (does not change the verdict)", advice, refs, "!"),
        _find_out(reply),
        _settings(reply),
        _by_month(reply["settings"]),
        _week(reply["week"]),
        _sun(reply["sun"]),
        _changes(reply["clock_changes"], reply["zone"]),
        _year(reply["year"], reply["cheapest_window"]),
        _wiring(reply["wiring"]),
        _passed(by["passed"], len(by["not-applicable"]), refs),
        texts_section("Take care", reply["cautions"]),
        texts_section("Who has the last word", reply["defers_to"]),
        texts_section("Not checked", reply["not_checked"]),
        *refs.sections(),
        assumed_section(reply["assumed"]),
        answers_section(reply),
        versions_section(reply, f"; clock changes by tzdata {reply['zone']['tzdata']}"),
    ]
    reasons = [f["message"] for f in decides][:3] if reply["schedule"]["outcome"] == "change" else []
    kept = [section for section in sections if section.blocks]
    return Document(reply["headline"], WORDS[reply["headline"]], reply["headline_text"], reasons, kept)


def _findings(title: str, failed: list[dict[str, Any]], refs: References, mark: str) -> Section:
    items = []
    for finding in failed:
        lines = [finding["message"] + refs.mark(finding)]
        lines += [f"What to do: {finding['fix']}"] if finding["fix"] else []
        lines += shaky(finding)
        items.append(Item(finding["title"], lines, mark))
    return Section(title, [Listing(items)] if items else [])


def _find_out(reply: dict[str, Any]) -> Section:
    items = [to_find_out(entry) for entry in reply["find_out"]]
    return Section("What to find out", [Listing(items)] if items else [])


def _settings(reply: dict[str, Any]) -> Section:
    rows = []
    for row in reply["settings"]:
        season = f", {row['season'][0]} to {row['season'][1]}" if row["season"] else ""
        off = row["off"] + (" (next day)" if row["off_next_day"] else "")
        rows.append([f"{row['programme']}  {row['days']}{season}", row["on"], off])
    blocks: list[Any] = [Table(["programme", "on", "off"], rows)]
    if reply["sun"]["by_month"]:
        latitude, longitude = (reply["answers"][name] for name in ("latitude_deg", "longitude_deg"))
        text = f"latitude {latitude}° (north is positive), longitude {longitude}° (east is positive), zone {reply['zone']['name']}."
        blocks.append(Paragraph(text, "If the clock works out the sun, enter this place:"))
    return Section("What to type into the clock", blocks)


def _by_month(settings: list[dict[str, Any]]) -> Section:
    blocks: list[Any] = []
    for row in settings:
        if row["by_month"]:
            blocks.append(Paragraph(f"Programme {row['programme']}, times on the 15th of each month:"))
            rows = [[m["month"], m["on"] or "no run", m["off"] or ""] for m in row["by_month"]]
            blocks.append(Table(["month", "on", "off"], rows))
    return Section("If the clock does not know the sun", blocks)


def _week(week: list[dict[str, Any]]) -> Section:
    rows = []
    for day in week:
        runs = ", ".join(f"{run['from']}-{run['to']}" for run in day["runs"]) or "off"
        rows.append([f"{day['day']} {day['date']}", _bar(day), runs])
    return Section("A week at a glance", [Table(["day", "0.....6.....12....18....", "on"], rows)])


def _bar(day: dict[str, Any]) -> str:
    """A sign an hour: `#` on for most of it, `+` for some of it."""
    length, signs = day["length_min"], ""
    for column in range(_COLUMNS):
        first, last = column * length / _COLUMNS, (column + 1) * length / _COLUMNS
        on = sum(max(0, min(run["to_min"], last) - max(run["from_min"], first)) for run in day["runs"])
        signs += "#" if on * 2 >= last - first else "+" if on else "."
    return signs


def _sun(sun: dict[str, Any]) -> Section:
    rows = [
        [day["date"], "", f"the sun {_SIDES[day['stays']]}"]
        if "stays" in day
        else [day["date"], day["rises"], day["sets"]]
        for day in sun["by_month"]
    ]
    blocks: list[Any] = [Table(["day", "rises", "sets"], rows)] if rows else []
    for span in sun["sunless"]:
        dates = f"From {span['from']} to {span['until']} the sun {_SIDES[span['sun']]}"
        blocks.append(Paragraph(f"{dates}: programme {span['programme']} finds no {span['event']}."))
    return Section("Sunrise and sunset", blocks)


def _changes(changes: list[dict[str, Any]], zone: dict[str, Any]) -> Section:
    rows = [[change["date"], change["from"], change["to"]] for change in changes]
    return Section(f"When the clocks change ({zone['name']})", [Table(["day", "from", "to"], rows)] if rows else [])


def _year(year: dict[str, Any], window: dict[str, Any] | None) -> Section:
    most = "at most " if year["at_most"] else ""
    rows = [["switched on", f"{year['hours']} h", f"{year['hours_all']} h"], ["starts", year["starts"], "0"]]
    notes: list[Any] = []
    if year["model"] == "none":
        notes.append(Paragraph(f"Energy and cost are not known. Still needed: {', '.join(year['unknown'])}."))
    else:
        always = "not known" if year["always_kwh"] is None else f"{most}{year['always_kwh']} kWh"
        rows.append(["energy", f"{most}{year['kwh']} kWh", always])
        rows.append(["energy a day", f"{most}{year['kwh_day']} kWh", ""])
    if year.get("cost") is not None:
        unit = f" {year['currency']}".rstrip()
        always = "not known" if year["always_cost"] is None else f"{most}{year['always_cost']}{unit}"
        rows.append(["cost", f"{most}{year['cost']}{unit}", always])
        rows.append(["cost a day", f"{most}{year['cost_day']}{unit}", ""])
        rows += [[f"in {b['name']}, {b['price']}{unit} a kWh", f"{b['kwh']} kWh", ""] for b in year["bands"]]
    if year["model"] == "power x time" and year["always_kwh"] is None:
        text = "If it were on all the time, a thermostat or the load itself would decide how much it draws."
        notes.append(Paragraph(f"{text} A timer saves at most what would be lost, or left running, while it is off."))
    if year["model"] == "tank":
        notes.append(Paragraph("Draw and losses are spread evenly over the day, as if the tank were hot all day."))
    if year.get("timer_saves_kwh_at_most") is not None:
        text = (
            f"By letting the tank cool, a timer saves at most {year['timer_saves_kwh_at_most']} kWh a year: the heat a "
            "cooler tank does not lose. The rest of the saving is the difference between dear and cheap hours."
        )
        notes.append(Paragraph(text))
    if window:
        unit = f" {year['currency']}".rstrip()
        later = " on the next day" if window["next_day"] else ""
        text = (
            f"The cheapest daily window of {window['minutes']} min is {window['from']} to {window['until']}{later}: "
            f"{window['cost_day']}{unit} a day at full power; the dearest costs {window['dearest_cost_day']}{unit}."
        )
        notes.append(Paragraph(text))
    head = [f"{year['from']} to {year['until']}", "as planned", "always on"]
    return Section("Energy and cost", [Table(head, rows), *notes])


def _wiring(wiring: dict[str, Any]) -> Section:
    answered, longest = wiring["run_hours_answered"], with_unit(wiring["run_hours_planned"], "h")
    if answered == wiring["run_hours_planned"]:
        told = f"The longest run in the plan is {longest}, as you answered."
    else:
        before = "did not say how long it runs" if answered is None else f"answered {with_unit(answered, 'h')}"
        told = f"The longest run in the plan is {longest}. You {before}; the check now uses {longest}."
    blocks: list[Any] = [Paragraph(told)]
    if wiring["headline"] != wiring["headline_as_answered"]:
        blocks.append(
            Paragraph(
                f"The verdict changes from {WORDS[wiring['headline_as_answered']]} to {WORDS[wiring['headline']]}."
            )
        )
    items = [
        Item(
            change["title"],
            [f"Before: {_OUTCOMES[change['before']]}. Now: {_OUTCOMES[change['after']]}. {change['message']}"],
            _MARKS.get(change["after"], ""),
        )
        for change in wiring["changed"]
    ]
    if items:
        blocks.append(Listing(items))
    else:
        blocks.append(Paragraph("That changes nothing in the check."))
    if wiring["find_out"]:
        blocks.append(Paragraph(" ".join(wiring["find_out"][:_OPEN]), "The wiring check still needs:"))
    blocks.append(Paragraph("For the full check of the wiring, run spareway check with this file."))
    return Section("The plan and the wiring", blocks)


def _passed(passed: list[dict[str, Any]], idle: int, refs: References) -> Section:
    blocks: list[Any] = [Listing([Item(f["message"] + refs.mark(f), mark="ok") for f in passed])] if passed else []
    if idle:
        blocks.append(Paragraph(f"{idle} more {'rule does' if idle == 1 else 'rules do'} not apply to this plan."))
    return Section(f"Passed ({len(passed)})", blocks)

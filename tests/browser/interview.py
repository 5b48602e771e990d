"""Doing an interview the way a person does: by what is seen and clicked."""

from __future__ import annotations

import json
from datetime import datetime
from urllib.parse import urlencode

from playwright.sync_api import Locator, Page, expect

from checker.core.api import handle

DAY = "2026-11-25"

# A circuit of our own invention: a water heater of 3 kW on 20 A and 4 mm², a time switch to be put ahead of it.
# Anything not named here is answered with "I don't know".
WATER_HEATER = {
    "worker": "licensed", "premises": "dwelling", "isolation": "whole-board", "lock_off": "true", "tester": "two-pole",
    "tester_proved": "true", "other_supply": "none", "board_condition": "sound", "earth_present": "true",
    "conductor_metal": "copper", "life_safety_load": "false", "circuit_dedicated": "true", "circuit_shape": "radial",
    "clock_supply": "same-breaker", "location": "indoors", "supply_system": "tn-c-s", "phases": "single",
    "supply_voltage_v": "230", "fault_current_ka": "2.5", "rcd": "30-ma", "rcd_type": "a", "neutral_bar": "same-rcd",
    "load_kind": "water-heater", "load_power_w": "3000", "run_hours": "4", "device_kind": "time-switch",
    "device_resistive_a": "20", "device_contact": "live-fed", "device_poles": "one", "contact_action": "normally-open",
    "device_voltage_v": "230", "device_modules": "2", "device_terminal_min_mm2": "1", "device_terminal_max_mm2": "6",
    "device_backup_a": "20", "spare_modules": "3", "board_ambient_c": "30", "breaker_rating_a": "20", "breaker_curve": "C",
    "breaker_capacity_ka": "6", "breaker_neighbours": "2", "link_size": "4 mm2", "link_strands": "solid",
    "cable_size": "4 mm2", "cable_insulation": "pvc", "method": "C", "ambient_c": "30", "grouped_circuits": "1",
    "insulation_length_mm": "0", "loaded_conductors": "two", "run_length_m": "15", "protective_size": "4 mm2",
}  # fmt: skip


class Interview:
    """One person at one page. `given` holds the answers as the page must send them, in the order they were given."""

    def __init__(self, page: Page, site: str) -> None:
        self.page = page
        self.address = f"{site}check/"
        self.given: dict[str, object] = {}

    @property
    def title(self) -> Locator:
        return self.page.locator("#sw-title")

    def open(self, day: str = DAY) -> Interview:
        self.page.clock.set_fixed_time(datetime.fromisoformat(f"{day}T12:00:00"))
        self.page.goto(self.address)
        return self

    def open_report(self, answers: dict[str, str], pack: str = "za", day: str = DAY) -> Interview:
        """Opens the report as a bookmark would: with answers to all that the core asks, "I don't know" where there is none."""
        while question := json.loads(handle(self.request(pack, "next", day=day)))["question"]:
            value = answers.get(question["id"], "dont-know")
            self.given[question["id"]] = (
                {"true": True, "false": False}.get(value, value) if question["kind"] == "yes-no" else value
            )
        fields = {
            f"a.{name}": str(value).lower() if isinstance(value, bool) else value for name, value in self.given.items()
        }
        self.page.clock.set_fixed_time(datetime.fromisoformat(f"{day}T12:00:00"))
        self.page.goto(f"{self.address}#{urlencode({'pack': pack, **fields, 'run': 'every'})}")
        self.page.locator(".sw-report").wait_for()
        return self

    def choose_pack(self, pack: str, run: str = "Answer every question") -> Interview:
        """Begins the long run, which asks one question after another, or the short one with `Continue`."""
        self.page.locator(f'input[name=pack][value="{pack}"]').check()
        self.page.get_by_role("button", name=run).click()
        return self

    def unfold(self, heading: str) -> Locator:
        """Opens what is one tap away on the report, and gives its section."""
        place = self.page.locator("section", has=self.page.get_by_role("heading", name=heading))
        if not place.locator("details").first.evaluate("it => it.open"):
            place.get_by_role("heading", name=heading).click()
        return place

    def wait_ready(self) -> Interview:
        expect(self.page.locator("#sw-status")).to_contain_text("ready")
        return self

    def shown(self) -> str | None:
        """The id of the question on the screen, or None at the report."""
        self.page.locator("form[data-question], .sw-report").first.wait_for()
        form = self.page.locator("form[data-question]")
        return form.get_attribute("data-question") if form.count() else None

    def arrives(self, question: str | None) -> Interview:
        """Waits for a question, or for the report: a link was followed, and the old screen may still stand there."""
        place = f'form[data-question="{question}"]' if question else ".sw-report"
        expect(self.page.locator(place)).to_be_visible()
        return self

    def answer(self, value: str) -> Interview:
        """Answers the question on the screen and waits until another screen has come."""
        question = self.shown()
        form = self.page.locator("form[data-question]")
        kind = form.get_attribute("data-kind")
        form.evaluate("form => { form.dataset.old = 'yes'; }")
        if kind == "number" and value in ("dont-know", "not-stated"):
            self.page.get_by_role(
                "button", name="I don’t know" if value == "dont-know" else "The label does not say"
            ).click()
        else:
            if kind == "number":
                form.locator("input").fill(value)
            else:
                form.locator(f'input[value="{value}"]').check()
            self.page.get_by_role("button", name="Continue").click()
        self.page.locator("form[data-old]").wait_for(state="detached")
        self.given[question] = {"true": True, "false": False}.get(value, value) if kind == "yes-no" else value
        return self

    def go_through(self, answers: dict[str, str], otherwise: str = "dont-know") -> Interview:
        """Answers whatever is asked until the report stands there."""
        for _ in range(120):
            question = self.shown()
            if question is None:
                return self
            options = self.page.locator("form[data-question] input[type=radio]").evaluate_all(
                "all => all.map(i => i.value)"
            )
            wanted = answers.get(question, otherwise)
            self.answer(wanted if not options or wanted in options else options[-1])
        raise AssertionError("120 questions and still no report")

    def request(self, pack: str, ask: str = "check", confirmed: tuple[str, ...] = (), day: str = DAY) -> str:
        """The request that the page must have sent for what was clicked."""
        pack, _, edition = pack.partition("@")
        return json.dumps({"format": 1, "ask": ask, "pack": pack, "edition": edition or None, "as_of": day,
                           "answers": self.given, "confirmed": list(confirmed)})  # fmt: skip

    def saved(self, button: str) -> str:
        """The text of the file behind one of the report's buttons."""
        with self.page.expect_download() as download:
            self.page.get_by_role("button", name=button).click()
        return download.value.path().read_text(encoding="utf-8")

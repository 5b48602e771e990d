"""The short run on the page: one screen for each thing in the hand, then what the verdict would be if the rest is as usual."""

from __future__ import annotations

import json
import re
from datetime import datetime

import pytest

from checker.core.api import handle
from tests.browser.interview import DAY
from tests.browser.walking import Walk

pytestmark = pytest.mark.browser

# Invented jobs of a licensed electrician: what is printed on plate, label, breaker and cable, and what danger and law ask.
SOUND = {
    "worker": "licensed", "premises": "dwelling", "place": "england", "isolation": "whole-board", "lock_off": True,
    "tester": "two-pole", "tester_proved": True, "other_supply": "none", "board_condition": "sound", "earth_present": True,
    "life_safety_load": False, "conductor_metal": "copper", "board_maker_accepts": True, "measured_loop_ohm": "not-stated",
    "skilled_tester": True, "work_scope": "existing-circuit", "work_place": "elsewhere",
}  # fmt: skip
HEATER = SOUND | {
    "load_kind": "water-heater", "load_current_a": "not-stated", "load_power_w": "3 kW", "device_kind": "time-switch",
    "device_resistive_a": 16, "breaker_rating_a": 16, "cable_size": "2.5 mm2", "protective_size": "1.5 mm2",
}  # fmt: skip
LED = SOUND | {
    "load_kind": "led-lamps", "load_current_a": "not-stated", "lamp_count": 12, "lamp_power_w": 10, "load_power_w": 120,
    "device_kind": "time-switch", "device_resistive_a": 16, "device_led_w": 600, "breaker_rating_a": 6,
    "cable_size": "1.5 mm2", "protective_size": "1 mm2",
}  # fmt: skip
PUMP = SOUND | {
    "load_kind": "pool-pump", "electronic_drive": False, "load_current_a": "5.5", "device_kind": "time-switch-and-contactor",
    "device_resistive_a": 16, "contactor_resistive_a": 25, "contactor_motor_a": 9, "breaker_rating_a": 20,
    "cable_size": "2.5 mm2", "protective_size": "2.5 mm2", "location": "pool",
}  # fmt: skip


def sent(given: dict[str, str]) -> dict[str, object]:
    """Answers as the page sends them."""
    return {name: {"true": True, "false": False, "3 kW": "3000"}.get(value, value) for name, value in given.items()}


def supposed(answers: dict[str, object], pack: str) -> dict:
    request = {"format": 1, "ask": "next", "pack": pack, "as_of": DAY, "answers": answers, "suppose": True}
    return json.loads(handle(json.dumps(request)))["supposed"]


@pytest.fixture
def walk(interview):
    def walked(answers: dict[str, object], pack: str) -> Walk:
        interview.page.clock.set_fixed_time(datetime.fromisoformat(f"{DAY}T12:00:00"))
        return Walk(interview.page, answers).begin(interview.address, pack).to_the_end()

    return walked


# Counted on the way; the goals of the run are 22 answers, 7 screens and 700 words. Where one is not met, the figure reached
# stands here, so that it grows no further.
@pytest.mark.parametrize(
    ("answers", "pack", "most"),
    [
        pytest.param(HEATER, "gb", {"answers": 20, "screens": 7, "words": 700}, id="heater"),
        pytest.param(LED, "gb", {"answers": 22, "screens": 7, "words": 700}, id="led"),
        pytest.param(PUMP, "za", {"answers": 22, "screens": 7, "words": 700}, id="pump"),
    ],
)
def test_the_short_run_is_short_and_ends_as_the_core_supposes(walk, answers, pack, most):
    walked = walk(answers, pack)
    reached = {"answers": len(walked.given), "screens": len(walked.screens), "words": walked.words}
    print(reached, walked.taps)
    said = supposed(sent(walked.given), pack)
    page = walked.page.locator(".sw-short-page")
    assert page.locator("li[data-question]").evaluate_all(
        "all => all.flatMap(li => li.dataset.question.split(' '))"
    ).__len__() == len(said["lines"])
    assert {name: figure for name, figure in reached.items() if figure > most[name]} == {}
    assert len(set(walked.screens)) == len(walked.screens), "a screen came twice"
    numbers = [[int(n) for n in re.findall(r"\d+", place)] for place in walked.places]
    assert [at for at, _ in numbers] == sorted({at for at, _ in numbers}), numbers
    assert len({of for _, of in numbers}) == 1, numbers

"""The short run on the page: one screen for each thing in the hand, then what the verdict would be if the rest is as usual."""

from __future__ import annotations

import itertools
import json
import re
from datetime import datetime
from urllib.parse import urlencode

import pytest
from playwright.sync_api import expect

from checker.cli.short_run import looks
from checker.core.api import handle
from tests.browser.interview import DAY
from tests.browser.test_access import SIDEWAYS, nothing_found
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
    "cable_size": "1.5 mm2", "protective_size": "1 mm2", "rcd_type": "a",
}  # fmt: skip
PUMP = SOUND | {
    "load_kind": "pool-pump", "electronic_drive": False, "load_current_a": "5.5", "device_kind": "time-switch-and-contactor",
    "device_resistive_a": 16, "contactor_resistive_a": 25, "contactor_motor_a": 9, "breaker_rating_a": 16,
    "cable_size": "2.5 mm2", "protective_size": "2.5 mm2", "location": "pool", "control_size": "2.5 mm2",
}  # fmt: skip


QUESTIONS = {
    question["id"]: question
    for question in json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": "iec"})))["questions"]
}


def sent(given: dict[str, str]) -> dict[str, object]:
    """Answers as the page sends them."""
    return {name: {"true": True, "false": False, "3 kW": "3000"}.get(value, value) for name, value in given.items()}


def supposed(answers: dict[str, object], pack: str) -> dict:
    request = {"format": 1, "ask": "next", "pack": pack, "as_of": DAY, "answers": answers, "suppose": True}
    return json.loads(handle(json.dumps(request)))["supposed"]


def looks_on(page) -> list[list[str]]:
    """The questions of each look on the page of the short verdict."""
    return page.locator(".sw-short-page li[data-question]").evaluate_all(
        "all => all.map(li => li.dataset.question.split(' '))"
    )


@pytest.fixture
def walk(interview):
    def walked(answers: dict[str, object], pack: str) -> Walk:
        interview.page.clock.set_fixed_time(datetime.fromisoformat(f"{DAY}T12:00:00"))
        return Walk(interview.page, answers).begin(interview.address, pack).to_the_end()

    return walked


# Counted on the way. The goals of the run are 22 answers, 7 screens, 700 words, 15 looks and 45 taps to the last tick.
# Where one is not met, the figure reached stands here, so that it grows no further.
@pytest.mark.parametrize(
    ("answers", "pack", "most"),
    [
        pytest.param(HEATER, "gb", {"answers": 20, "screens": 7, "words": 700, "looks": 15, "taps": 45}, id="heater"),
        pytest.param(LED, "gb", {"answers": 22, "screens": 7, "words": 760, "looks": 17, "taps": 46}, id="led"),
        pytest.param(PUMP, "za", {"answers": 22, "screens": 7, "words": 700, "looks": 18, "taps": 45}, id="pump"),
    ],
)
def test_the_short_run_is_short_and_ends_as_the_core_supposes(walk, answers, pack, most):
    walked = walk(answers, pack)
    reached = {"answers": len(walked.given), "screens": len(walked.screens), "words": walked.words}
    said = supposed(sent(walked.given), pack)
    assert said["headline"] == "fits"
    looks = looks_on(walked.page)
    assert sorted(itertools.chain(*looks)) == sorted(line["question"] for line in said["lines"])
    reached |= {"looks": len(looks), "taps": walked.taps + len(looks)}
    print(reached)
    assert {name: figure for name, figure in reached.items() if figure > most[name]} == {}


def test_no_screen_comes_twice_and_progress_does_not_jump(walk):
    walked = walk(HEATER, "gb")
    assert len(set(walked.screens)) == len(walked.screens)
    numbers = [[int(n) for n in re.findall(r"\d+", place)] for place in walked.places]
    assert [at for at, _ in numbers] == list(range(1, len(numbers) + 1))
    assert {of for _, of in numbers} == {len(numbers) + 1}


@pytest.fixture
def opened(interview):
    """Opens an address with answers, as a link does."""

    def open_(pack: str, answers: dict[str, object], **place: str):
        said = {f"a.{name}": {True: "true", False: "false"}.get(value, str(value)) for name, value in answers.items()}
        interview.page.clock.set_fixed_time(datetime.fromisoformat(f"{DAY}T12:00:00"))
        interview.page.goto("about:blank")
        interview.page.goto(f"{interview.address}#{urlencode({'pack': pack, **said, **place})}")
        return interview.page

    return open_


# What the core asks of the heater in `iec`, and no more.
DECISIVE = {
    name: value for name, value in HEATER.items()
    if name not in ("place", "skilled_tester", "work_scope", "work_place", "board_maker_accepts")
} | {"load_power_w": "3000", "protective_size": "2.5 mm2"}  # fmt: skip


@pytest.fixture
def short(opened):
    """The short verdict of the heater, and what the core supposes."""
    page = opened("iec", DECISIVE)
    page.locator(".sw-short-page").wait_for()
    return page, supposed(DECISIVE, "iec")


def test_a_supposed_fit_is_headed_find_out_in_its_colour_and_never_called_fits(short):
    page, said = short
    assert said["headline"] == "fits"
    head = page.locator(".sw-headline")
    expect(head.locator(".sw-word")).to_have_text("Find out")
    expect(page.locator("#sw-title")).to_have_text(f"It fits if these {len(said['lines'])} things are as usual here.")
    green = page.evaluate("getComputedStyle(document.querySelector('.sw')).getPropertyValue('--sw-fits').trim()")
    assert green and head.evaluate("e => getComputedStyle(e).color") == head.evaluate(
        "e => { e.style.color = 'var(--sw-find-out)'; return getComputedStyle(e).color; }"
    )
    assert page.locator(".sw-short-page [class*=fits]").count() == 0


def test_lines_stand_by_what_one_holds_and_together_what_one_sees_in_one_look(short):
    page, said = short
    groups = page.locator(".sw-short-group")
    assert len(set(groups.evaluate_all("all => all.map(g => g.dataset.screen)"))) == groups.count()
    lines = {line["question"]: line for line in said["lines"]}
    expected = looks(said["lines"], QUESTIONS)
    assert sorted(map(sorted, looks_on(page))) == sorted(sorted(line["question"] for line in look) for look in expected)
    for names in looks_on(page):
        item = page.locator(f'li[data-question="{" ".join(names)}"]')
        silent = len(names) > 1 and all(lines[name]["value"] == "not-stated" for name in names)
        # Each thing is named, and how to see it; what one label leaves out needs no more than its name.
        for name in names:
            expect(item).to_contain_text(QUESTIONS[name]["label"])
            assert silent or lines[name]["seen"] in item.inner_text()


def test_one_thing_of_a_look_may_be_answered_otherwise_and_the_rest_stays_open(short):
    page, _ = short
    look = page.locator('li[data-question~="cable_insulation"]')
    look.get_by_role("button", name="Something is different").click()
    look.locator('[data-value="xlpe"]').click()
    expect(page).to_have_url(re.compile(r"a\.cable_insulation=xlpe"))
    expect(page.locator('li[data-question~="cable_insulation"]')).to_have_count(0)
    assert "a.loaded_conductors" not in page.url
    said = supposed(DECISIVE | {"cable_insulation": "xlpe"}, "iec")
    expect(page.locator("#sw-title")).to_have_text(f"It fits if these {len(said['lines'])} things are as usual here.")
    assert "loaded_conductors" in itertools.chain(*looks_on(page))


def test_when_all_is_ticked_the_verdict_is_that_of_the_core(short, interview):
    page, said = short
    walk = Walk(page, DECISIVE)
    assert walk.tick_all() == len(looks(said["lines"], QUESTIONS))
    page.locator(".sw-report").wait_for()
    interview.given = DECISIVE | {line["question"]: line["value"] for line in said["lines"]}
    expected = json.loads(handle(interview.request("iec")))
    assert json.loads(interview.saved("Save the report")) == expected
    assert expected["headline"] == "fits"


def test_a_line_that_stands_alone_may_be_answered_otherwise_on_the_spot(short):
    page, _ = short
    line = page.locator('li[data-question="location"]')
    line.get_by_role("button", name="It is different").click()
    line.locator('[data-value="outdoors"]').click()
    expect(page).to_have_url(re.compile(r"a\.location=outdoors"))
    expect(line).to_have_count(0)


def test_nothing_is_chosen_beforehand_and_a_needless_question_goes_while_a_needed_one_comes(opened):
    page = opened("iec", {}, at="on.before")
    page.locator("form[data-screen=before]").wait_for()
    assert page.locator(".sw-ask [aria-pressed=true]").count() == 0
    asked = page.locator(".sw-ask")
    before = set(asked.evaluate_all("all => all.map(a => a.dataset.question)"))
    assert {"isolation", "tester", "board_condition"} <= before
    page.locator('[data-question=tester] [data-value="two-pole"]').click()
    expect(page.locator("[data-question=tester_proved]")).to_have_count(1)
    page.locator('[data-question=isolation] [data-value="none"]').click()
    expect(asked).to_have_count(2)  # the two that are answered: after a stop nobody is asked for more
    expect(page.locator(".sw-settled")).to_contain_text("Already clear: stop.")


def test_a_wrong_figure_is_named_at_its_field_and_a_right_one_says_how_it_was_read(opened):
    page = opened("iec", {name: DECISIVE[name] for name in DECISIVE if name != "load_power_w"}, at="on.load")
    ask = page.locator('.sw-ask[data-question="load_power_w"]')
    ask.locator("input").fill("much")
    page.get_by_role("button", name="Next").click()
    expect(ask.locator(".sw-error")).to_contain_text("“much” is not a number")
    expect(ask.locator("input")).to_be_focused()
    ask.locator("input").fill("3kW")
    ask.locator("input").press("Tab")
    expect(ask.locator(".sw-range")).to_have_text("Read as 3000\u00a0W.")
    expect(page).to_have_url(re.compile(r"a\.load_power_w=3000\b"))


def test_the_phones_back_goes_one_screen_back_and_keeps_the_answers(interview):
    page = interview.open().choose_pack("iec", "Continue").page
    page.locator('[data-question=worker] [data-value="licensed"]').click()
    page.locator('[data-question=premises] [data-value="dwelling"]').click()
    page.locator("form[data-screen=before]").wait_for()
    page.locator('[data-question=isolation] [data-value="whole-board"]').click()
    expect(page).to_have_url(re.compile("a.isolation"))
    page.go_back()
    page.locator("form[data-screen=who]").wait_for()
    expect(page.locator("[data-question=worker] [aria-pressed=true]")).to_have_text("A licensed electrician")
    page.get_by_role("button", name="Next").click()
    page.locator("form[data-screen=before]").wait_for()
    expect(page.locator("[data-question=isolation] [aria-pressed=true]")).to_have_count(1)


def test_a_run_that_was_broken_off_can_be_gone_on_with_or_forgotten(interview):
    page = interview.open().choose_pack("iec", "Continue").page
    page.locator('[data-question=worker] [data-value="licensed"]').click()
    expect(page).to_have_url(re.compile("a.worker"))
    page.goto("about:blank")
    page.goto(interview.address)
    expect(page.locator(".sw-offer")).to_contain_text("You have an answer from before")
    page.get_by_role("link", name="Go on where you stopped").click()
    expect(page.locator("[data-question=worker] [aria-pressed=true]")).to_have_count(1)
    page.goto("about:blank")
    page.goto(interview.address)
    page.get_by_role("button", name="Forget them").click()
    page.reload()
    expect(page.locator("#sw-start")).to_be_visible()
    assert page.locator(".sw-offer").count() == 0


def test_another_circuit_of_the_board_keeps_the_person_the_place_and_the_board(short):
    page, _ = short
    page.get_by_role("link", name="Another circuit in the same board").click()
    page.locator("form[data-screen]").wait_for()
    kept = set(re.findall(r"a\.(\w+)=", page.url))
    assert {"worker", "premises", "isolation", "lock_off", "tester", "board_condition", "other_supply"} <= kept
    assert not kept & {
        "life_safety_load",
        "earth_present",
        "load_kind",
        "breaker_rating_a",
        "cable_size",
        "device_kind",
    }


@pytest.mark.first_visit
def test_a_homeowner_is_told_to_call_after_two_answers_before_python_is_there(interview, site):
    site.python_may_pass.clear()
    page = interview.open().choose_pack("gb", "Continue").page
    expect(page.locator(".sw-place")).to_have_text("Step 1 of about 8")
    page.locator('[data-question=worker] [data-value="unlicensed"]').click()
    page.locator('[data-question=premises] [data-value="other"]').click()
    expect(page.locator(".sw-settled, .sw-early").first).to_contain_text(re.compile("call", re.IGNORECASE))
    site.python_may_pass.set()


@pytest.mark.parametrize("palette", ["light", "dark"])
@pytest.mark.parametrize("at", ["on.before", "on.cable", "short"])
def test_axe_finds_nothing_and_every_target_is_large_enough(opened, palette, at):
    page = opened("iec", DECISIVE, at=at)
    page.emulate_media(color_scheme=palette, reduced_motion="reduce")
    page.set_viewport_size({"width": 320, "height": 2000})
    page.locator("form[data-screen], .sw-short-page").wait_for()
    page.evaluate("document.querySelectorAll('#sw-view details').forEach(d => { d.open = true; })")
    for button in page.get_by_role("button", name="It is different").all()[:3]:
        button.click()
    assert page.evaluate(SIDEWAYS) <= 0
    small = page.locator("#sw-view :is(button, input, summary, a.sw-back)").evaluate_all(
        "all => all.filter(e => e.offsetParent && e.getBoundingClientRect().height < 44).map(e => e.textContent)"
    )
    assert small == []
    # The count stays in sight over whatever scrolls below it: axe cannot tell the ground of what it lies on.
    page.add_style_tag(content=".sw-short-count { position: static !important; }")
    nothing_found(page)


@pytest.mark.parametrize("at", ["on.load", "on.cable", "short"])
def test_little_stands_above_a_heading_on_a_phone(opened, at):
    page = opened("iec", DECISIVE, at=at)
    page.set_viewport_size({"width": 360, "height": 740})
    page.locator("form[data-screen], .sw-short-page").wait_for()
    space = page.evaluate("""() => {
      const below = document.querySelector('.md-header').getBoundingClientRect().bottom;
      const first = document.querySelector('.sw-word') ?? document.getElementById('sw-title');
      return first.getBoundingClientRect().top - below;
    }""")
    assert 0 <= space <= 64

"""The short form and the short run, against the real core."""

from __future__ import annotations

import io
import json
import re

import pytest

from checker.cli import short
from checker.cli.client import Client, Inputs
from checker.cli.short_run import ShortRun, looks
from checker.cli.talk import Talk
from checker.core.api import handle
from checker.terminal import text
from checker.terminal.display import Display, display_of
from tests.cli.conftest import DATE, FITS, toml

# What a water heater of our own invention is asked in the short run; everything else is left as usual.
DECISIVE = {
    "isolation": "whole-board", "worker": "licensed", "premises": "dwelling", "lock_off": True, "tester": "two-pole",
    "tester_proved": True, "other_supply": "none", "board_condition": "sound", "earth_present": True, "life_safety_load": False,
    "conductor_metal": "copper", "load_kind": "water-heater", "load_current_a": "not-stated", "load_power_w": 3000,
    "device_kind": "time-switch", "device_resistive_a": 20, "breaker_rating_a": 16, "cable_size": "2.5 mm2",
    "measured_loop_ohm": 0.5,
}  # fmt: skip


@pytest.fixture
def supposed(spareway, write):
    """The short form for `DECISIVE` with some answers changed (None: left out), and its exit code."""

    def run(*options: str, **changed):
        answers = {key: value for key, value in (DECISIVE | changed).items() if value is not None}
        done = spareway("check", "--suppose", *options, write(toml(answers)))
        assert done.stderr == ""
        return done.stdout, done.returncode

    return run


def asked(ask: str, answers: dict) -> dict:
    request = {"format": 1, "ask": ask, "pack": "iec", "as_of": DATE, "answers": answers, "suppose": True}
    return json.loads(handle(json.dumps(request)))


def unwrapped(shown: str) -> str:
    return " ".join(shown.split())


def test_a_supposed_fit_is_headed_find_out(supposed):
    count = len(asked("check", DECISIVE)["supposed"]["lines"])
    assert supposed()[0].splitlines()[1].startswith(f"│ FIND OUT   It fits if these {count} things are as usual here.")


def test_a_supposed_fit_gives_2(supposed):
    assert supposed()[1] == 2


def test_a_supposed_fit_is_never_green():
    report = asked("check", DECISIVE)
    described = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": "iec"})))
    shown = text.render(short.build(report, described["questions"]), Display(colour=True))
    assert report["supposed"]["headline"] == "fits"
    assert "\x1b[1;32m" not in shown


@pytest.mark.parametrize(
    "line",
    [
        "Breaking capacity: 6 kA The number in the box on its front is 6000. Fits down to 3 kA.",
        "Width of the time switch: 2 modules Measure: 18 mm are one module. Fits up to 4 modules.",
        "Neutral bar used: On the bar that belongs to the line Follow the wire of the load to its bar. Fits only with this.",
        "Strands of the link wires: Solid It is one round wire, not many thin ones. Also fits with: Stranded.",
        "Short-circuit rating of device: the label does not say The label names no kA. ?",
    ],
)
def test_a_line_says_what_is_usual_how_to_see_it_and_how_far_it_may_be_off(supposed, line):
    assert line in unwrapped(supposed()[0])


def test_each_bound_is_the_last_number_that_still_fits():
    """As the plain check says on either side, with every line answered as usual."""
    supposed = asked("check", DECISIVE)["supposed"]
    usual = {line["question"]: line["value"] for line in supposed["lines"]}
    line = next(line for line in supposed["lines"] if line["question"] == "breaker_capacity_ka")
    for end, fits in (("holds_to", True), ("changes_at", False)):
        reply = asked("check", DECISIVE | usual | {"breaker_capacity_ka": line[end]})
        assert (reply["supposed"]["headline"] == "fits") is fits


def test_what_has_no_usual_answer_is_listed_as_a_question(supposed):
    shown = supposed(breaker_rating_a=None)[0]
    question = asked("next", {key: value for key, value in DECISIVE.items() if key != "breaker_rating_a"})["question"]
    assert "FIND OUT   Answer 1 more question first." in shown
    assert f"? {question['text']}" in unwrapped(shown.partition("Questions still to answer")[2])


@pytest.mark.parametrize(("changed", "word"), [({"isolation": "none"}, "STOP"), ({"worker": "unlicensed"}, "CALL")])
def test_a_decided_verdict_supposes_nothing(supposed, changed, word):
    shown, code = supposed(**changed)
    assert shown.splitlines()[1].startswith(f"│ {word}")
    assert "as usual" not in shown
    assert code == 1


def test_a_decided_verdict_keeps_its_reasons(supposed):
    answers = DECISIVE | {"isolation": "none"}
    message = next(f["message"] for f in asked("check", answers)["findings"] if f["rule"] == "isolation-possible")
    assert unwrapped(message) in unwrapped(supposed(isolation="none")[0])


def test_json_is_the_whole_reply(supposed):
    assert json.loads(supposed("--json")[0]) == asked("check", DECISIVE)


def test_markdown_has_the_same_headline(supposed):
    assert re.search(r"FIND OUT.*It fits if these \d+ things are as usual here", supposed("--markdown")[0], re.DOTALL)


def test_the_short_form_and_the_job_do_not_go_together(spareway):
    assert spareway("check", "--suppose", "--job", "x.toml").returncode == 64


DESCRIBED = json.loads(handle(json.dumps({"format": 1, "ask": "describe", "pack": "iec", "as_of": DATE})))
QUESTIONS = {question["id"]: question for question in DESCRIBED["questions"]}
TITLES = {screen["id"]: screen["title"] for screen in DESCRIBED["screens"]}
WALK = ["who", "before", "load", "label", "breaker", "cable", "board"]


def next_asked(reply: dict, given: dict) -> str | None:
    """By the walk from the person to the board: the first screen with an open question, what kind of thing it is first."""
    for screen in WALK:
        open_ = [n for n in reply["supposed"]["waits_for"] if n not in given and QUESTIONS[n]["screen"] == screen]
        if open_:
            kinds = {"load_kind", "device_kind"} & set(open_)
            return kinds.pop() if kinds else open_[0]
    return None


def run_through() -> tuple[list[str], list[dict]]:
    """The lines to type in a short run, and the replies it gets."""
    given: dict = {}
    replies = []
    while (name := next_asked(reply := asked("next", given), given)) is not None:
        replies.append(reply | {"asked": QUESTIONS[name]})
        given[name] = (FITS | DECISIVE).get(name, "dont-know")
    words = {True: "yes", False: "no", "not-stated": "ns", "dont-know": "dk"}
    typed = [
        words[value] if isinstance(value, (bool, str)) and value in words else str(value) for value in given.values()
    ]
    return typed, replies


@pytest.fixture
def session(spareway):
    lines, replies = run_through()
    done = spareway(
        "ask", "--suppose", "--pack", "iec", "--as-of", DATE, "--save", "kept.toml", stdin="\n".join(lines) + "\n"
    )
    assert done.stderr == ""
    return done, replies


def test_the_short_run_ends_with_the_short_form_of_its_answers(session, spareway):
    done, _ = session
    checked = spareway("check", "--suppose", "kept.toml")
    assert checked.stdout in done.stdout
    assert done.returncode == 2


def test_the_short_run_asks_what_the_core_asks_and_no_more(session):
    done, replies = session
    assert len(replies) < 25
    assert done.stdout.count("\n> ") == len(replies)


def test_each_screen_of_the_short_run_is_named_when_it_begins(session):
    done, replies = session
    titles = [TITLES[reply["asked"]["screen"]] for reply in replies]
    new = [title for place, title in enumerate(titles) if place == 0 or titles[place - 1] != title]
    assert re.findall(r"^── (.*?) ─", done.stdout, re.MULTILINE) == new


def test_the_short_run_says_how_far_it_has_come_and_does_not_jump(session):
    said = [(int(at), int(of)) for at, of in re.findall(r"step (\d+) of about (\d+)", session[0].stdout)]
    assert said == [(at, len(said) + 1) for at in range(1, len(said) + 1)]


@pytest.fixture
def looking():
    """A short run of the everyday heater that a patient person brings to its end, then `typed`; what was said."""

    def run(*typed: str) -> tuple[str, dict]:
        inputs = Inputs("iec", DATE, dict(DECISIVE))
        sink = io.StringIO()
        talk = Talk(io.StringIO("".join(f"{line}\n" for line in typed)), sink, display_of(sink), patient=True)
        ShortRun(Client(), inputs, talk, offers_to_save=False).run()
        return sink.getvalue(), inputs.answers

    return run


def test_looking_goes_through_the_list_by_what_one_holds_and_a_tick_is_an_answer(looking):
    lines = asked("next", DECISIVE)["supposed"]["lines"]
    said, answers = looking("look", *["ok"] * len(looks(lines, QUESTIONS)), "")
    assert {name: answers[name] for name in answers.keys() - DECISIVE.keys()} == {
        line["question"]: line["value"] for line in lines
    }
    headings = re.findall(r"^-- (.*?) -", said, re.MULTILINE)  # what is no terminal gets plain letters
    assert headings == list(dict.fromkeys(TITLES[QUESTIONS[line["question"]]["screen"]] for line in lines))
    assert re.search(r"^\W*FITS\b", said, re.MULTILINE)


def test_what_is_not_looked_at_stays_open(looking):
    lines = asked("next", DECISIVE)["supposed"]["lines"]
    said, answers = looking("look", *[""] * len(looks(lines, QUESTIONS)), "")
    assert answers == DECISIVE
    assert f"these {len(lines)} things" in said

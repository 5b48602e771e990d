"""`spareway plan`: what it prints and writes, and what it says to a file it cannot use."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import icalendar
import pytest

from checker.cli.main import main
from tests.cli.conftest import ROOT

PLANS = ROOT / "scenarios" / "plans"
HALL = str(PLANS / "village-hall-forecourt.toml")
PLAN = """
[plan]
zone = "Europe/London"
[[plan.programme]]
on = "06:00"
off = "08:00"
"""


@pytest.mark.parametrize(
    ("name", "code", "word"),
    [("village-hall-forecourt", 0, "FITS ON PAPER"), ("pool-with-a-heat-pump", 1, "CHANGE")],
)
def test_the_exit_code_follows_the_headline(spareway, name, code, word):
    done = spareway("plan", str(PLANS / f"{name}.toml"))
    assert (done.returncode, done.stderr) == (code, "")
    assert done.stdout.splitlines()[1].startswith(f"│ {word}")
    assert done.stdout.splitlines()[-2 if code == 0 else -1].startswith(word) or word in done.stdout.splitlines()[-1]


def test_what_is_still_open_in_the_wiring_gives_two(spareway, write):
    done = spareway("plan", write('pack = "iec"\nas_of = "2026-11-25"\n[answers]\nload_kind = "heater"\n' + PLAN))
    assert done.returncode == 2
    assert "The wiring check still needs:" in done.stdout


def test_the_report_says_when_how_much_and_how_it_is_typed_in(spareway):
    said = spareway("plan", HALL, COLUMNS="88").stdout
    for part in (
        "What to type into the clock", "sunset-00:20", "A week at a glance", "...............+#######.", "Sunrise and sunset",
        "When the clocks change (Europe/London)", "Energy and cost", "106.35 GBP", "The plan and the wiring", "Take care",
        "Not checked", "tzdata",
    ):  # fmt: skip
        assert part in said, part


def test_json_is_the_reply_of_the_core_and_markdown_has_its_tables(spareway):
    reply = json.loads(spareway("plan", HALL, "--json").stdout)
    assert (reply["headline"], reply["format"]) == ("fits", 1)
    marked = spareway("plan", HALL, "--markdown").stdout
    assert marked.startswith("# FITS ON PAPER\n")
    assert "| programme | on | off |" in marked


def test_the_calendar_and_the_picture_are_written_whole(spareway, tmp_path):
    done = spareway("plan", HALL, "--ical", "plan.ics", "--svg", "week.svg")
    assert done.returncode == 0
    data = (tmp_path / "plan.ics").read_bytes()
    assert b"\r\r\n" not in data
    assert len(icalendar.Calendar.from_ical(data).walk("VEVENT")) == 365
    picture = ElementTree.parse(tmp_path / "week.svg").getroot()
    title = picture.find("{http://www.w3.org/2000/svg}title").text
    assert title.startswith("When the load is on. Wed 15:37 to 22:30")


def test_a_file_that_is_there_is_never_written_over(spareway, write, tmp_path):
    write("mine", "plan.ics")
    done = spareway("plan", HALL, "--ical", "plan.ics")
    assert done.returncode == 64
    assert (tmp_path / "plan.ics").read_text() == "mine"
    assert "Something with this name" in done.stderr


def test_one_file_cannot_hold_both(spareway):
    done = spareway("plan", HALL, "--ical", "x", "--svg", "x")
    assert done.returncode == 64
    assert "overwrite" in done.stderr


@pytest.mark.parametrize(
    ("plan", "line", "what"),
    [
        ("", "", "no table for a plan"),
        (PLAN.replace("06:00", "6am"), "line 9: plan.programme 1.on", "not a time of day"),
        (
            PLAN + '[[plan.programme]]\non = "09:00"\noff = "25:00"\n',
            "line 13: plan.programme 2.off",
            "not a time of day",
        ),
        (PLAN + "[[plan.tariff]]\nprice = -1\n", "line 12: plan.tariff 1.price", "not a price"),
        (PLAN.replace("London", "Lodnon"), "line 7: plan.zone", "no time zone"),
        (PLAN.replace("zone", "latitude_deg = 1e400\nzone"), "plan.latitude_deg", ""),
        (PLAN.replace('on = "06:00"', "on = 2026-11-25"), "line 9: plan.programme 1.on", "cannot use this value"),
    ],
)
def test_an_error_names_the_line(capsys, write, plan, line, what):
    file = write('pack = "iec"\nas_of = "2026-11-25"\n[answers]\nlock_off = true\n' + plan)
    assert main(["plan", file]) == 64
    said = capsys.readouterr()
    assert said.out == ""
    assert line in " ".join(said.err.split())
    assert what in " ".join(said.err.split())
    assert all(part in said.err for part in ("where:", "what:", "why:", "fix:"))


def test_times_may_be_written_as_toml_has_them(capsys, write):
    bare = PLAN.replace('"06:00"', "06:00:00").replace('"08:00"', "08:00:00")
    main(["plan", write('pack = "iec"\nas_of = 2026-11-25\n[answers]\n' + bare), "--json"])
    assert json.loads(capsys.readouterr().out)["settings"][0]["on"] == "06:00"


def test_a_file_with_a_plan_can_be_checked_too(capsys):
    assert main(["check", HALL, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["headline"] == "fits"


def test_json_files_hold_plans_as_well(capsys, write):
    held = {
        "pack": "iec",
        "as_of": "2026-11-25",
        "answers": {},
        "plan": {"zone": "UTC", "programme": [{"on": "06:00", "off": "x"}]},
    }
    assert main(["plan", write(json.dumps(held), "plan.json")]) == 64
    assert "plan.programme 1.off" in capsys.readouterr().err


def test_a_plan_is_not_lost_by_going_on_with_the_questions(spareway, write, tmp_path):
    file = write('pack = "iec"\n[answers]\n' + PLAN)
    done = spareway("ask", "--from", file, "--save", file, stdin="quit\n")
    assert done.returncode == 64
    assert "plan" in done.stderr
    assert "[[plan.programme]]" in (tmp_path / "answers.toml").read_text()

"""What every report says about working with the hands. Common practice, no source."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.trade.judging import FITTING, PACKS, check, fitting, undecided_or_failed

both_packs = pytest.mark.parametrize("pack", PACKS)
# A report that fits, one that stops, and one of which nothing is known: what can hurt is said in all of them.
REPORTS = {
    "fits": FITTING,
    "stop": FITTING | {"isolation": "none", "worker": "unlicensed"},
    "nothing answered": {},
}
every_report = pytest.mark.parametrize("answers", REPORTS.values(), ids=REPORTS)


def said(report: dict[str, Any], section: str) -> list[str]:
    return [item["text"] for item in report[section]]


def says(sentences: list[str], *patterns: str) -> bool:
    """Whether one text of a section says all of this."""
    return any(all(re.search(pattern, text, re.IGNORECASE) for pattern in patterns) for text in sentences)


@both_packs
@every_report
def test_about_8_mm_are_stripped(pack: str, answers: dict[str, Any]) -> None:
    """About 8 mm of insulation for a screw terminal; what the device marks wins."""
    report = check(pack, answers)
    for section in ("cautions", "steps"):
        assert says(said(report, section), r"\bstrip about 8 mm\b", r"\bmark(s|ed)?\b"), section


@both_packs
@every_report
def test_a_nicked_strand_lowers_what_the_wire_carries(pack: str, answers: dict[str, Any]) -> None:
    report = check(pack, answers)
    assert says(
        said(report, "cautions"), r"nicked (or cut )?strand lowers what the wire carries", r"cut .*back", "strip"
    )
    assert says(said(report, "steps"), "nicked strand", "cutting back")


@both_packs
@every_report
def test_zero_volts_are_proved_before_touching(pack: str, answers: dict[str, Any]) -> None:
    """With a tester that was itself proved, before and after, over every pair of conductors."""
    report = check(pack, answers)
    cautions, steps = said(report, "cautions"), said(report, "steps")
    assert says(cautions, r"prove 0 V", "tester", "before touching")
    assert says(cautions, "known live source before the test and again after")
    assert says(cautions, "line to neutral", "line to earth", "neutral to earth")
    order = [item["id"] for item in report["steps"]]
    proving = [order.index(step) for step in ("switch-off", "lock", "prove-tester", "test-dead", "prove-tester-again")]
    assert proving == sorted(proving)
    hands_in = [order.index(step) for step in ("mount", "prepare-wires", "tighten")]
    assert max(proving) < min(hands_in)
    assert says(steps, "0 V", "line to neutral", "line to earth", "neutral to earth")


@both_packs
@every_report
def test_a_time_switch_is_no_isolation(pack: str, answers: dict[str, Any]) -> None:
    assert says(said(check(pack, answers), "cautions"), "time switch", "never isolation")


@both_packs
@every_report
def test_code_and_licensed_practice_have_the_last_word(pack: str, answers: dict[str, Any]) -> None:
    report = check(pack, answers)
    assert says(said(report, "defers_to"), "code", "authority|department", "decide")
    assert says(said(report, "defers_to"), "licensed electrician|registered (person|electrician)", "decide|follow")
    assert report["not_checked"]


@both_packs
def test_nobody_may_go_on_without_proving_dead(pack: str) -> None:
    """A multimeter, a pen or nothing at all cannot prove a wire dead; nor can a tester that was not tried."""
    for answers in ({"tester": "multimeter"}, {"tester": "non-contact"}, {"tester": "none"}, {"tester_proved": False}):
        report = fitting(pack, **answers)
        assert report["headline"] == "stop", answers
        assert report["who"]["outcome"] == "stop"


@both_packs
def test_fine_strands_want_ferrules(pack: str) -> None:
    assert undecided_or_failed(fitting(pack, link_strands="fine", ferrules=False)) == {"fine-strands-ferruled"}
    assert fitting(pack, link_strands="fine", ferrules=True)["headline"] == "fits"
    for strands in ("solid", "stranded"):
        assert fitting(pack, link_strands=strands)["headline"] == "fits"


@both_packs
@pytest.mark.parametrize(
    ("size", "headline"),
    [("1 mm2", "change"), ("1.5 mm2", "fits"), ("4 mm2", "fits"), ("6 mm2", "change")],
)
def test_terminals_take_what_they_are_made_for(pack: str, size: str, headline: str) -> None:
    """Marked 1.5 to 4 mm²: thinner is not gripped, thicker does not go in."""
    report = fitting(pack, link_size=size, device_terminal_min_mm2="1.5", device_terminal_max_mm2=4)
    assert report["headline"] == headline
    assert undecided_or_failed(report) == (set() if headline == "fits" else {"terminal-takes-link"})


@both_packs
@pytest.mark.parametrize(("spare", "headline"), [(0, "change"), (1, "change"), (2, "fits"), (3, "fits")])
def test_a_device_needs_its_width_on_the_rail(pack: str, spare: int, headline: str) -> None:
    report = fitting(pack, spare_modules=spare)
    assert report["headline"] == headline
    assert undecided_or_failed(report) == (set() if headline == "fits" else {"room-on-rail"})

"""Each region's sheet against what its law says, as the notes on its law have it. A pack without an entry here fails."""

from __future__ import annotations

import re
from typing import NamedTuple

import pytest

from checker.core.wiring.layout import style_of
from checker.core.wiring.words import Words
from tests.core.asking import PACKS, found
from tests.core.asking import ask as check
from tests.sheet.test_kinds import lines
from tests.sheet.variants import Read, made, plain, sheet, situation, sound


class Law(NamedTuple):
    """`before` and `after`: what the papers have to name. `line`, `neutral`: colours new. `old`: line in old wires."""

    before: str
    after: str
    line: str
    neutral: str
    old: str
    reserved: bool = True  # to licensed people, so that anybody else must call
    enclosure: bool = False  # beside the board
    tests_reserved: bool = True


LAW = {
    "iec": Law("does not know the law", "does not know the law", "brown", "blue", "not the same"),
    # Electrical Installation Regulations 2009: control 5(4), certificate before connection 8(2). SANS 10142-1 6.3.3.
    "za": Law(r"5\(4\)|general control", "certificate of compliance", "red", "black", "brown in imported"),
    # Building Regulations, Part P; minor works certificate; BS 7671 Table 51.
    "gb": Law("building control", "Minor Electrical Installation Works", "brown", "blue", "red", reserved=False),
    # State licensing with local owners' exemptions, permits; NEC 200.6: neutral white or gray; no DIN rail in a load center.
    "us": Law(
        "permit",
        "inspection",
        "black",
        "white or gray",
        "re-identified",
        reserved=False,
        enclosure=True,
        tests_reserved=False,
    ),
    "au": Law("licensed electrician", "certificate of the state", "red or brown", "black or light blue", "red"),
    # Electricity Act 1992, section 79: the owner's exemption ends at the switchboard.
    "nz": Law(
        "switchboard",
        "certificate of compliance.*electrical safety certificate",
        "red or brown",
        "black or light blue",
        "red",
    ),
    # NAV section 13: only companies on the network operator's list; DIN VDE 0293-308.
    "de": Law("Installateurverzeichnis", "DIN VDE 0100-600", "brown", "blue", "black or brown"),
    # CEA regulations 2023: licensed contractor, certified supervisor, wireman with permit.
    "in": Law("licensed by the state", "contractor tests", "red", "black", "red"),
}
each_pack = pytest.mark.parametrize("pack", PACKS)


@each_pack
def test_the_papers_are_those_of_the_place(pack):
    words = Words(situation(sound(pack), pack))
    for section, wanted in (("paper_before", LAW[pack].before), ("paper_after", LAW[pack].after)):
        told = " ".join(text["text"] for text in words.texts(section))
        assert re.search(wanted, told), told
        assert ("does not know the law" in told) == (pack == "iec")


@each_pack
def test_somebody_without_a_licence_gets_what_the_law_leaves_them(pack):
    """Reserved work: the brief for the electrician and nothing else."""
    reply = sheet({**sound(pack), "worker": "unlicensed"}, pack)
    skilled = found(check({**sound(pack), "worker": "unlicensed"}, pack), "skilled-worker")
    if LAW[pack].reserved:
        assert (skilled["outcome"], reply["kind"]) == ("failed", "brief")
        assert skilled["message"] in " ".join(lines(reply, {"brief"}))
    if skilled["outcome"] == "failed":
        assert reply["kind"] in ("brief", "stop")
    assert reply["kind"] == "job" or not lines(reply, {"before", "work", "after", "connections", "buy"})


@each_pack
def test_colours_are_those_of_the_place(pack):
    wires = made({"phases": "single", "device_poles": "one"}, pack).wires
    colour = {wire.link.function: (wire.colour_new, wire.colour_old) for wire in wires}
    assert (colour["line"][0], colour["neutral"][0]) == (LAW[pack].line, LAW[pack].neutral)
    assert LAW[pack].old in colour["line"][1]


@each_pack
def test_the_device_stands_where_the_place_puts_it(pack):
    case = made({}, pack)
    names = {end.terminal.part for wire in case.wires for end in (wire.source, wire.target)}
    assert ("enclosure" in names) == LAW[pack].enclosure
    assert any(part.startswith("splice") for part in names) == LAW[pack].enclosure


@each_pack
def test_testing_is_left_to_whoever_may_sign_for_it(pack):
    assert (style_of(situation(sound(pack), pack))["tests"] == "reserved") == LAW[pack].tests_reserved


VARIANTS = (
    {},
    {"device_kind": "time-switch-and-contactor"},
    {"device_contact": "live-fed"},
    {"phases": "split", "device_poles": "two", "supply_voltage_v": 240, "clock_voltage_v": 240},
)


@each_pack
@pytest.mark.parametrize("answers", VARIANTS)
def test_the_drawings_of_the_place_agree_with_its_list(pack, answers):
    case = made(answers, pack)
    listed = {wire.number: (bare(wire.source.id), bare(wire.target.id)) for wire in case.wires}
    for drawn in case.drawings.values():
        shown = Read(drawn["svg"])
        assert {n: tuple(bare(end or "nothing") for end in shown.ends(n)) for n in shown.wires} == listed


def bare(terminal: str) -> str:
    """As `plain`, with the marks of every pack: G is a bar as well."""
    return "G" if terminal.startswith("G:") else plain(terminal)

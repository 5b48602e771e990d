"""The tables the job sheet prints from: marks, colours, headings. No rule reads them, but somebody wires by them.

Each is written out here by the standard that its docstring names, from memory and with the table at hand: that guards
against a slip, not against what both copies have wrong.
"""

from __future__ import annotations

from itertools import combinations

import pytest

from tests.tables.test_said_in_words import values

REGIONS_WITH_COLOURS = ("base", "gb", "de", "za", "us", "au", "nz", "in")
MARKS_OF_CONDUCTORS = {  # IEC 60445: L, N and PE
    "neutral-bar": "N", "other-neutral-bar": "N2", "time-switch-line": "L", "time-switch-neutral": "N",
    "load-line": "L", "load-neutral": "N",
    **{f"{part}-line-{n}": f"L{n}" for part in ("time-switch", "load") for n in (1, 2, 3)},
}  # fmt: skip
COIL = {"contactor-coil-1": "A1", "contactor-coil-2": "A2"}  # EN 50005 and NEMA ICS 5 alike
CONTACTS = ("normally-open", "normally-closed", "changeover")


def words(table: dict[tuple, dict]) -> dict[str | tuple, str]:
    """The cells as text, by their one key or by all."""
    return {str(key[0]) if len(key) == 1 else tuple(map(str, key)): str(value) for key, value in values(table).items()}


def main_poles(part: str, count: int, first: str = "", second: str = "") -> dict[str, str]:
    """Both ends of each pole: odd and even numbers (EN 50005), or a letter with the number of the pole (NEMA)."""
    marks = {}
    for pole in range(1, count + 1):
        marks[f"{part}-in-{pole}"] = f"{first}{pole}" if first else str(2 * pole - 1)
        marks[f"{part}-out-{pole}"] = f"{second}{pole}" if second else str(2 * pole)
    return marks


# The fuse of a control circuit, in by odd numbers and out by even ones (EN 50005), and the rest of the circuit.
FUSE_AND_REST = {
    "control-fuse-in-1": "1", "control-fuse-out-1": "2", "control-fuse-in-2": "3", "control-fuse-out-2": "4",
    "other-load-line-1": "L1", "other-load-line-2": "L2", "other-load-line-3": "L3",
}  # fmt: skip


def test_marks_follow_the_european_standards(cells):
    """EN 50005: first digit the contact's place, second its function: 1-2 opens, 3-4 closes, 1-4 of a changeover closes.
    Letters of devices as in IEC 81346-2: F protects, K switches by itself, S by hand, X joins, W conducts, E heats."""
    functions = {"normally-open": ("3", "4"), "normally-closed": ("1", "2"), "changeover": ("1", "4")}
    contacts = {
        f"{kind}-{way}-{place}": f"{place}{digit}"
        for kind in CONTACTS
        for place in (1, 2, 3)
        for way, digit in zip(("in", "out"), functions[kind], strict=True)
    }
    devices = {
        "breaker": "F1", "other-breaker": "F2", "time-switch": "KT1", "contactor": "KM1", "control": "S1", "connector": "X",
        "splice": "W", "load": "E1", "enclosure": "A2", "control-fuse": "F3", "other-load": "E2",
    }  # fmt: skip
    earth = dict.fromkeys(("earth-bar", "load-earth", "enclosure-earth"), "PE")
    poles = main_poles("breaker", 3) | main_poles("contactor", 3) | main_poles("other-breaker", 2)
    del poles["other-breaker-in-2"]  # what feeds the clock from there is one pole and, between two lines, the way back
    control = {"control-in": "13", "control-out": "14"}
    marks = MARKS_OF_CONDUCTORS | COIL | contacts | devices | earth | poles | control | FUSE_AND_REST
    assert words(cells("base", "terminal-marks")) == marks


def test_marks_follow_american_practice(cells):
    """NEMA ICS 1 and ICS 5: L for line and T for load with the number of the pole, G for the ground, letters CB and TS.
    The bare numbers on a time switch's terminals are common practice, no source."""
    contacts = {key.replace("x", kind): mark for kind in CONTACTS for key, mark in main_poles("x", 3).items()}
    devices = {
        "breaker": "CB1", "other-breaker": "CB2", "time-switch": "TS1", "contactor": "C1", "control": "S1", "connector": "X",
        "splice": "W", "load": "LD1", "enclosure": "EN1", "control-fuse": "FU1", "other-load": "LD2",
    }  # fmt: skip
    earth = dict.fromkeys(("earth-bar", "load-earth", "enclosure-earth"), "G")
    poles = {}
    for part, count in (("breaker", 3), ("contactor", 3), ("other-breaker", 2)):
        poles |= main_poles(part, count, "L", "T")
    del poles["other-breaker-in-2"]
    marks = (
        MARKS_OF_CONDUCTORS
        | COIL
        | contacts
        | devices
        | earth
        | poles
        | FUSE_AND_REST
        | {"control-in": "1", "control-out": "2"}
    )
    assert words(cells("us", "terminal-marks")) == marks


def test_no_two_facts_for_the_electrician_have_one_heading(cells):
    headings = list(words(cells("base", "brief-facts")).values())
    assert sorted(headings) == sorted(set(headings))


def test_the_electrician_is_told_every_fact_that_a_quote_needs(cells):
    """Common practice, no source: what the load is, what protects it, what cable it hangs on, and what may hurt."""
    load = {"load_kind", "load_power_w", "load_current_a", "motor_output_w", "load_voltage_v", "run_hours", "location"}
    wish = {"premises", "device_kind", "device_contact", "circuit_dedicated", "spare_modules", "life_safety_load"}
    breaker = {"breaker_rating_a", "breaker_curve", "breaker_kind", "rcd", "rcd_rating_ma", "rcd_type", "neutral_bar"}
    cable = {"cable_size", "cable_insulation", "run_length_m", "protective_size", "conductor_metal"}
    supply = {"phases", "supply_voltage_v", "supply_system", "other_supply"}
    danger = {"isolation", "lock_off", "board_condition", "earth_present"}
    assert set(words(cells("base", "brief-facts"))) == load | wish | breaker | cable | supply | danger


COLOURS = {  # line 1, 2 and 3, neutral, earth: new
    "base": ("brown", "black", "grey", "blue", "green-and-yellow"),  # IEC 60445
    "gb": ("brown", "black", "grey", "blue", "green-and-yellow"),  # BS 7671 Table 51
    "de": ("brown", "black", "grey", "blue", "green-and-yellow"),  # DIN VDE 0293-308
    "za": ("red", "white or yellow", "blue", "black", "green-and-yellow"),  # SANS 10142-1 6.3.3
    "us": ("black", "red", "blue", "white or gray", "green or bare"),  # NEC 200.6, 250.119; lines are practice
    "au": ("red or brown", "white", "dark blue", "black or light blue", "green-and-yellow"),  # AS/NZS 3000 3.8
    "nz": ("red or brown", "white", "dark blue", "black or light blue", "green-and-yellow"),
    "in": ("red", "yellow", "blue", "black", "green or green-and-yellow"),  # IS 732
}
_UNKNOWN, _AMERICAN = "not the same everywhere", "any but white, gray or green; white where it is re-identified"
OLD = {  # the same in wires that are there already
    "base": (_UNKNOWN,) * 5,
    "gb": ("red", "yellow", "blue", "black", "green, green-and-yellow, or bare and sleeved"),  # BS 7671 before 2004
    "de": (  # DIN VDE 0100 before 1965: grey neutral, red earth
        "black or brown, before 1965 black", "black or brown", "black or brown", "blue, before 1965 grey",
        "green-and-yellow, before 1965 red",
    ),
    "za": (
        "red, or brown in imported cable", "white or yellow, or black in imported cable", "blue, or grey in imported cable",
        "black, or blue in imported cable", "green-and-yellow or bare",
    ),
    "us": (_AMERICAN, _AMERICAN, _AMERICAN, "white or gray", "green or bare"),
    "au": ("red", "white, or yellow in old cable", "dark blue", "black", "green, green-and-yellow or bare"),
    "nz": ("red", "white, or yellow in old cable", "dark blue", "black", "green, green-and-yellow or bare"),
    "in": ("red", "yellow", "blue", "black", "green or bare"),
}  # fmt: skip


@pytest.mark.parametrize("pack", REGIONS_WITH_COLOURS)
@pytest.mark.parametrize(("age", "colours"), [("new", COLOURS), ("old", OLD)])
def test_colours_are_those_of_the_region(pack, age, colours, cells):
    """What is switched or controls is a line; American practice keeps red for the wire that a switch controls."""
    line, second, third, neutral, earth = colours[pack]
    wanted = {
        "line": line, "line-2": second, "line-3": third, "switched-line": line,
        "control": "red" if (pack, age) == ("us", "new") else line, "neutral": neutral, "protective": earth,
    }  # fmt: skip
    held = words(cells(pack, "conductor-colour"))
    assert {function: colour for (function, when), colour in held.items() if when == age} == wanted


def test_ferrules_have_the_colours_of_their_size(cells):
    """DIN 46228-4, the series that goes by the colours of its part 4: 1 red, 1.5 black, 2.5 blue, 4 grey, 6 yellow, 10 red."""
    colours = {"1": "red", "1.5": "black", "2.5": "blue", "4": "grey", "6": "yellow", "10": "red"}
    assert words(cells("base", "ferrule-colour")) == colours


@pytest.mark.parametrize(("pack", "live"), [("base", "loop-impedance"), ("us", "rcd-test")])
def test_the_job_goes_from_agreeing_to_live_tests(pack, live, cells):
    """EN 50110-1 and IEC 60364-6: agree and record, then wires, then tighten, then dead tests (the contact closed for
    them, or they would end at it), then live."""
    assert words(cells(pack, "sheet-phases")) == {
        "before": "agree", "work": "record", "wires": "line-to-time-switch", "finish": "tighten", "after": "dead-tests",
        "dead": "contact-closed-for-tests", "live": live,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("pack", "own"),
    [
        ("base", {}),
        ("gb", {"mounting-own-enclosure": "own-enclosure"}),
        (
            "us",
            {
                "symbols": "us",
                "mounting": "own-enclosure",
                "tests": "open",
                "system": "tn-c-s",
                "neutral-shared": "stays",
            },
        ),
    ],
)
def test_the_sheet_is_drawn_as_in_the_region(pack, own, cells):
    """IEC 60617 symbols and a rail; American panels have no rail (NEC 312), and one earthing, which IEC calls TN-C-S."""
    plain = {"symbols": "iec", "mounting": "rail", "neutral-tn": "left", "neutral-tt": "left", "tests": "reserved"}
    plain |= {"neutral-shared": "refused"}  # NEC 210.4 allows a multiwire circuit
    assert words(cells(pack, "sheet-style")) == plain | own


def test_what_is_live_is_told_at_the_work_and_what_stops_it_where_it_stops(cells):
    """Common practice, no source."""
    live = (
        "incoming-live", "other-sources", "two-feeds-in-one-device", "neutral-can-be-live", "device-is-not-isolation",
    )  # fmt: skip
    stop = ("unknown-wire", "aluminium")
    assert words(cells("base", "caution-place")) == dict.fromkeys(live, "live") | dict.fromkeys(stop, "stop")


@pytest.mark.parametrize(
    ("pack", "line", "earth"), [("base", "L", "PE"), ("us", "L", "G"), ("au", "A", "E"), ("nz", "A", "E")]
)
def test_insulation_is_measured_between_every_two_conductors(pack, line, earth, cells):
    """IEC 60364-6 6.4.3.3. Actives are A and the earth is E in AS/NZS 3000."""
    wanted = {}
    for phases, count in (("single", 1), ("split", 2), ("three", 3)):
        lines = [line] if count == 1 else [f"{line}{n}" for n in range(1, count + 1)]
        order = [
            *combinations(lines, 2),
            *((one, "N") for one in lines),
            *((one, earth) for one in lines),
            ("N", earth),
        ]
        wanted[phases] = "; ".join(f"{one} – {two}" for one, two in order)
    assert words(cells(pack, "test-pairs")) == wanted

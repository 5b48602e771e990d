"""Tables that a sentence can tell: the sentence, written out by hand, against every cell.

Each is read off the clause its cells name, not off the table: a slipped cell, one too many and one too few are noticed.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

LOADS = (
    "heater", "water-heater", "filament-lamps", "led-lamps", "discharge-lamps", "motor", "pool-pump", "transformer",
    "electronics", "socket-outlets",
)  # fmt: skip
LAMPS = ("filament-lamps", "led-lamps", "discharge-lamps")


def values(table: dict[tuple, dict]) -> dict[tuple, Decimal | str]:
    return {key: cell["value"] for key, cell in table.items()}


@pytest.mark.parametrize("pack", ["au", "nz"])
def test_five_percent_for_whatever_load(pack, cells):
    """AS/NZS 3000 3.6.2: 5 % from the point of supply to any point of the installation."""
    assert values(cells(pack, "drop-limit")) == {(load,): Decimal(5) for load in LOADS}


@pytest.mark.parametrize("pack", ["au", "nz"])
def test_one_time_for_both_tn_systems(pack, cells):
    """AS/NZS 3000 1.5.5.3: 0.4 s at 230 V, whether the neutral is earthed at the board (MEN) or not."""
    assert values(cells(pack, "disconnection-time")) == {("tn-s",): Decimal("0.4"), ("tn-c-s",): Decimal("0.4")}


@pytest.mark.parametrize("pack", ["au", "nz"])
def test_links_in_a_board_take_the_factors_of_wires_in_air(pack, cells):
    """A link hangs in the air of the board, so the factors of PVC in air serve it, from 30 °C on."""
    air = {key[1:]: value for key, value in values(cells("base", "ambient-factor")).items() if key[0] == "pvc"}
    assert values(cells(pack, "link-ambient-factor")) == {
        key: value for key, value in air.items() if 30 <= key[0] <= 60
    }


@pytest.mark.parametrize("pack", ["au", "nz"])
def test_k_goes_by_the_local_temperature_of_pvc(pack, cells):
    """PVC of 75 °C has less way to go to 160 °C than one of 70 °C, so its k is smaller; XLPE is the same, copper alone."""
    held, base = values(cells(pack, "adiabatic-k")), values(cells("base", "adiabatic-k"))
    assert set(held) == {("copper", "pvc"), ("copper", "xlpe")}
    assert held["copper", "pvc"] < base["copper", "pvc"]
    assert held["copper", "xlpe"] == base["copper", "xlpe"]


def test_cool_air_is_given_no_credit_in_south_africa(cells):
    """The local table was not seen: what would allow more than the reference of 30 °C is left out."""
    assert max(values(cells("za", "ambient-factor")).values()) == 1


def test_german_drop_is_three_percent_at_home_and_for_lamps(cells):
    """DIN 18015-1: 3 % behind the meter of a dwelling; elsewhere Table G.52.1: 3 % for lighting, 5 % for the rest."""
    dwelling = {("dwelling", load): Decimal(3) for load in LOADS}
    other = {("other", load): Decimal(3 if load in LAMPS else 5) for load in LOADS}
    assert values(cells("de", "drop-limit")) == dwelling | other


def test_german_times_are_those_of_base_for_two_voltages(cells):
    """Table 41.1 is the same table in both; a German installation has 230 V or 400 V."""
    base = values(cells("base", "disconnection-time"))
    assert values(cells("de", "disconnection-time")) == {key: base[key] for key in base if key[1] in (230, 400)}


def test_whom_to_tell_in_each_nation(cells):
    """England: regulation 12(6A) of 2013. Wales: the older list with kitchens and outdoors. Scotland: a warrant may be
    wanted, ask. Northern Ireland: nothing is asked for."""
    table = values(cells("gb", "notification"))
    scopes = ("existing-circuit", "new-circuit", "consumer-unit")
    places = ("elsewhere", "bath-or-pool", "kitchen-or-outdoors")
    told = {}
    for scope in scopes:
        for place in places:
            small = scope == "existing-circuit"
            told["england", scope, place] = "none" if small and place != "bath-or-pool" else "notify"
            told["wales", scope, place] = "ask" if small and place == "elsewhere" else "notify"
            told["scotland", scope, place] = "ask"
            told["northern-ireland", scope, place] = "none"
    assert table == told


def test_what_each_british_method_lies_in(cells):
    """Appendix 4: A and the flat cable methods 100 to 103 have insulation around them; trunking, clipped and free air not."""
    insulated, free = ("100", "101", "102", "103", "A", "A1", "A2"), ("B1", "B2", "C", "C-round", "E")
    held = {str(key[0]): value for key, value in values(cells("gb", "method-surround")).items()}
    assert held == dict.fromkeys(insulated, "insulation") | dict.fromkeys(free, "air")


@pytest.mark.parametrize(
    ("energy_class", "curve", "limit"),
    [(3, "B", 70_000), (3, "C", 84_000), (2, "B", 240_000), (2, "C", 290_000)],
)
def test_what_a_breaker_of_ten_kiloamperes_lets_through(energy_class, curve, limit, cells):
    """EN 60898-1 annex ZD, up to 16 A: C lets 20 % more through than B, to the nearest thousand or ten thousand."""
    shipped = values(cells("base", "energy-limit"))
    (found,) = {
        value for key, value in shipped.items() if [str(part) for part in key] == [str(energy_class), curve, "16", "10"]
    }
    assert found == limit


def test_what_american_insulation_bears(cells):
    """334.80 and 340.80 hold NM, NM-B and UF-B to 60 °C whatever their wires are made for; THWN 75 °C, THHN 90 °C."""
    assert values(cells("us", "insulation-limit")) == {
        ("nm-b",): 60, ("nm",): 60, ("uf-b",): 60, ("thwn",): 75, ("thhn",): 90,
    }  # fmt: skip


def test_how_large_the_breaker_of_a_motor_may_be(cells):
    """Table 430.52 for single-phase motors: 250 % for a breaker, 300 % for a plain fuse, 175 % for one with delay."""
    assert values(cells("us", "motor-breaker-factor")) == {
        ("breaker",): Decimal("2.5"), ("fuse",): Decimal(3), ("time-delay-fuse",): Decimal("1.75"),
    }  # fmt: skip


def test_which_american_loads_run_on(cells):
    """Always at 125 %: room heaters (424.4), storage water heaters (422.13), motors (430.22). Lamps, transformers and
    electronics from three hours on (article 100). Receptacles count as the whole breaker already."""
    always, never = ("heater", "water-heater", "motor", "pool-pump"), ("socket-outlets",)
    assert values(cells("us", "load-duty")) == {
        (load,): "always" if load in always else "never" if load in never else "by-hours" for load in LOADS
    }


def test_wires_that_breaker_terminals_take(cells):
    """IEC 61009-1 Table 8 (IEC 60898-1 has the same), from memory: rigid wires from the smallest to the largest size, in mm2.
    Flexible wires start at the same sizes and end one size sooner from 32 A on. The table ends on 24, shipped as 25."""
    sizes = [Decimal(size) for size in ["1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50"]]
    rigid = {13: "1 2.5", 16: "1 4", 25: "1.5 6", 32: "2.5 10", 50: "4 16", 80: "10 25", 100: "16 35", 125: "25 50"}
    told = {}
    for rating, ends in rigid.items():
        smallest, largest = map(Decimal, ends.split())
        told["rigid", "smallest", rating] = told["flexible", "smallest", rating] = smallest
        told["rigid", "largest", rating] = largest
        told["flexible", "largest", rating] = largest if rating < 32 else sizes[sizes.index(largest) - 1]
    assert values(cells("base", "breaker-terminal-range")) == told


def test_how_much_a_board_is_loaded_at_once(cells):
    """IEC 61439-3 Table 101, from memory: two or three circuits 0.8, four or five 0.7, six to nine 0.6, ten and more 0.5."""
    told = {(2,): "0.8", (4,): "0.7", (6,): "0.6", (10,): "0.5"}
    assert values(cells("base", "rated-diversity")) == {key: Decimal(value) for key, value in told.items()}


def test_breakers_side_by_side_lose_a_twentieth_at_each_step(cells):
    """One maker's figures, as printed: 5 % less at each step, from one alone to six and more."""
    held = values(cells("base", "side-by-side-factor"))
    assert [held[count,] for count in (1, 2, 4, 6)] == [1 - Decimal("0.05") * step for step in range(4)]
    assert len(held) == 4


def test_a_contactor_loses_nothing_at_its_reference_temperature(cells):
    """IEC 60947-1 and the maker's page: rated at 40 °C around it."""
    assert values(cells("base", "contactor-ambient-factor"))[40,] == 1


def test_a_contactor_loses_one_percent_a_kelvin(cells):
    """The rule on the maker's page."""
    held = values(cells("base", "contactor-ambient-factor"))
    assert held == {(hot,): 1 - (hot - 40) / 100 for (hot,) in held}


def test_a_breaker_between_two_printed_rows_counts_by_the_straight_line(cells):
    """From 1 at 30 °C to 0.9 at 55 °C."""
    held = values(cells("base", "breaker-ambient-factor"))
    assert {key: value for key, value in held.items() if key[0] <= 55} == {
        (hot,): 1 - (hot - 30) / 250 for (hot,) in held if hot <= 55
    }


def test_the_air_in_a_board_warms_no_less_than_its_losses_say(cells):
    """Heat balance: 2 W a loaded circuit (16 A breaker, IEC 60898-1 allows 3.5 W at full load) and 4 W of contactor or clock,
    over 0.22 m2 x 5.5 W/m2K of a small enclosure. Common practice, no source."""
    for (circuits,), rise in values(cells("base", "board-rise")).items():
        assert rise >= (2 * circuits + 4) / Decimal("1.2"), circuits


def test_a_drive_on_one_line_takes_type_f_and_on_more_type_b(cells):
    """IEC 62423: F for mixed frequencies of single-phase drives, B for smooth direct current. Common practice, no source."""
    assert values(cells("base", "drive-rcd-type")) == {("single",): "f", ("split",): "b", ("three",): "b"}


def test_a_hot_breaker_of_forty_amperes_counts_as_twenty_five(cells):
    """The printed sentence behind the factor of 60 °C."""
    assert values(cells("base", "breaker-ambient-factor"))[60,] * 40 == 25


def test_rests_between_starts_are_those_of_the_motor_guide(cells):
    """NEMA MG 10, allowable starts of motors with 2 poles, from memory: seconds between starts for 1, 1.5, 2, 3 and 5 hp."""
    rests = dict(zip((746, 1119, 1492, 2238, 3730), (75, 76, 77, 80, 83), strict=True))
    assert values(cells("base", "motor-rest")) == {(power,): rest for power, rest in rests.items()}


def test_the_tank_of_the_standing_loss_limit(cells):
    """150 litres: 2.59 kWh a day before 2016, 1.377 since (second printed place), cut to 1.38 in the first."""
    assert values(cells("base", "standing-loss")) == {(150,): round(Decimal("1.377"), 2)}


def test_which_loads_put_direct_current_into_an_rcd(cells):
    """IEC 60364-5-53 531.3.3: what has a rectifier needs type A, and sockets take anything that has; the rest may have AC."""
    rectified = {"led-lamps", "discharge-lamps", "electronics", "socket-outlets"}
    assert values(cells("base", "rcd-type")) == {(load,): "a" if load in rectified else "ac" for load in LOADS}


@pytest.mark.parametrize(("pack", "rows"), [("base", 2), ("gb", 3), ("au", 3), ("nz", 3)])
def test_practice_asks_for_sizes_that_are_made(pack, rows, cells):
    """IEC 60228 class 2. Common practice, no source: 1 for 10 A, 1.5 for 16 A, 2.5 for 20 A."""
    told = [((10,), Decimal(1)), ((16,), Decimal("1.5")), ((20,), Decimal("2.5"))]
    assert values(cells(pack, "practice-minimum-size")) == dict(told[-rows:])


def test_the_room_a_conductor_takes_in_a_box(cells):
    """NEC Table 314.16(B), from memory: cubic inches for 14, 12, 10, 8 and 6 AWG."""
    room = {"14 AWG": "2.00", "12 AWG": "2.25", "10 AWG": "2.50", "8 AWG": "3.00", "6 AWG": "5.00"}
    assert values(cells("us", "conductor-volume")) == {(size,): Decimal(value) for size, value in room.items()}

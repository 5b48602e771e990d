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

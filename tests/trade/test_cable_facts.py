"""What everybody in the trade knows about cable and breaker.

Unless a test names another source beside it: common practice, no source.
"""

from __future__ import annotations

import itertools
from decimal import Decimal
from typing import Any

import pytest

from tests.trade.judging import (
    PACKS,
    PRINTED,
    RANK,
    ROUND_CABLE,
    check,
    choices,
    fitting,
    outcomes,
    undecided_or_failed,
)

SIZES = ("1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2")
METHODS = ("A1", "A2", "B1", "B2", "C", "E")
IN_THE_GROUND = {"iec": ("D1", "D2")}
# British flat twin and earth has two loaded cores of PVC, and a thin earth: see the test of its own.
FLAT = {"gb": ("100", "101", "102", "103", "A", "C")}
THIN_EARTH = {"1.5 mm2": "1 mm2", "2.5 mm2": "1.5 mm2", "4 mm2": "1.5 mm2"}
INSULATIONS = ("pvc", "xlpe")
LOADED = ("two", "three")
BREAKERS = (6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63)
HOW_LAID = [
    {"method": method, "cable_insulation": insulation, "loaded_conductors": loaded}
    for method, insulation, loaded in itertools.product(METHODS, INSULATIONS, LOADED)
]
CABLE_RULES = (
    "breaker-within-cable",
    "load-within-cable",
    "smallest-size",
    "usual-smallest-size",
    "terminal-takes-cable",
)
OUTCOME_RANK = {"failed": 0, "cannot-tell": 1, "passed": 2}

both_packs = pytest.mark.parametrize("pack", PACKS)
with_printed_ratings = pytest.mark.parametrize("pack", PRINTED)
as_laid = pytest.mark.parametrize("laid", HOW_LAID, ids=lambda laid: "-".join(laid.values()))


@both_packs
def test_this_file_knows_every_size_and_method(pack: str) -> None:
    """The tests below run over lists of their own: a new size or method must not slip past them."""
    assert tuple(choices(pack, "cable_size")) == SIZES == tuple(choices(pack, "link_size"))
    known = {*METHODS, *IN_THE_GROUND.get(pack, ()), *FLAT.get(pack, ()), *ROUND_CABLE.get(pack, {}).values()}
    assert set(choices(pack, "method")) == known
    assert tuple(choices(pack, "cable_insulation")) == INSULATIONS
    assert tuple(choices(pack, "loaded_conductors")) == LOADED


@both_packs
@as_laid
@pytest.mark.parametrize("size", ["1.5 mm2", "2.5 mm2", "4 mm2"])
def test_one_and_a_half_to_four_serve_a_10_a_breaker(pack: str, size: str, laid: dict[str, str]) -> None:
    """1.5, 2.5 and 4 mm² all serve a 10 A breaker. Common practice, no source."""
    report = fitting(pack, breaker_rating_a=10, load_current_a=10, cable_size=size, link_size=size, **laid)
    assert report["headline"] == "fits", undecided_or_failed(report)


@both_packs
@as_laid
@pytest.mark.parametrize("size", ["1 mm2", "1.5 mm2"])
def test_nothing_below_two_and_a_half_serves_a_20_a_breaker(pack: str, size: str, laid: dict[str, str]) -> None:
    """A 20 A breaker needs at least 2.5 mm², however good the insulation. Common practice, no source."""
    report = fitting(pack, breaker_rating_a=20, load_current_a=1, cable_size=size, **laid)
    assert report["sizing"]["outcome"] == "change"
    assert outcomes(report)["usual-smallest-size"] == "failed"


@both_packs
@as_laid
def test_advice_for_a_20_a_breaker_is_never_below_two_and_a_half(pack: str, laid: dict[str, str]) -> None:
    """The size that the report would have put in. Common practice, no source."""
    report = fitting(pack, breaker_rating_a=20, **laid)
    named = report["quantities"]["smallest_cable"]["exact"]
    assert SIZES.index(named) >= SIZES.index("2.5 mm2")
    fits = fitting(pack, breaker_rating_a=20, cable_size=named, **laid)
    assert fits["headline"] == "fits", "what the report advises has to fit"


@both_packs
@pytest.mark.parametrize("method", ["B1", "B2", "C"])
def test_two_and_a_half_serves_a_20_a_breaker_on_a_wall(pack: str, method: str) -> None:
    """PVC, two loaded conductors, on or in masonry at 30 °C: the everyday 20 A circuit. Common practice, no source."""
    report = fitting(pack, breaker_rating_a=20, load_current_a=20, method=method)
    assert report["headline"] == "fits", undecided_or_failed(report)


@with_printed_ratings
@pytest.mark.parametrize("method", ["A1", "A2"])
def test_two_and_a_half_in_an_insulated_wall_does_not(pack: str, method: str) -> None:
    """A wall of mineral wool keeps the heat in: at least 2.5 mm² is not always enough. Common practice, no source."""
    report = fitting(pack, breaker_rating_a=20, method=method)
    # For single cores (A1) BS 7671 Table 4D1A prints 20 A where IEC has 19.5 A.
    just = (pack, method) == ("gb", "A1")
    assert outcomes(report)["breaker-within-cable"] == ("passed" if just else "failed")


def test_where_only_a_bound_is_known_it_is_doubt() -> None:
    """South Africa, in an insulated wall: 19.5 A at least (IEC 60364-5-52 Table B.52.2) neither passes nor fails 20 A."""
    assert outcomes(fitting("za", breaker_rating_a=20, method="A1"))["breaker-within-cable"] == "cannot-tell"


@pytest.mark.parametrize("method", FLAT["gb"])
def test_flat_twin_and_earth_keeps_the_same_facts(method: str) -> None:
    """British flat cable: 1.5, 2.5 and 4 mm² serve 10 A, nothing below 2.5 mm² serves 20 A. Common practice, no source."""
    laid = {"method": method, "conductor_metal": "copper", "cable_insulation": "pvc", "loaded_conductors": "two"}
    laid |= {"ambient_c": 30, "grouped_circuits": 1, "insulation_length_mm": 0, "breaker_kind": "breaker"}
    for size, earth in THIN_EARTH.items():
        case = laid | {"cable_size": size, "protective_size": earth, "breaker_rating_a": 10}
        found = outcomes(check("gb", case))
        rules = ("breaker-within-cable", "smallest-size", "usual-smallest-size", "flat-cable-earth")
        assert {found[rule] for rule in rules} == {"passed"}
    thin = outcomes(check("gb", laid | {"cable_size": "1.5 mm2", "breaker_rating_a": 20}))
    assert thin["usual-smallest-size"] == "failed"


# --- thicker is always allowed, thinner never: common practice, no source ---

PLACES = [
    {"ambient_c": 30, "grouped_circuits": 1},
    {"ambient_c": 43, "grouped_circuits": 3},
]
at_places = pytest.mark.parametrize("place", PLACES, ids=lambda place: "C-".join(map(str, place.values())))


def judged_by_size(pack: str, sizes_of: str, **answers: Any) -> list[dict[str, Any]]:
    return [fitting(pack, **{sizes_of: size}, **answers) for size in SIZES]


@pytest.mark.sampled(one_in=12)
@both_packs
@as_laid
@at_places
def test_thicker_is_never_worse_and_thinner_never_better(
    pack: str, laid: dict[str, str], place: dict[str, int]
) -> None:
    """Over all sizes in order, with terminals that take any of them."""
    for breaker in (10, 20, 32, 63):
        reports = judged_by_size(pack, "cable_size", breaker_rating_a=breaker, load_current_a=5, **laid, **place)
        ranks = [RANK[report["sizing"]["outcome"]] for report in reports]
        assert ranks == sorted(ranks), f"{breaker} A: {dict(zip(SIZES, ranks, strict=True))}"
        judged = [outcomes(report) for report in reports]
        for rule in CABLE_RULES:
            rule_ranks = [OUTCOME_RANK[rules[rule]] for rules in judged]
            if rule in ("breaker-within-cable", "load-within-cable"):
                # Where a table has no cell for a thin size there is no verdict; that is no pass that got lost later.
                rule_ranks = [rank for rank in rule_ranks if rank != OUTCOME_RANK["cannot-tell"]]
            assert rule_ranks == sorted(rule_ranks), f"{breaker} A: {rule}"


@pytest.mark.sampled(one_in=12)
@with_printed_ratings
@as_laid
def test_thicker_never_carries_less(pack: str, laid: dict[str, str]) -> None:
    """The current a cable may carry rises with every step of size."""
    reports = judged_by_size(pack, "cable_size", **laid)
    capacities = [report["quantities"].get("cable_capacity_a") for report in reports]
    known = [Decimal(capacity["exact"]) for capacity in capacities if capacity]
    assert len(known) >= len(SIZES) - 1 and known == sorted(set(known))


@both_packs
@pytest.mark.parametrize("breaker", BREAKERS)
def test_thicker_link_wires_are_never_worse(pack: str, breaker: int) -> None:
    reports = judged_by_size(pack, "link_size", breaker_rating_a=breaker, cable_size="16 mm2", load_current_a=5)
    ranks = [RANK[report["sizing"]["outcome"]] for report in reports]
    assert ranks == sorted(ranks)
    assert ranks[-1] == RANK["fits"], "16 mm² link wires carry any breaker up to 63 A"


@pytest.mark.sampled(one_in=12)
@with_printed_ratings
@as_laid
def test_hotter_or_fuller_is_never_better(pack: str, laid: dict[str, str]) -> None:
    """Heat and company take current away from a cable, never give it. Common practice, no source."""
    laid = {**laid, "terminal_c": 90}  # else the terminals may bound a 90 °C cable, and they are as cool as before
    warm = [fitting(pack, ambient_c=degrees, **laid) for degrees in (30, 35, 40, 45, 50, 55, 60)]
    full = [fitting(pack, grouped_circuits=number, **laid) for number in (1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 20)]
    for reports in (warm, full):
        capacities = [Decimal(report["quantities"]["cable_capacity_a"]["exact"]) for report in reports]
        assert capacities == sorted(capacities, reverse=True) and len(set(capacities)) == len(capacities)


@pytest.mark.sampled(one_in=12)
@with_printed_ratings
@pytest.mark.parametrize("method", METHODS)
def test_terminals_made_for_pvc_bound_a_90_degree_cable(pack: str, method: str) -> None:
    """BS 7671, 512.1.5, and NFPA 70, 110.14(C), in substance: the 70 °C figures count, unless the terminals say more."""
    capacity = [
        Decimal(fitting(pack, method=method, **told)["quantities"]["cable_capacity_a"]["exact"])
        for told in (
            {"cable_insulation": "pvc"},
            {"cable_insulation": "xlpe", "terminal_c": "not-stated"},
            {"cable_insulation": "xlpe", "terminal_c": 90},
        )
    ]
    assert capacity[0] == capacity[1] < capacity[2]


# --- nothing is rounded before it is compared: arithmetic ---


@with_printed_ratings
@pytest.mark.parametrize(
    ("current", "outcome"),
    [("33.999999999999", "passed"), ("34", "passed"), ("34.000000000001", "failed"), ("34.04", "failed")],
)
def test_a_hundredth_of_an_ampere_decides(pack: str, current: str, outcome: str) -> None:
    """6 mm², PVC, method A1 carries 34 A (IEC 60364-5-52 Table B.52.2), and 34.04 A is more than that."""
    report = fitting(
        pack, load_current_a=current, breaker_rating_a=40, cable_size="6 mm2", method="A1", device_resistive_a=34
    )
    assert outcomes(report)["load-within-cable"] == outcome
    assert outcomes(report)["thermal-rating"] == outcome
    assert outcomes(report)["contact-rating-serves-load"] == outcome


@both_packs
def test_a_breaker_as_large_as_the_load_and_the_cable_is_allowed(pack: str) -> None:
    """Ib <= In <= Iz holds with equal signs too (IEC 60364-4-43, 433.1): 13 A, 13 A, 13 A."""
    report = fitting(
        pack, load_current_a=13, breaker_rating_a=13, method="A2", loaded_conductors="three", cable_size="1.5 mm2"
    )
    assert report["quantities"]["cable_capacity_a"]["exact"] == "13"
    assert report["headline"] == "fits", undecided_or_failed(report)


@pytest.mark.parametrize("method", IN_THE_GROUND["iec"])
@pytest.mark.parametrize("loaded", LOADED)
def test_a_buried_cable_serves_a_10_a_breaker_and_a_20_a_one_only_from_two_and_a_half(method: str, loaded: str) -> None:
    """As in air. Common practice, no source. Ground at 20 °C, the reference of IEC 60364-5-52 Table B.52.15."""
    laid = {"method": method, "loaded_conductors": loaded, "ambient_c": 20}
    for size in ("1.5 mm2", "2.5 mm2", "4 mm2"):
        report = fitting("iec", breaker_rating_a=10, load_current_a=10, cable_size=size, link_size=size, **laid)
        assert outcomes(report)["breaker-within-cable"] == "passed", size
    thin = outcomes(fitting("iec", breaker_rating_a=20, cable_size="1.5 mm2", **laid))
    assert "failed" in (thin["breaker-within-cable"], thin["usual-smallest-size"])

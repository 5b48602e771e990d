"""What everybody in the trade knows about the figures on a time switch and a contactor.

Common practice, no source, unless a test names another. That the bracket of 16(4) A belongs to inductive loads is also
printed in a leaflet for a thermostat marked 10(3) A, to EN 60730-1 (source `bracket-leaflet` of the base rules).
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.trade.judging import PACKS, RANK, fitting, outcomes, undecided_or_failed

both_packs = pytest.mark.parametrize("pack", PACKS)
WINDINGS = ("motor", "pool-pump", "transformer")
LAMPS = ("filament-lamps", "led-lamps", "discharge-lamps")
# Loads for which the plain figure says nothing: all but plain resistances.
NOT_PLAIN = (*WINDINGS, *LAMPS, "electronics", "socket-outlets")
LABEL_SAYS_NO_MORE = dict.fromkeys(
    ("device_inductive_a", "device_motor_a", "device_filament_w", "device_led_w", "device_discharge_w"), "not-stated"
)


def with_load(pack: str, kind: str, **changed: Any) -> dict[str, Any]:
    """A small load of this kind, with its current and its power known, on the case that fits."""
    known = {"load_kind": kind, "load_current_a": 1, "load_power_w": 100, "power_factor": 1}
    return fitting(pack, **(known | changed))


@both_packs
@pytest.mark.parametrize("plain", [6, 16, 63, 400])
@pytest.mark.parametrize("label", [{}, LABEL_SAYS_NO_MORE], ids=["not asked", "not stated"])
@pytest.mark.parametrize("kind", NOT_PLAIN)
def test_a_plain_rating_serves_plain_resistances_only(pack: str, kind: str, plain: int, label: dict[str, str]) -> None:
    """However large it is: it never fits, and the contact's rule is the one that says so."""
    report = with_load(pack, kind, device_resistive_a=plain, breaker_rating_a=6, **label)
    assert report["headline"] == "find-out"
    assert RANK[report["sizing"]["outcome"]] < RANK["fits"]
    about = "contact-rating-serves-load" if kind in (*WINDINGS, "socket-outlets") else "lamp-load-within-device"
    assert undecided_or_failed(report) == {about}
    assert outcomes(report)[about] == "cannot-tell"


@both_packs
@pytest.mark.parametrize("kind", ["heater", "water-heater"])
def test_a_plain_rating_does_serve_a_heater(pack: str, kind: str) -> None:
    report = with_load(pack, kind, load_current_a=16, breaker_rating_a=16, device_resistive_a=16, **LABEL_SAYS_NO_MORE)
    assert report["headline"] == "fits", undecided_or_failed(report)


@both_packs
@pytest.mark.parametrize("kind", WINDINGS)
def test_a_contactor_needs_a_motor_figure_as_well(pack: str, kind: str) -> None:
    """AC-1 or AC-7a is the plain figure of a contactor, and serves a winding as little."""
    contactor = {"device_kind": "contactor", "contactor_modules": 2, "contactor_resistive_a": 400}
    unknown = with_load(pack, kind, **contactor, contactor_motor_a="not-stated")
    assert unknown["headline"] == "find-out"
    assert undecided_or_failed(unknown) == {"contact-rating-serves-load"}
    # AC-6a = 0.45 x AC-3 (IEC 60947-4-1, as recalled): 1.8 A of transformer take a contactor of 4 A.
    current, enough, too_little = ("1.8", "4", "3.99") if kind == "transformer" else ("1", "1", "0.99")
    assert with_load(pack, kind, **contactor, load_current_a=current, contactor_motor_a=enough)["headline"] == "fits"
    too_small = with_load(pack, kind, **contactor, load_current_a=current, contactor_motor_a=too_little)
    assert undecided_or_failed(too_small) == {"contact-rating-serves-load"}
    assert too_small["headline"] == "change"


@both_packs
@pytest.mark.parametrize("kind", WINDINGS)
@pytest.mark.parametrize(
    ("current", "headline"),
    [("3.9", "fits"), ("4", "fits"), ("4.000000000001", "change"), ("4.01", "change"), ("16", "change")],
)
def test_the_bracket_decides(pack: str, kind: str, current: str, headline: str) -> None:
    """16(4) A: four amperes of a winding and not a hundredth more."""
    report = with_load(
        pack,
        kind,
        load_current_a=current,
        breaker_rating_a=16,
        device_resistive_a=16,
        device_inductive_a=4,
        device_motor_a="not-stated",
    )
    assert report["headline"] == headline
    assert undecided_or_failed(report) == (set() if headline == "fits" else {"contact-rating-serves-load"})


@both_packs
@pytest.mark.parametrize("kind", WINDINGS)
def test_the_data_sheet_lowers_the_figure_for_windings(pack: str, kind: str) -> None:
    """The same 16(4) A contact: 16 A of heater, 4 A of winding, by the figures of the label and not by a factor."""
    label = {"device_resistive_a": 16, "device_inductive_a": 4, "device_motor_a": "not-stated"}
    heater = with_load(pack, "heater", **label)["quantities"]["device_limit_a"]["exact"]
    winding = with_load(pack, kind, **label)["quantities"]["device_limit_a"]["exact"]
    assert (heater, winding) == ("16", "4")
    assert Decimal(winding) < Decimal(heater)


@both_packs
@pytest.mark.parametrize("kind", ["motor", "pool-pump"])
@pytest.mark.parametrize(("bracket", "motor", "limit"), [("not-stated", 8, 8), (4, 8, 4), (10, 4, 4)])
def test_the_lower_of_two_figures_for_motors_counts(pack: str, kind: str, bracket: Any, motor: int, limit: int) -> None:
    """A bracket and a motor figure both speak of this load, so neither may be passed over."""
    label = {"device_resistive_a": 16, "device_inductive_a": bracket, "device_motor_a": motor, "breaker_rating_a": 16}
    assert with_load(pack, kind, load_current_a=limit, **label)["headline"] == "fits"
    assert with_load(pack, kind, load_current_a=str(limit + Decimal("0.01")), **label)["headline"] == "change"
    doubt = with_load(pack, kind, load_current_a=1, **(label | {"device_motor_a": "dont-know"}))
    assert doubt["headline"] == "find-out"


@both_packs
def test_a_motor_rating_does_not_serve_a_transformer(pack: str) -> None:
    """A transformer takes its rush when it is switched on, a motor while it starts: the bracket stays."""
    report = with_load(pack, "transformer", load_current_a=5, device_inductive_a=4, device_motor_a=8)
    assert undecided_or_failed(report) == {"contact-rating-serves-load"}


@both_packs
@pytest.mark.parametrize(
    ("kind", "figure"),
    [
        ("filament-lamps", "device_filament_w"),
        ("led-lamps", "device_led_w"),
        ("discharge-lamps", "device_discharge_w"),
        ("electronics", "device_led_w"),
    ],
)
def test_watts_beside_the_lamp_sign_decide(pack: str, kind: str, figure: str) -> None:
    """Each kind of lamp by the watts of its own line, and not by those of another."""
    others = {name: 100_000 for name in ("device_filament_w", "device_led_w", "device_discharge_w") if name != figure}
    for watts, headline in ((100, "fits"), ("99.99", "change"), ("not-stated", "find-out")):
        report = with_load(pack, kind, **others, **{figure: watts})
        assert report["headline"] == headline, watts
        assert undecided_or_failed(report) == (set() if headline == "fits" else {"lamp-load-within-device"})


@both_packs
def test_socket_outlets_count_as_the_whole_breaker(pack: str) -> None:
    """Anything may be plugged in."""
    for breaker, headline in ((10, "fits"), (16, "change")):
        report = with_load(
            pack,
            "socket-outlets",
            load_current_a=1,
            breaker_rating_a=breaker,
            device_inductive_a=10,
            cable_size="4 mm2",
        )
        assert report["headline"] == headline
        assert report["quantities"]["design_current_a"]["exact"] == str(breaker)


@both_packs
def test_a_breaker_larger_than_the_device_does_not_protect_it(pack: str) -> None:
    """A 20 A breaker ahead of a 16 A time switch, unless its maker allows one."""
    case = {"breaker_rating_a": 20, "device_resistive_a": 16}
    assert undecided_or_failed(fitting(pack, **case)) == {"breaker-within-device"}
    assert fitting(pack, **case, device_backup_a=20)["headline"] == "fits"
    assert fitting(pack, **case, device_backup_a="19.9")["headline"] == "change"


@both_packs
def test_a_label_that_allows_less_than_the_plain_figure_is_heeded(pack: str) -> None:
    """A 16 A time switch whose maker allows at most 10 A ahead, behind 16 A."""
    report = fitting(pack, breaker_rating_a=16, device_resistive_a=16, device_backup_a=10)
    assert report["headline"] != "fits"


@both_packs
def test_a_time_switch_that_works_a_contactor_wants_protection_too(pack: str) -> None:
    """The contactor carries 40 A behind 32 A; the coil is fed through a time switch marked 16 A, from the same breaker."""
    report = fitting(
        pack,
        breaker_rating_a=32,
        cable_size="10 mm2",
        device_kind="time-switch-and-contactor",
        device_resistive_a=16,
        device_backup_a="not-stated",
        contactor_resistive_a=40,
        contactor_modules=2,
    )
    assert report["headline"] != "fits"

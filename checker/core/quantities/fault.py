"""What happens when a line touches earthed metal: how much current flows, and whether that opens breaker or RCD.

Source of the method: IEC 60364-4-41 clauses 411.4 (TN) and 411.5 (TT), IEC 60364-5-54 clause 543 (protective
conductor). Figures are the pack's tables and parameters.
"""

from __future__ import annotations

from decimal import Decimal

from checker.core.quantities.drop import ohm_of
from checker.core.quantities.quantity import quantity
from checker.core.values import contradiction, largest, no_cell, rounded_up, smallest

_MILLI = Decimal(1000)
# From this multiple of its rated residual current an RCD has to be quickest (IEC 61008-1).
_QUICK_MULTIPLE = Decimal(5)


@quantity("mm2")
def protective_size_mm2(read) -> Decimal:
    """Cross-section of the circuit's protective conductor, in mm2."""
    return read.area("protective_size")


def _loop_ohm(read, length: Decimal) -> Decimal:
    """Line and protective conductor of `length` metres of route at the temperature of the table, in ohm (R1 + R2)."""
    line, protective = read.all("cable_size_mm2", "protective_size_mm2")
    return ohm_of(read, line, length) + ohm_of(read, protective, length)


@quantity("ohm")
def expected_r1_r2_ohm(read) -> Decimal:
    """Line and protective conductor in series over the route, at 20 °C, in ohm: what a continuity test should show."""
    circuit = _circuit_ohm(read)
    if read.has("cold_resistance_factor"):
        return circuit * read("cold_resistance_factor")
    return circuit


def _circuit_ohm(read) -> Decimal:
    """Line and protective conductor over the route at the temperature of the table, in ohm."""
    length, *_ = read.all("run_length_m", "cable_size_mm2", "protective_size_mm2", "conductor_metal")
    return _loop_ohm(read, length)


@quantity("ohm")
def loop_reading_ohm(read) -> Decimal:
    """The loop measured at the load, cold, in ohm, unless it shows that it or the loop at the board is a slip.

    The loop at the load holds the one at the board. Up to `declared_loop_ohm` that may be a supplier's largest value.
    """
    reading, outside = read("measured_loop_ohm"), read.given("external_impedance_ohm")
    if outside is None or not read.has("loop_reading_spread"):
        return reading
    if outside > read("declared_loop_ohm") and outside > reading * read("loop_reading_spread"):
        raise contradiction("measured_loop_ohm", "external_impedance_ohm")
    return reading


@quantity("ohm")
def electrode_loop_ohm(read) -> Decimal:
    """The loop that holds the earth rod, cold, in ohm: as measured at the load, else the one at the board."""
    return read("loop_reading_ohm") if read.is_stated("measured_loop_ohm") else read("external_impedance_ohm")


@quantity("ohm")
def loop_impedance_ohm(read) -> Decimal:
    """Earth fault loop impedance at the far end while the conductors are hot, in ohm.

    A measured value wins: it is taken cold, so it counts with the pack's `measured_loop_factor`. Else the loop outside
    the circuit + line and protective conductor, hot (IEC 60364-4-41 clause 411.4.4).
    """
    if read.is_stated("measured_loop_ohm"):
        return read("loop_reading_ohm") * read("measured_loop_factor")
    circuit = ("run_length_m", "cable_size_mm2", "protective_size_mm2", "conductor_metal")
    outside, *_, hot = read.all("external_impedance_ohm", *circuit, "hot_resistance_factor")
    return outside + _circuit_ohm(read) * hot


@quantity("s")
def disconnection_limit_s(read) -> Decimal:
    """How fast the supply has to be cut on a fault to earth, in s (table `disconnection-time`)."""
    return read.row("disconnection-time")


@quantity("A")
def loop_trip_a(read) -> Decimal:
    """The current of a fault to earth at which the code takes the breaker to open at once, in A.

    The current that surely does; or, where a region has the table `loop-trip`, its multiple of the breaker's rating.
    """
    if not read.has("loop-trip"):
        return read("breaker_trips_a")
    rating, _ = read.all("breaker_rating_a", "breaker_curve")
    return rating * read.row("loop-trip")


@quantity("ohm")
def loop_limit_ohm(read) -> Decimal:
    """The largest loop impedance at which the breaker still opens at once on a fault to earth, in ohm.

    Voltage to earth x the pack's `loop_voltage_factor` / the current that opens it at once. Source: IEC 60364-4-41
    clause 411.4.4, Zs x Ia <= U0. Where a region's code takes the mean of the band in which breakers trip, that
    multiple stands in its table `loop-trip`. A fuse has no such current: its melting time falls slowly, and the rule set has no
    curve of fuses.
    """
    if read("breaker_kind") != "breaker":
        raise no_cell("melting time of a fuse")
    if read("phases") != "single":
        # The supply voltage between two lines is not the voltage to earth.
        raise no_cell(f"voltage to earth of a {read('phases')}-phase load")
    supply, factor, trip, *_ = read.all(
        "supply_voltage_v", "loop_voltage_factor", "loop_trip_a", "disconnection_limit_s"
    )
    if read("instantaneous_time_s") > read("disconnection_limit_s"):
        raise no_cell("breaker faster than its standard asks")
    return supply * factor / trip


@quantity("m")
def longest_fault_run_m(read) -> Decimal:
    """The longest route, one way, on which the breaker still opens at once on a fault at its end, in m."""
    limit, outside, hot, *_ = read.all(
        "loop_limit_ohm", "external_impedance_ohm", "hot_resistance_factor", "cable_size_mm2", "protective_size_mm2"
    )
    left = largest(limit - outside, Decimal(0))
    return left / (_loop_ohm(read, Decimal(1)) * hot)


@quantity("A")
def fault_current_a(read) -> Decimal:
    """The current of a fault to earth at the far end, in A: voltage to earth / loop impedance.

    Voltage to earth: the pack's `earth_voltage_v` where its supplies have only one, else that of a single-phase load.
    """
    if read.has("earth_voltage_v"):
        voltage, loop = read.all("earth_voltage_v", "loop_impedance_ohm")
        return voltage / loop
    if read("phases") != "single":
        raise no_cell(f"voltage to earth of a {read('phases')}-phase load")
    voltage, loop = read.all("supply_voltage_v", "loop_impedance_ohm")
    return voltage / loop


@quantity("ohm")
def electrode_limit_ohm(read) -> Decimal:
    """The largest resistance to earth at which the RCD keeps metal parts below the touch voltage, in ohm.

    Source: IEC 60364-4-41 clause 411.5.3, RA x rated residual current <= 50 V.
    """
    residual, touch = read.all("rcd_test_ma", "touch_voltage_v")
    return touch * _MILLI / residual


@quantity("mm2")
def protective_table_mm2(read) -> Decimal:
    """The protective conductor that goes with this circuit without calculation, in mm2 (table `protective-size`).

    Never more than the line conductor itself.
    """
    return smallest(read.row("protective-size"), read("cable_size_mm2"))


@quantity("mm2")
def protective_usual_mm2(read) -> Decimal:
    """The protective conductor that a cable of this make and size comes with, in mm2 (table `protective-usual`).

    Only regions have it whose common cable holds a protective conductor thinner than its other cores.
    """
    if not read.has("protective-usual"):
        raise no_cell("protective-usual")
    return read.row("protective-usual")


def _thinnest_standing(read, energy: Decimal) -> Decimal:
    """The thinnest protective conductor on the list with (k x S) squared at least `energy` (A2s), in mm2.

    Source: IEC 60364-5-54 clause 543.1.2. Compared as squares, so that no root is rounded.
    """
    material = read.row("adiabatic-k")
    for area in read.sizes("protective_size").values():
        stands = material * area
        if stands * stands >= energy:
            return area
    raise no_cell("protective conductor above the list of sizes")


@quantity("A")
def near_fault_a(read) -> Decimal:
    """The current of a fault to earth right behind the board, where it is largest, in A.

    Only where the breaker surely opens at once at the far end too: else the time is not known, and the energy with it.
    """
    if read("breaker_kind") != "breaker":
        raise no_cell("melting time of a fuse")  # nothing else would settle it
    loop, limit, supply, outside, surely, code = read.all(
        "loop_impedance_ohm",
        "loop_limit_ohm",
        "supply_voltage_v",
        "external_impedance_ohm",
        "breaker_trips_a",
        "loop_trip_a",
    )
    # Where the code goes by a mean, a breaker may take longer at that current: loop > limit x code / surely.
    unsure = code < surely and loop * surely > limit * code
    if loop > limit or unsure:
        raise no_cell("trip time above the limit of the loop")
    with rounded_up():
        return supply / outside


@quantity("mm2")
def protective_adiabatic_mm2(read) -> Decimal:
    """The thinnest protective conductor on the list that stands a fault for as long as a breaker may take, in mm2."""
    read("protective_size_mm2")  # while it is not known, nothing else needs asking
    current, time, *_ = read.all("near_fault_a", "instantaneous_time_s", "conductor_metal", "cable_insulation")
    with rounded_up():
        energy = current * current * time
    return _thinnest_standing(read, energy)


@quantity("mm2")
def protective_limited_mm2(read) -> Decimal:
    """The thinnest protective conductor on the list that stands the energy this breaker lets through, in mm2.

    A breaker marked with an energy limiting class opens within less than half a wave (table `energy-limit`).
    """
    read("protective_size_mm2")
    current, *_ = read.all(
        "near_fault_a",
        "breaker_energy_class",
        "breaker_curve",
        "breaker_rating_a",
        "conductor_metal",
        "cable_insulation",
    )
    with rounded_up():
        fault_ka = current / _MILLI
    return _thinnest_standing(read, read.row("energy-limit", fault_ka=fault_ka))


@quantity("mm2")
def protective_rcd_mm2(read) -> Decimal:
    """The thinnest protective conductor on the list that stands a fault until a 30 mA RCD opens, in mm2.

    The current is the largest, right behind the board; the time is the one at five times the rated residual current
    where the smallest fault, at the far end, brings that much, else the one at the rated current.
    """
    read("protective_size_mm2")
    if read("rcd") != "30-ma":
        raise no_cell("time of an RCD in every fault")
    far, outside, supply, *_ = read.all(
        "fault_current_a", "external_impedance_ohm", "supply_voltage_v", "conductor_metal", "cable_insulation"
    )
    fast = far * _MILLI >= _QUICK_MULTIPLE * read("rcd_test_ma")
    time = read("rcd_trip_five_ms") if fast else read("rcd_trip_ms")
    with rounded_up():
        current = supply / outside
        energy = current * current * time / _MILLI
    return _thinnest_standing(read, energy)


@quantity("mm2")
def protective_proven_mm2(read) -> Decimal:
    """The thinnest protective conductor on the list that the let-through of household breakers shows to be enough, in mm2.

    Known only where the one there is is as thick (table `usual-let-through`, or `half_wave_s` where the pack has it).
    The figures of makers and the sums above are bounds: an earth wire below them may well serve, so beyond them nothing
    is known.
    """
    size = read("protective_size_mm2")
    current, _, rating, *_ = read.all(
        "near_fault_a",
        "breaker_curve",
        "breaker_rating_a",
        "conductor_metal",
        "cable_insulation",
    )
    weak = read.is_stated("breaker_energy_class") and read("breaker_energy_class") == "2"
    with rounded_up():
        fault_ka = current / _MILLI
    held = read.peek("usual-let-through", fault_ka=fault_ka)
    if held is not None and not weak:
        least = _thinnest_standing(read, held.value)
        if size >= least:
            read.rest_on(held)
            return least
    if read.has("half_wave_s"):
        least = _thinnest_standing(read, _half_wave_energy(read, current, rating))
        if size >= least:
            return least
    raise no_cell("let-through energy of this breaker")


def _half_wave_energy(read, current: Decimal, rating: Decimal) -> Decimal:
    """What a breaker lets through that opens within half a cycle from a multiple of its rating on, in A2s.

    The fault behind the board heats for half a cycle. One at the far end may be smaller than the multiple: then it
    heats for as long as the product standard allows.
    """
    half, multiple, longest = read.all("half_wave_s", "half_wave_multiple", "instantaneous_time_s")
    with rounded_up():
        slow = smallest(current, multiple * rating)
        return largest(current * current * half, slow * slow * longest)


@quantity("mm2")
def protective_minimum_mm2(read) -> Decimal:
    """The thinnest protective conductor that serves, in mm2: by the table, or thinner by calculation."""
    return smallest(*read.all("protective_table_mm2", "protective_adiabatic_mm2"))

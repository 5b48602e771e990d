"""The connection list as a circuit: what is joined with what, with every contact open and closed.

Nothing here knows how the list is made. What a switched circuit has to do is elementary circuit theory.
"""

from __future__ import annotations

from collections import Counter

import pytest

from checker.core.values import NotKnown
from checker.core.wiring import connections
from tests.core.asking import FITS, ask
from tests.sheet.variants import DrawnCase, every, made, plain, sheet, situation, sound

CONTACTS = {"normally-open": "34", "normally-closed": "12", "changeover": "14"}  # function digits of EN 50005


class Net:
    """Groups of terminals that are joined."""

    def __init__(self, joined: list[tuple[str, str]]) -> None:
        self.parent: dict[str, str] = {}
        for one, other in joined:
            self.parent[self.root(one)] = self.root(other)

    def root(self, name: str) -> str:
        while self.parent.setdefault(name, name) != name:
            name = self.parent[name]
        return name

    def same(self, one: str, other: str) -> bool:
        return self.root(one) == self.root(other)


def wired(case: DrawnCase) -> list[tuple[str, str]]:
    return [(plain(w.source.id), plain(w.target.id)) for w in case.wires]


def clock_lines(case: DrawnCase) -> list[str]:
    """Line terminals of the time switch, the first one first."""
    return sorted({e.id for w in case.wires for e in (w.source, w.target) if e.id.startswith("KT1:L")})


def inside(case: DrawnCase, clock_on: bool, pulled_in: bool) -> list[tuple[str, str]]:
    """What the devices themselves join in this state."""
    v, joined = case.variant, []
    marks = CONTACTS[v.action]
    joined += [("F3:1", "F3:2"), ("F3:3", "F3:4")] if v.own_fuse else []
    if v.kind == "time-switch":
        closed = clock_on != (v.action == "normally-closed")
        for n in range(1, v.poles + v.neutral_switched + 1):
            fed = [*clock_lines(case), "KT1:N"][n - 1] if v.live_fed else f"KT1:{n}{marks[0]}"
            joined += [(fed, f"KT1:{n}{marks[1]}")] if closed else []
        return joined
    if pulled_in != (v.action == "normally-closed"):
        joined += [(f"KM1:{2 * n - 1}", f"KM1:{2 * n}") for n in range(1, v.poles + v.neutral_switched + 1)]
    if clock_on:
        joined.append((clock_lines(case)[0] if v.live_fed else "KT1:13", "KT1:14") if v.clock else ("S1:13", "S1:14"))
    return joined


def state(case: DrawnCase, on: bool) -> Net:
    """All that is joined while the programme says on, or off."""
    return Net(wired(case) + inside(case, on, on))


def own(case: DrawnCase, n: int = 1) -> str:
    return f"F1:{2 * n}"


def feeding(case: DrawnCase) -> str:
    v = case.variant
    return "F2:2" if v.other_breaker else "F3:2" if v.own_fuse else "F1:2"


def back(case: DrawnCase) -> str:
    v = case.variant
    if v.line_to_line:
        return "F2:4" if v.other_breaker else "F3:4" if v.own_fuse else "F1:4"
    return "N2" if v.other_breaker else "N"


def load_line(case: DrawnCase, n: int) -> str:
    return "E1:L" if case.variant.lines == 1 else f"E1:L{n}"


def sources(case: DrawnCase) -> list[str]:
    """Points that must never meet: every line of every breaker, each neutral, earth."""
    found = [own(case, n) for n in range(1, case.variant.lines + 1)] + ["N", "PE"]
    return found + (
        ["F2:2", "N2"] + (["F2:4"] if case.variant.line_to_line else []) if case.variant.other_breaker else []
    )


def wrong(claim) -> list[str]:
    return [case.name for case in every() if not claim(case)]


def test_the_variants_are_all_there():
    cases = every()
    assert len(cases) == len({case.name for case in cases}) > 400
    assert {(c.variant.kind, c.variant.live_fed, c.variant.lines, c.variant.poles) for c in cases} >= {
        (kind, fed, lines, poles)
        for kind in ("time-switch", "time-switch-and-contactor")
        for fed in (True, False)
        for lines in (1, 2, 3)
        for poles in range(1, lines + 1)
    }


@pytest.mark.parametrize("on", [True, False])
def test_no_two_sources_ever_meet(on):
    def apart(case: DrawnCase) -> bool:
        net = state(case, on)
        return not any(net.same(a, b) for k, a in enumerate(sources(case)) for b in sources(case)[k + 1 :])

    assert wrong(apart) == []


def reaches(case: DrawnCase, on: bool) -> list[bool]:
    net, v = state(case, on), case.variant
    return [net.same(own(case, n), load_line(case, n)) for n in range(1, v.lines + 1)]


def test_the_load_gets_each_of_its_lines_when_it_is_on():
    """On means: the programme says on; a contact that closes at rest turns that round."""
    assert wrong(lambda case: all(reaches(case, case.variant.action != "normally-closed"))) == []


def test_every_line_the_device_opens_is_off_when_it_is_off():
    def off(case: DrawnCase) -> bool:
        v = case.variant
        return reaches(case, v.action == "normally-closed") == [n > v.poles for n in range(1, v.lines + 1)]

    assert wrong(off) == []


def test_the_small_fuse_of_clock_and_coil_hangs_on_the_breaker_of_the_load():
    """Switched off, that breaker makes everything dead; only an answer that names another one gives two feeds."""

    def fed(case: DrawnCase) -> bool:
        net = state(case, True)
        return not case.variant.own_fuse or (net.same("F3:1", "F1:2") and not net.same("F3:2", "F2:2"))

    assert any(case.variant.own_fuse for case in every())
    assert wrong(fed) == []


def test_nothing_but_the_small_fuse_feeds_clock_and_coil_where_there_is_one():
    def behind(case: DrawnCase) -> bool:
        if not case.variant.own_fuse:
            return True
        wired_only = Net(wired(case))  # every device open, the fuse too
        fed = [*(clock_lines(case) if case.variant.clock else []), "KM1:A2" if case.variant.line_to_line else "S1:13"]
        lines = [own(case, n) for n in range(1, case.variant.lines + 1)]
        return not any(wired_only.same(end, line) for end in fed for line in lines)

    assert wrong(behind) == []


def test_the_wires_of_the_coil_have_their_own_size_and_those_of_the_load_theirs():
    answers = {"device_kind": "time-switch-and-contactor", "control_size": "1.5 mm2", "link_size": "4 mm2"}
    sizes = {}
    for w in made({**answers, "clock_supply": "own-fuse", "device_contact": "voltage-free"}).wires:
        sizes.setdefault(w.size, set()).add(w.link.role)
    assert sizes["1.5 mm²"] == {
        "clock-line",
        "voltage-free-feed",
        "coil",
        "clock-neutral",
        "coil-neutral",
        "control-connector",
    }
    assert {"breaker-to-device", "feed-connector", "control-fuse-feed"} <= sizes["4 mm²"]


@pytest.mark.parametrize("on", [True, False])
def test_the_rest_of_the_circuit_keeps_its_supply_where_it_is_not_switched(on):
    """The answer says that other things on the circuit stay on: the list must show the cable that is left alone."""

    def kept(case: DrawnCase) -> bool:
        net, v = state(case, on), case.variant
        return not v.others_stay or all(net.same(own(case, n), f"E2:L{n}") for n in range(1, v.lines + 1))

    assert any(case.variant.others_stay for case in every())
    assert wrong(kept) == []


def test_others_that_are_switched_too_have_no_wire_of_their_own():
    more = {"circuit_dedicated": False, "other_load_a": 1}
    ends = [
        [w.target.terminal.part for w in connections.wires(situation({**FITS, **more, "other_load_switched": said}))[1]]
        for said in (True, False)
    ]
    assert ["other-load" in parts for parts in ends] == [False, True]
    assert refused(situation({**FITS, **more, "other_load_switched": "dont-know"})) == ["dont-know other_load_switched"]


@pytest.mark.parametrize("on", [True, False])
def test_the_clock_has_its_supply_in_both_states(on):
    def fed(case: DrawnCase) -> bool:
        if not case.variant.clock:
            return True
        net, lines = state(case, on), clock_lines(case)
        returns = lines[1] if case.variant.line_to_line else "KT1:N"
        return net.same(lines[0], feeding(case)) and net.same(returns, back(case))

    assert wrong(fed) == []


def test_the_coil_pulls_in_only_while_the_clock_says_on():
    def works(case: DrawnCase) -> bool:
        if case.variant.kind == "time-switch":
            return True
        on, off = Net(wired(case) + inside(case, True, False)), Net(wired(case) + inside(case, False, False))
        held = [net.same("KM1:A2", back(case)) for net in (on, off)]
        return all(held) and on.same("KM1:A1", feeding(case)) and not off.same("KM1:A1", feeding(case))

    assert wrong(works) == []


@pytest.mark.parametrize("on", [True, False])
def test_earth_is_never_switched_and_neutral_only_with_the_line(on):
    """Where a region asks for it, a two-pole device opens line and neutral together; else the neutral is left alone."""

    def kept(case: DrawnCase) -> bool:
        net, v = state(case, on), case.variant
        closed = on != (v.action == "normally-closed")
        wanted = closed if v.neutral_switched else True
        return net.same("E1:PE", "PE") and (not v.neutral_at_load or net.same("E1:N", "N") == wanted)

    assert wrong(kept) == []


def test_one_wire_a_terminal():
    def single(case: DrawnCase) -> bool:
        counted = Counter(end.id for wire in case.wires for end in (wire.source, wire.target))
        return set(counted.values()) == {1}

    assert wrong(single) == []


def test_neutral_and_earth_of_the_load_stay_and_its_switched_lines_move():
    def states(case: DrawnCase) -> bool:
        found = {e.id: w.link.state for w in case.wires for e in (w.source, w.target) if e.id.startswith("E1:")}
        v = case.variant
        lines = all(found[load_line(case, n)] == "moved" for n in range(1, v.poles + 1))
        neutral = "moved" if v.neutral_switched else "stays"
        return lines and found["E1:PE"] == "stays" and found.get("E1:N", neutral) == neutral

    assert wrong(states) == []


def test_a_contact_fed_inside_cannot_have_its_clock_on_another_breaker():
    held = situation({**FITS, "device_contact": "live-fed", "contact_feed": "inside", "clock_supply": "other-breaker"})
    assert refused(held) == ["contradiction clock_supply"]


def refused(held) -> list[str]:
    """Why there is no list, in the order in which the reasons are told."""
    with pytest.raises(NotKnown) as why:
        connections.wires(held)
    return [f"{reason.kind} {reason.id}" for reason in why.value.unknown.reasons]


@pytest.mark.parametrize(
    ("wrong", "because"),
    [
        ({"contact_feed": "inside"}, ["contradiction device_contact", "contradiction contact_feed"]),
        ({"contact_feed": "other-breaker"}, ["contradiction device_contact", "contradiction contact_feed"]),
        (
            {"device_contact": "live-fed", "contact_feed": "own-breaker"},
            ["contradiction device_contact", "contradiction contact_feed"],
        ),
        ({"neutral_bar": "other-rcd"}, ["contradiction neutral_bar"]),
        ({"neutral_bar": "shared"}, ["contradiction neutral_bar"]),
        ({"circuit_shape": "ring"}, ["contradiction circuit_shape"]),
    ],
    ids=str,
)
def test_a_circuit_wired_wrongly_gets_no_list_that_shows_it_right(wrong, because):
    """A list that draws the circuit's own breaker and bar, whatever was answered, hides the fault it should show."""
    assert refused(situation({**FITS, **wrong})) == because
    assert not [row for row in ask({**FITS, **wrong})["connections"] if "state" in row]


def test_where_two_hots_may_share_a_neutral_it_stays_where_it_is():
    """NFPA 70, 210.4: a multiwire branch circuit."""
    us = {**sound("us"), "phases": "single", "supply_voltage_v": 120, "neutral_bar": "shared"}
    (row,) = [w for w in connections.wires(situation(us, "us"))[1] if w.link.role == "load-neutral-stays"]
    assert row.link.state == "stays"


@pytest.mark.parametrize(
    "question", ["device_kind", "device_contact", "contact_feed", "contact_action", "device_poles", "clock_supply"]
)
def test_without_an_answer_that_it_needs_there_is_no_list_but_the_reason(question):
    held = situation({k: v for k, v in FITS.items() if k != question})
    with pytest.raises(NotKnown) as refused:
        connections.wires(held)
    assert question in [reason.id for reason in refused.value.unknown.reasons]


def test_a_low_voltage_clock_between_two_lines_goes_to_the_neutral():
    """North American practice: a 120 V clock on a 240 V load hangs between one line and neutral."""
    low, high = (
        connections.wires(situation({**FITS, "phases": "split", "device_poles": "two", "supply_voltage_v": 240, "clock_voltage_v": v}))[1]
        for v in (120, 240)
    )  # fmt: skip
    assert [w.target.part for w in low if w.link.role == "clock-neutral"] == ["N"]
    assert not [w for w in high if w.link.role == "clock-neutral"]
    assert [w.target.id for w in high if w.link.role == "clock-second-line"] == ["KT1:L2"]


def test_the_list_of_the_sheet_is_the_list_of_the_report():
    shown = sheet(FITS)["connections"]
    assert shown == ask(FITS)["connections"][: len(shown)]
    assert [row["number"] for row in shown] == [str(number) for number in range(1, len(shown) + 1)]


def test_the_simulation_itself_can_fail():
    case = next(
        c for c in every() if c.variant.kind == "time-switch" and not c.variant.live_fed and c.variant.lines == 1
    )
    crossed = case.wires[0]._replace(target=case.wires[0].target._replace(id="N:9"))
    assert Net(wired(case._replace(wires=[crossed, *case.wires[1:]]))).same("F1:2", "N")

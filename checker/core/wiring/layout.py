"""Which wire goes from which terminal to which: worked out from the case, before anything is named or coloured.

Two wires never share a terminal. Where one terminal would have to feed several others, a connector stands between them.
Source: common practice, no source; the marks are those of the pack's table `terminal-marks`.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from checker.core.situation import Situation
from checker.core.values import NotKnown, Unknown, contradiction
from checker.core.wiring.words import value_of

LINES = {"single": 1, "split": 2, "three": 3}
POLES = {"one": 1, "two": 2, "three": 3}
NEW, MOVED, STAYS = "new", "moved", "stays"


class Terminal(NamedTuple):
    """A terminal by what it belongs to and what it does there; `way` counts those of bars and connectors."""

    part: str
    role: str = ""
    way: int = 0


# The wires that carry the coil's current only, where a contactor carries the load.
_TO_CLOCK_AND_COIL = (
    "clock-line", "clock-second-line", "clock-neutral", "voltage-free-feed", "control-line", "coil",
    "coil-second-line", "coil-neutral", "control-connector",
)  # fmt: skip


class Link(NamedTuple):
    """One wire. `role` says why it is there, `function` what the conductor is, `state` new, moved or stays."""

    role: str
    function: str
    source: Terminal
    target: Terminal
    state: str

    def to_control(self, v: Variant) -> bool:
        """Whether it may be as thin as the coil's current and its own protection let it be."""
        return v.kind != "time-switch" and self.role in _TO_CLOCK_AND_COIL


class Variant(NamedTuple):
    """What the connections depend on."""

    kind: str  # time-switch, contactor, time-switch-and-contactor
    live_fed: bool  # the contact of the time switch
    action: str  # of the contact that carries the load
    lines: int
    poles: int
    other_breaker: bool  # feeds the clock or the coil
    own_fuse: bool  # stands between the circuit's breaker and the clock or the coil
    line_to_line: bool  # clock or coil hangs between two lines
    neutral_at_load: bool
    neutral_switched: bool
    own_enclosure: bool
    others_stay: bool  # the rest of the circuit has a cable of its own and keeps its supply

    @property
    def clock(self) -> bool:
        return self.kind != "contactor"

    @property
    def switch(self) -> str:
        """The part that carries the load."""
        return "time-switch" if self.kind == "time-switch" else "contactor"


def variant(situation: Situation) -> Variant:
    """The variant of this case. Raises `NotKnown` with every answer that is missing for it."""
    kind = _needed(situation, "device_kind")[0]
    names = ["phases", "device_poles", "clock_supply", "contact_action"]
    names += ["device_contact", "contact_feed"] if kind != "contactor" else []
    found = dict(zip(names, _needed(situation, *names), strict=True))
    live_fed = found.get("device_contact") == "live-fed"
    _refuse_what_no_list_mends(situation, found)
    other = found["clock_supply"] == "other-breaker"
    if kind == "time-switch" and live_fed and found["clock_supply"] != "same-breaker":
        # A contact fed inside carries what feeds the clock: the load would hang on the other breaker or the small fuse.
        raise contradiction("clock_supply")
    lines = LINES[found["phases"]]
    style = style_of(situation)
    asked = style["neutral-tt" if value_of(situation, "supply_system") == "tt" else "neutral-tn"] == "with-line"
    return Variant(
        kind=kind,
        live_fed=live_fed,
        action=found["contact_action"],
        lines=lines,
        poles=min(POLES[found["device_poles"]], lines),
        other_breaker=other,
        own_fuse=found["clock_supply"] == "own-fuse",
        line_to_line=lines == 2 and not _control_needs_neutral(situation, kind),
        neutral_at_load=lines != 2,
        neutral_switched=asked and lines == 1 and found["device_poles"] == "two",
        own_enclosure=style.get(f"mounting-{value_of(situation, 'device_place')}", style["mounting"])
        == "own-enclosure",
        others_stay=value_of(situation, "circuit_dedicated") is False
        and _needed(situation, "other_load_switched") == ["False"],
    )


def _refuse_what_no_list_mends(situation: Situation, found: dict[str, str]) -> None:
    """No list is made for a circuit that its answers wire wrongly: drawn as it should be, it would hide what is wrong."""
    feed = found.get("contact_feed")
    if feed is not None and feed != ("inside" if found["device_contact"] == "live-fed" else "own-breaker"):
        raise contradiction("device_contact", "contact_feed")
    neutral = value_of(situation, "neutral_bar")
    if neutral == "other-rcd" or (neutral == "shared" and style_of(situation)["neutral-shared"] == "refused"):
        raise contradiction("neutral_bar")
    if value_of(situation, "circuit_shape") == "ring":
        raise contradiction("circuit_shape")


def style_of(situation: Situation) -> dict[str, str]:
    """What the pack's table `sheet-style` says, by aspect."""
    return {str(keys[0]): str(cell.value) for keys, cell in situation.pack.tables["sheet-style"].cells.items()}


def _needed(situation: Situation, *names: str) -> list[str]:
    values = [value_of(situation, name) for name in names]
    missing = [reason for value in values if isinstance(value, Unknown) for reason in value.reasons]
    if missing:
        raise NotKnown(Unknown(missing))
    return [str(value) for value in values]


def _control_needs_neutral(situation: Situation, kind: str) -> bool:
    """Whether clock or coil is made for a voltage nearer to line and neutral than to two lines."""
    rated = value_of(situation, "clock_rated_v" if kind != "contactor" else "contactor_coil_v")
    supply = value_of(situation, "supply_voltage_v")
    if not isinstance(rated, Decimal) or not isinstance(supply, Decimal):
        return False
    return rated * 4 < supply * 3


class _Wires:
    """Collects what each source terminal feeds, then lays wires, with a connector where there is more than one."""

    def __init__(self, v: Variant) -> None:
        self.v = v
        self.feeds: dict[Terminal, list[tuple[str, str, Terminal, str]]] = {}
        self.links: list[Link] = []
        self.connectors = 0
        self.ways: dict[str, int] = {}

    def way(self, bar: str) -> Terminal:
        self.ways[bar] = self.ways.get(bar, 0) + 1
        return Terminal(bar, "", self.ways[bar])

    def feed(self, source: Terminal, role: str, function: str, target: Terminal, state: str = NEW) -> None:
        self.feeds.setdefault(source, []).append((role, function, target, state))

    def lay(self, role: str, function: str, source: Terminal, target: Terminal, state: str = NEW) -> None:
        self.links.append(Link(role, function, source, target, state))

    def lay_feeds(self) -> None:
        for source, wanted in self.feeds.items():
            if len(wanted) == 1:
                role, function, target, state = wanted[0]
                self.lay(role, function, source, target, state)
                continue
            self.connectors += 1
            block = f"connector-{self.connectors}"
            role = "feed-connector" if source.part == "breaker" else "control-connector"
            self.lay(role, wanted[0][1], source, self.way(block))
            for role, function, target, state in wanted:
                # A conductor that would have stayed has to leave its terminal for the connector.
                self.lay(role, function, self.way(block), target, MOVED if state == STAYS else state)


def lay_out(v: Variant) -> list[Link]:
    """Every wire that is laid, moved, or left where it is, in the order of the work."""
    p = _Wires(v)
    _load_path(p)
    if v.own_fuse:
        for n in range(1, 1 + (2 if v.line_to_line else 1)):
            p.feed(_own(n), "control-fuse-feed", line(n), Terminal("control-fuse", f"control-fuse-in-{n}"))
    _control(p)
    p.lay_feeds()
    later, p.links = p.links, []
    # Line first, then what is switched, the coil, the neutrals; what stays comes last.
    _switched(p)
    _coil(p)
    _returns(p)
    if v.own_enclosure:
        p.lay("enclosure-earth", "protective", p.way("earth-bar"), Terminal("enclosure", "enclosure-earth"))
    _stays(p)
    return [*later, *p.links]


def line(n: int) -> str:
    return "line" if n == 1 else f"line-{n}"


def _own(n: int) -> Terminal:
    return Terminal("breaker", f"breaker-out-{n}")


def _load_line(v: Variant, n: int) -> Terminal:
    return Terminal("load", "load-line" if v.lines == 1 else f"load-line-{n}")


def _clock_line(v: Variant, n: int = 1) -> Terminal:
    several = v.lines > 1 and (v.line_to_line or (v.kind == "time-switch" and v.live_fed))
    return Terminal("time-switch", f"time-switch-line-{n}" if several else "time-switch-line")


def _contact(v: Variant, n: int, end: str) -> Terminal:
    """The contact of pole `n` that carries the load, its `in` or `out`."""
    if v.switch == "contactor":
        return Terminal("contactor", f"contactor-{end}-{n}")
    return Terminal("time-switch", f"{v.action}-{end}-{n}")


def _load_path(p: _Wires) -> None:
    v = p.v
    for n in range(1, v.lines + 1):
        if n > v.poles:
            p.feed(_own(n), "line-stays", line(n), _load_line(v, n), STAYS)
        elif v.kind == "time-switch" and v.live_fed:
            p.feed(_own(n), "breaker-to-device", line(n), _clock_line(v, n))
        else:
            role = "voltage-free-feed" if v.kind == "time-switch" else "breaker-to-device"
            p.feed(_own(n), role, line(n), _contact(v, n, "in"))
        if v.others_stay:
            p.feed(_own(n), "others-line", line(n), Terminal("other-load", f"other-load-line-{n}"), STAYS)


def _source(v: Variant, n: int = 1) -> Terminal:
    if v.own_fuse:
        return Terminal("control-fuse", f"control-fuse-out-{n}")
    return Terminal("other-breaker", f"other-breaker-out-{n}") if v.other_breaker else _own(n)


def _control(p: _Wires) -> None:
    """What feeds the clock, the contact that works the coil, and their second line where they hang between two."""
    v = p.v
    live_alone = v.kind == "time-switch" and v.live_fed
    if v.clock and not live_alone:
        p.feed(_source(v), "clock-line", "line", _clock_line(v))
    if v.kind == "time-switch-and-contactor" and not v.live_fed:
        p.feed(_source(v), "voltage-free-feed", "line", Terminal("time-switch", "normally-open-in-1"))
    if v.kind == "contactor":
        p.feed(_source(v), "control-line", "line", Terminal("control", "control-in"), STAYS if v.other_breaker else NEW)
    if v.line_to_line:
        if v.clock and not (live_alone and v.poles >= 2):
            p.feed(_source(v, 2), "clock-second-line", "line-2", _clock_line(v, 2))
        if v.kind != "time-switch":
            p.feed(_source(v, 2), "coil-second-line", "line-2", Terminal("contactor", "contactor-coil-2"))


def _switched(p: _Wires) -> None:
    v = p.v
    for n in range(1, v.poles + 1):
        function = "switched-line" if n == 1 else line(n)
        if v.own_enclosure:
            # The conductor taken off the breaker does not reach the enclosure: a splice joins it in the panel.
            p.lay("device-to-splice", function, _contact(v, n, "out"), Terminal(f"splice-{n}", "", 1))
            p.lay("device-to-load", function, Terminal(f"splice-{n}", "", 2), _load_line(v, n), MOVED)
        else:
            p.lay("device-to-load", function, _contact(v, n, "out"), _load_line(v, n), MOVED)
    if v.neutral_switched:
        if v.switch == "contactor" or not v.live_fed:  # fed inside, the neutral of the clock is that of the pole
            p.lay("neutral-to-device", "neutral", p.way("neutral-bar"), _contact(v, 2, "in"))
        p.lay("device-to-load", "neutral", _contact(v, 2, "out"), Terminal("load", "load-neutral"), MOVED)


def _coil(p: _Wires) -> None:
    v = p.v
    if v.kind == "time-switch-and-contactor":
        p.lay(
            "coil", "control", Terminal("time-switch", "normally-open-out-1"), Terminal("contactor", "contactor-coil-1")
        )
    if v.kind == "contactor":
        p.lay("coil", "control", Terminal("control", "control-out"), Terminal("contactor", "contactor-coil-1"))


def _returns(p: _Wires) -> None:
    v = p.v
    if v.line_to_line:
        return
    bar = "other-neutral-bar" if v.other_breaker else "neutral-bar"
    if v.clock:
        p.lay("clock-neutral", "neutral", Terminal("time-switch", "time-switch-neutral"), p.way(bar))
    if v.kind != "time-switch":
        p.lay("coil-neutral", "neutral", Terminal("contactor", "contactor-coil-2"), p.way(bar))


def _stays(p: _Wires) -> None:
    v = p.v
    if v.neutral_at_load and not v.neutral_switched:
        p.lay("load-neutral-stays", "neutral", Terminal("load", "load-neutral"), p.way("neutral-bar"), STAYS)
    p.lay("load-earth-stays", "protective", Terminal("load", "load-earth"), p.way("earth-bar"), STAYS)

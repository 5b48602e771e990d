"""The wiring drawing: bars, rail with devices and free ways, connectors, the load's cable, and every wire of the list.

Inputs stand on top, outputs below, as power flows; where a terminal really is, the device shows. Each wire has a lane
of its own, so that no two can be taken for one.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from checker.core.situation import Situation
from checker.core.wiring.connections import STAYS, End, Wire
from checker.core.wiring.layout import Variant
from checker.core.wiring.routes import badges
from checker.core.wiring.svg import Canvas, letters_for, ring_for
from checker.core.wiring.words import Words, value_of

LANE, PITCH, MARGIN = 13, 19, 8
DEVICE_HEIGHT, BAR_HEIGHT = 78, 22
MOST_WAYS = 4  # free ways drawn one by one
_BELOW = (
    "breaker-out",
    "other-breaker-out",
    "control-fuse-out",
    "contactor-out",
    "contactor-coil-1",
    "normally-open-out",
    "normally-closed-out",
    "changeover-out",
)
_ON_RAIL = ("breaker", "other-breaker", "control-fuse", "time-switch", "contactor")
_BARS = ("neutral-bar", "other-neutral-bar", "earth-bar")


class Device(NamedTuple):
    part: str
    name: str
    modules: Decimal | None
    above: list[End]
    below: list[End]

    @property
    def counted(self) -> Decimal:
        return self.modules or Decimal(1)


def draw(situation: Situation, v: Variant, wires: list[Wire]) -> dict:
    """The drawing as `{"svg", "title", "text"}`; `text` is its twin in words, a list of sentences."""
    words = Words(situation)
    layout = _Layout(situation, v, wires, words)
    title = words("rail-title")
    text = [*layout.described(), *(wire.sentence(words) for wire in wires)]
    return {"svg": layout.drawn().finish("sheet-rail", title, " ".join(text)), "title": title, "text": text}


class _Layout:
    def __init__(self, situation: Situation, v: Variant, wires: list[Wire], words: Words) -> None:
        self.v, self.wires, self.words = v, wires, words
        self.situation = situation
        ends = [end for wire in wires for end in (wire.source, wire.target)]
        self.ends = {end.id: end for end in ends}
        self.devices = [self._device(part) for part in _ON_RAIL if any(end.terminal.part == part for end in ends)]
        self.free = self._free()
        self._scale()

    def _of(self, part: str) -> list[End]:
        found = [end for end in self.ends.values() if end.terminal.part == part]
        return sorted(found, key=lambda end: (end.terminal.role, end.terminal.way))

    def _device(self, part: str) -> Device:
        above: list[End] = []
        below: list[End] = []
        for end in self._of(part):
            (below if end.terminal.role.startswith(_BELOW) else above).append(end)
        return Device(part, (above + below)[0].part, self._modules(part), above, below)

    def _modules(self, part: str) -> Decimal | None:
        if part == "breaker":
            return Decimal(self.v.lines)
        if part in ("other-breaker", "control-fuse"):
            return Decimal(2 if self.v.line_to_line else 1)
        value = value_of(self.situation, "device_modules" if part == "time-switch" else "contactor_modules")
        return value if isinstance(value, Decimal) else None

    def _free(self) -> Decimal | None:
        """Ways still free once everything is mounted; None while that is not known."""
        spare, needed = (value_of(self.situation, name) for name in ("spare_modules", "modules_needed"))
        if not isinstance(spare, Decimal) or not isinstance(needed, Decimal) or self.v.own_enclosure:
            return None
        return max(spare - needed, Decimal(0))

    def _scale(self) -> None:
        """Width of a module, so that terminals and letters have room in the narrowest device."""
        needs = [
            max(44, PITCH * len(device.above) + 8, PITCH * len(device.below) + 8) / device.counted
            for device in self.devices
        ]
        self.unit = max(24, *(int(need.to_integral_value(rounding="ROUND_CEILING")) for need in needs))
        self.slot = self.unit  # a free way is as wide as a module of a device
        self.slots = min(int(self.free), MOST_WAYS) if self.free else 0
        self.widths = [int(device.counted * self.unit) for device in self.devices]

    # --- where everything stands ---

    def drawn(self) -> Canvas:
        strip = self._strip_width()
        gap = 2 * LANE if self.v.own_enclosure else 0
        rail = sum(self.widths) + self.slots * self.slot + gap
        inner = max(rail, strip, PITCH * (len(self._bar_ends()) + 5), 190)
        turns = [self._turns(wire) for wire in self.wires]
        self.lane = LANE
        for _ in range(3):  # wider lanes make a wider drawing, which has larger letters
            left, right = (MARGIN + self.lane * (1 + turns.count(side)) for side in ("left", "right"))
            width = left + inner + right
            letters = letters_for(width)
            self.lane = max(LANE, ring_for(letters) + 4)  # the ring of one wire stays off the next lane
        self.left, self.inner, self.gap = left, inner, gap
        self.canvas = canvas = Canvas(width, letters)
        top_lanes = sum(1 for wire in self.wires if "top" in self._zones(wire))
        bottom_lanes = sum(1 for wire in self.wires if "bottom" in self._zones(wire))
        self.bar_y = letters + 12
        self.top_y = self.bar_y + BAR_HEIGHT
        self.rail_y = self.top_y + self.lane * (top_lanes + 1) + 6
        self.under_y = self.rail_y + DEVICE_HEIGHT
        self.strip_y = self.under_y + self.lane * (bottom_lanes + 1) + 6
        canvas.height = self.strip_y + BAR_HEIGHT + letters * 2 + 14
        self._put_devices()
        self._put_strip()
        self._put_bars()
        self._route()
        return canvas

    def _zone(self, end: End) -> str:
        role, part = end.terminal.role, end.terminal.part
        if part in _BARS:
            return "top"
        if part in _ON_RAIL:
            return "bottom" if role.startswith(_BELOW) else "top"
        return "top" if part == "enclosure" else "bottom"

    def _zones(self, wire: Wire) -> set[str]:
        return {self._zone(wire.source), self._zone(wire.target)}

    def _turns(self, wire: Wire) -> str | None:
        """On which side a wire goes round the rail: new ones left, the load's own neutral and earth right."""
        if len(self._zones(wire)) == 1:
            return None
        return "right" if wire.link.state == STAYS or wire.target.terminal.part == "load" else "left"

    def _strip_parts(self) -> list[tuple[str, list[End]]]:
        """What stands below the rail, the load's cable last."""
        below = [e for e in self.ends.values() if self._zone(e) == "bottom" and e.terminal.part not in _ON_RAIL]
        parts = [
            (name, sorted((e for e in below if e.part == name), key=_place))
            for name in dict.fromkeys(e.part for e in below)
        ]
        return sorted(parts, key=lambda part: part[1][0].terminal.part == "load")

    def _strip_width(self) -> int:
        return sum(PITCH * len(ends) + 14 for _, ends in self._strip_parts())

    def _bar_ends(self) -> list[End]:
        return [end for end in self.ends.values() if end.terminal.part in _BARS]

    def _put_devices(self) -> None:
        canvas, x = self.canvas, self.left
        if not self.v.own_enclosure:
            canvas.box(self.left - 4, self.rail_y + 30, self.inner + 8, 18, fill="#ddd")
        for device, width in zip(self.devices, self.widths, strict=True):
            apart = self.v.own_enclosure and device.part in ("time-switch", "contactor")
            if apart and self.gap:
                x += self.gap
                inside = sum(
                    w for d, w in zip(self.devices, self.widths, strict=True) if d.part in ("time-switch", "contactor")
                )
                canvas.box(x - 8, self.rail_y - 12, inside + 16, DEVICE_HEIGHT + 24, dashed=True)
                self.enclosure_x = x - 8
                self.gap = 0
            canvas.box(x, self.rail_y, width, DEVICE_HEIGHT, fill="#fff", device=device.name)
            middle = self.rail_y + DEVICE_HEIGHT // 2
            canvas.text(x + width // 2, middle, device.name, bold=True)
            canvas.text(x + width // 2, middle + canvas.letters, self._width_shown(device), size=canvas.letters - 2)
            for ends, y, label in ((device.above, self.rail_y, canvas.letters + 2), (device.below, self.under_y, -6)):
                step = width // (len(ends) + 1) if ends else 0
                for number, end in enumerate(ends, 1):
                    canvas.terminal(end.id, end.mark, x + step * number, y, (0, label))
            x += width
        for _ in range(self.slots):
            canvas.box(x, self.rail_y, self.slot, DEVICE_HEIGHT, dashed=True, fill="#fff", device="free")
            x += self.slot
        if self.slots:
            y = self.rail_y + DEVICE_HEIGHT // 2
            canvas.text(
                x - self.slots * self.slot // 2,
                y + 4,
                self.words("ways-free", n=_digits(self.free)),
                size=canvas.letters - 1,
            )
        enclosure = self._of("enclosure")
        for end in enclosure:
            canvas.terminal(end.id, end.mark, self.enclosure_x, self.rail_y - 12, (-4, canvas.letters + 4), "end")

    def _width_shown(self, device: Device) -> str:
        if self.v.own_enclosure:
            return ""
        return self.words("modules", n=_digits(device.modules)) if device.modules else self.words("modules-unknown")

    def _free_said(self) -> str:
        return self.words("ways-none") if self.free is None else self.words("ways-left", n=_digits(self.free))

    def _put_strip(self) -> None:
        canvas, x = self.canvas, self.left
        for name, ends in self._strip_parts():
            width = PITCH * len(ends) + 6
            if ends[0].terminal.part == "load":
                x = max(x, self.left + self.inner - width)
            canvas.box(x, self.strip_y, width, BAR_HEIGHT, fill="#fff", dashed=ends[0].terminal.part == "load")
            canvas.text(x + width // 2, self.strip_y + BAR_HEIGHT + canvas.letters + 2, name, bold=True)
            places = self._clear([x + PITCH * number + 12 for number in range(len(ends))], self.under_y)
            for place, end in zip(places, ends, strict=True):
                canvas.terminal(end.id, end.mark, place, self.strip_y, (0, canvas.letters + 3))
            x += width + 8

    def _put_bars(self) -> None:
        canvas, x = self.canvas, self.left + self.inner
        for part in reversed(_BARS):
            ends = self._of(part)
            if not ends:
                continue
            width = PITCH * len(ends) + 10
            x -= width
            canvas.box(x, self.bar_y, width, BAR_HEIGHT, fill="#eee")
            canvas.text(x + width // 2, self.bar_y - 4, ends[0].part, bold=True)
            places = self._clear([x + PITCH * number + 14 for number in range(len(ends))], self.rail_y)
            for place, end in zip(places, ends, strict=True):
                canvas.terminal(end.id, end.mark, place, self.top_y, (0, -6))
            x -= 12

    def _clear(self, places: list[int], y: int) -> list[int]:
        """`places`, all moved by as little as keeps them off the terminals at height `y`: no two uprights may fall together."""
        taken = {tx for tx, ty in self.canvas.terminals.values() if ty == y}

        def room(shift: int) -> int:
            return min((abs(place + shift - other) for place in places for other in taken), default=PITCH)

        shifts = sorted(range(-PITCH // 2, PITCH // 2 + 1), key=abs)
        best = next((shift for shift in shifts if room(shift) >= 6), max(shifts, key=room))
        return [place + best for place in places]

    # --- the wires ---

    def _route(self) -> None:
        lanes = {"top": 0, "bottom": 0, "left": 0, "right": 0}

        def lane(zone: str) -> int:
            lanes[zone] += 1
            count = lanes[zone]
            return {
                "top": self.top_y + self.lane * count + 2,
                "bottom": self.under_y + self.lane * count + 2,
                "left": self.left - self.lane * count - 2,
                "right": self.left + self.inner + self.lane * count - 2,
            }[zone]

        ways = []
        for wire in self.wires:
            (x1, y1), (x2, y2) = self.canvas.terminals[wire.source.id], self.canvas.terminals[wire.target.id]
            turn = self._turns(wire)
            if turn is None:
                y = lane(self._zone(wire.source))
                ways.append([(x1, y1), (x1, y), (x2, y), (x2, y2)])
            else:
                first, last = lane(self._zone(wire.source)), lane(self._zone(wire.target))
                side = lane(turn)
                ways.append([(x1, y1), (x1, first), (side, first), (side, last), (x2, last), (x2, y2)])
        places = badges(ways, list(range(len(ways))), list(self.canvas.terminals.values()), self.canvas.ring)
        for wire, points, place in zip(self.wires, ways, places, strict=True):
            self.canvas.wire(wire, points, place)

    # --- the same in words ---

    def described(self) -> list[str]:
        devices = "; ".join(
            self.words(
                "device-on-rail",
                name=device.name,
                what=self.words(f"name-{device.part}"),
                width=self._width_shown(device) or self.words("no-width"),
            )
            for device in self.devices
        )
        if self.v.own_enclosure:
            return [self.words("beside-panel", devices=devices)]
        return [self.words("on-rail", devices=devices), self._free_said()]


def _place(end: End) -> tuple:
    order = ("load-line", "load-neutral", "load-earth")
    role = end.terminal.role
    return (next((n for n, start in enumerate(order) if role.startswith(start)), 0), role, end.terminal.way)


def _digits(value: Decimal | None) -> str:
    return format(value.normalize(), "f") if value is not None else ""

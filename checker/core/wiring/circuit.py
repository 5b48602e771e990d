"""The circuit diagram: what the wires of the list join, in the order in which the current runs.

Every wire of the list is drawn from terminal to terminal, so that drawing and list cannot disagree; what is inside a
device, and what was there before, is thinner and carries no number.
"""

from __future__ import annotations

from checker.core.situation import Situation
from checker.core.values import Unknown
from checker.core.wiring import symbols
from checker.core.wiring.connections import Wire
from checker.core.wiring.layout import Variant, style_of
from checker.core.wiring.routes import Point, badges, joints, nets, node
from checker.core.wiring.svg import Canvas, letters_for
from checker.core.wiring.symbols import HEIGHT
from checker.core.wiring.words import Words, value_of

EARTH, FIRST, APART = 18, 64, 46  # the earth's x, the first line's; from line to line
TOP, RCD, BREAKER, RAIL, CONTACT, SECOND, LOAD = 40, 56, 96, 228, 296, 376, 376
STEP, ABOVE = 16, 10  # from rail to rail, and between the lines that pass above them
FUSE_FEED = 16  # how far above the first rail the feed of the small fuse runs
LOAD_HEIGHT, SPLICE = 40, 34  # the box of the load, and the room that a splice above it takes


def draw(situation: Situation, v: Variant, wires: list[Wire]) -> dict:
    """The drawing as `{"svg", "title", "text"}`; `text` is its twin in words: what is joined with what."""
    words = Words(situation)
    diagram = _Diagram(situation, v, wires, words)
    title = words("circuit-title")
    text = [words("joined", terminals=", ".join(net)) for net in nets(wires)]
    return {"svg": diagram.drawn().finish("sheet-circuit", title, " ".join(text)), "title": title, "text": text}


class _Diagram:
    def __init__(self, situation: Situation, v: Variant, wires: list[Wire], words: Words) -> None:
        self.situation, self.v, self.wires, self.words = situation, v, wires, words
        style, system = style_of(situation), value_of(situation, "supply_system")
        self.style = style["symbols"]
        # Where a region knows one way of earthing only, it does not ask.
        self.system = style.get("system") if isinstance(system, Unknown) else system
        self.ends = [end for wire in wires for end in (wire.source, wire.target)]
        self.marks = {(end.terminal.part, end.terminal.role): end for end in self.ends}
        self.names = {end.terminal.part: end.part for end in self.ends}
        self.at: dict[str, Point] = {}
        self.columns = [FIRST + APART * n for n in range(v.lines)]
        self.neutral_x = FIRST + APART * (1 if v.neutral_switched else v.lines)
        self.control_x = self.neutral_x + 62
        more = 74 if v.kind == "time-switch-and-contactor" else 0  # the coil's path beside the clock's
        self.right = (
            self.control_x + more + (44 if v.line_to_line or v.neutral_switched or v.other_breaker or v.own_fuse else 8)
        )
        self.others = [self.right + APART * n for n in range(1, v.lines + 1)] if v.others_stay else []
        self.load = LOAD + (SPLICE if v.own_enclosure else 0)
        self.back = self.load + LOAD_HEIGHT + 22  # where the neutrals come together
        width = max([self.right, *self.others][-1] + 30, 300)
        self.canvas = Canvas(width, letters_for(width))

    def drawn(self) -> Canvas:
        self._supply()
        self._breaker()
        self._main()
        self._control()
        self._others()
        self._nodes()
        self._route()
        self.canvas.height = self.back + 70
        return self.canvas

    # --- symbols ---

    def _terminal(self, part: str, role: str, x: int, y: int, label: Point = (9, 4), anchor: str = "start") -> None:
        """Draws a terminal if the list has it."""
        if end := self.marks.get((part, role)):
            self.at[node(end)] = (x, y)
            self.canvas.terminal(end.id, end.mark, x, y, label, anchor)

    def _name(self, part: str, x: int, y: int, anchor: str = "end") -> None:
        self.canvas.text(x, y, self.names[part], anchor=anchor, bold=True)

    def _small(self, text: str, x: int, y: int, anchor: str = "end") -> None:
        self.canvas.text(x, y, text, anchor=anchor, size=self.canvas.letters - 1)

    def _supply(self) -> None:
        canvas, v, words = self.canvas, self.v, self.words
        voltage = words.value("supply_voltage_v") or ""
        canvas.text(4, 14, words("supply", voltage=voltage, system=self._system()), anchor="start")
        for n, x in enumerate(self.columns, 1):
            symbols.supply(canvas, x, TOP)
            canvas.line((x, TOP), (x, BREAKER))
            self._small(words("line-mark", n=n if v.lines > 1 else ""), x + 6, TOP - 2, "start")
        if self._has_neutral():
            symbols.supply(canvas, self.neutral_x, TOP)
            self._small(self._mark("load-neutral"), self.neutral_x + 6, TOP - 2, "start")
        if self.system in ("tn-s", "tn-c-s"):
            canvas.line((EARTH, TOP), (EARTH, self.back + 22))
            if self.system == "tn-c-s" and self._has_neutral():  # earth and neutral are one up to the intake
                canvas.line((EARTH, TOP + 4), (self.neutral_x, TOP + 4))
            else:
                symbols.supply(canvas, EARTH, TOP)
        rcd = value_of(self.situation, "rcd")
        if not isinstance(rcd, Unknown) and rcd != "none":
            last = max(self.columns[-1], self.neutral_x if self._has_neutral() else 0)
            canvas.box(FIRST - 12, RCD, last - FIRST + 24, 22, dashed=True)
            self._small(words("rcd-mark"), FIRST - 16, RCD + 15)

    def _mark(self, terminal: str) -> str:
        cell = self.situation.pack.tables["terminal-marks"].find(terminal)
        assert cell is not None, f"terminal-marks has no {terminal}"
        return str(cell.value)

    def _system(self) -> str:
        value = value_of(self.situation, "supply_system")
        return self.words("system-unknown") if isinstance(value, Unknown) else str(value).upper()

    def _has_neutral(self) -> bool:
        return "neutral-bar" in self.names

    def _breaker(self) -> None:
        for n, x in enumerate(self.columns, 1):
            symbols.breaker(self.canvas, self.style, x, BREAKER)
            self._terminal("breaker", f"breaker-out-{n}", x, BREAKER + HEIGHT)
        if len(self.columns) > 1:
            self.canvas.line((self.columns[0] - 5, BREAKER + 25), (self.columns[-1] - 5, BREAKER + 25), dashed=True)
        self._name("breaker", FIRST - 16, BREAKER + 22)
        if rating := self.words.value("breaker_rating_a"):
            self._small(rating, FIRST - 16, BREAKER + 36)

    def _main(self) -> None:
        """The path of the load: a contact in every line that is switched, then the load."""
        canvas, v = self.canvas, self.v
        closed = v.action == "normally-closed"
        poles = v.poles + (1 if v.neutral_switched else 0)
        xs = [*self.columns, self.neutral_x] if v.neutral_switched else self.columns
        for n, x in enumerate(xs[:poles], 1):
            symbols.contact(canvas, self.style, x, CONTACT, closed)
            into, out = self._contact_roles(n)
            self._terminal(v.switch, into, x, CONTACT)
            self._terminal(v.switch, out, x, CONTACT + HEIGHT)
        if poles > 1:
            canvas.line((xs[0] - 5, CONTACT + 25), (xs[poles - 1] - 5, CONTACT + 25), dashed=True)
        self._name(v.switch, FIRST - 16, CONTACT + 28)
        self._load()

    def _contact_roles(self, n: int) -> tuple[str, str]:
        v = self.v
        if v.switch == "contactor":
            return f"contactor-in-{n}", f"contactor-out-{n}"
        out = f"{v.action}-out-{n}"
        if not v.live_fed:
            return f"{v.action}-in-{n}", out
        if v.neutral_switched and n == 2:
            return "time-switch-neutral", out
        several = ("time-switch", f"time-switch-line-{n}") in self.marks
        return (f"time-switch-line-{n}" if several else "time-switch-line"), out

    def _load(self) -> None:
        canvas, v = self.canvas, self.v
        last = self.neutral_x if v.neutral_switched else self.columns[-1]
        left, right = FIRST - 22, max(last + 22, FIRST + 34)
        canvas.box(left, self.load, right - left, LOAD_HEIGHT)
        canvas.text((left + right) // 2, self.load + LOAD_HEIGHT // 2 + 5, self.names["load"], bold=True)
        for n, x in enumerate(self.columns, 1):
            role = "load-line" if v.lines == 1 else f"load-line-{n}"
            self._terminal("load", role, x, self.load, (-8, -4), "end")
        if v.neutral_switched:
            self._terminal("load", "load-neutral", last, self.load, (8, -4))
        else:
            self._terminal("load", "load-neutral", right - 10, self.load + LOAD_HEIGHT, (8, 12))
        self._terminal("load", "load-earth", left + 10, self.load + LOAD_HEIGHT, (-8, 12), "end")

    def _control(self) -> None:
        v, x = self.v, self.control_x
        if v.other_breaker:
            self._other_breaker(1, x)
            self._name("other-breaker", x + 12, BREAKER + 22, "start")
            if v.line_to_line:
                self._other_breaker(2, self.right, (-9, 4), "end")
        if v.own_fuse:
            self._control_fuse(1, x)
            self._name("control-fuse", x + 12, BREAKER + 22, "start")
            if v.line_to_line:
                self._control_fuse(2, self.right, (-9, 4), "end")
        if v.clock:
            self._clock(x)
            x += 74
        if v.kind != "time-switch":
            self._coil_path(x)

    def _others(self) -> None:
        """What keeps its supply, ahead of every contact."""
        if not self.others:
            return
        left, right = self.others[0] - 22, self.others[-1] + 22
        self.canvas.box(left, self.load, right - left, LOAD_HEIGHT)
        self.canvas.text((left + right) // 2, self.load + LOAD_HEIGHT // 2 + 5, self.names["other-load"], bold=True)
        for n, x in enumerate(self.others, 1):
            self._terminal("other-load", f"other-load-line-{n}", x, self.load, (-8, -4), "end")

    def _other_breaker(self, n: int, x: int, label: Point = (9, 4), anchor: str = "start") -> None:
        """Pole `n` of the breaker of the clock's own circuit, fed from above."""
        symbols.supply(self.canvas, x, TOP)
        self.canvas.line((x, TOP), (x, BREAKER))
        symbols.breaker(self.canvas, self.style, x, BREAKER)
        self._terminal("other-breaker", f"other-breaker-out-{n}", x, BREAKER + HEIGHT, label, anchor)

    def _control_fuse(self, n: int, x: int, label: Point = (9, 4), anchor: str = "start") -> None:
        """Pole `n` of what protects clock and coil, fed by a wire of the list."""
        symbols.breaker(self.canvas, self.style, x, BREAKER)
        self._terminal("control-fuse", f"control-fuse-in-{n}", x, BREAKER, label, anchor)
        self._terminal("control-fuse", f"control-fuse-out-{n}", x, BREAKER + HEIGHT, label, anchor)

    def _fed_inside(self, start: int, x: int) -> None:
        """What the device itself joins: the contact at `start` and what stands at `x`."""
        above = CONTACT - 10
        self.canvas.line((start, CONTACT), (start + 10, above), (x, above), (x, CONTACT), dashed=True)

    def _last_pole(self) -> int:
        v = self.v
        xs = [*self.columns, self.neutral_x] if v.neutral_switched else self.columns
        return xs[: v.poles + (1 if v.neutral_switched else 0)][-1]

    def _moves(self, clock: int, contact: int) -> None:
        """The dashed line from a clock to the contact that it moves."""
        level = CONTACT + symbols.BLADE
        blade = contact + symbols.blade_at(self.style, self.v.action == "normally-closed" and clock > contact)
        edge = symbols.DIAL if contact > clock else -symbols.DIAL
        self.canvas.link((clock + edge, level), (blade, level))

    def _clock(self, x: int) -> None:
        """The clock. Where its contact is fed inside, thin lines show what is joined in the device."""
        v, canvas = self.v, self.canvas
        works_coil = v.kind != "time-switch"
        # Beside a contactor the dashed line to the contact leaves the clock on this side.
        self._name("time-switch", x + 14, CONTACT + (14 if works_coil else 28), "start")
        symbols.clock(canvas, self.style, x, CONTACT)
        self._moves(x, x + 74) if works_coil else self._moves(x, self._last_pole())
        alone = v.kind == "time-switch" and v.live_fed
        if alone:
            self._fed_inside(FIRST, x)
        else:
            role = "time-switch-line-1" if ("time-switch", "time-switch-line-1") in self.marks else "time-switch-line"
            self._terminal("time-switch", role, x, CONTACT, (-8, 12), "end")
        if alone and ((v.line_to_line and v.poles >= 2) or v.neutral_switched):
            # Its way back is the second pole's terminal, which stands in the main path.
            pole, turn = self.neutral_x if v.neutral_switched else self.columns[1], CONTACT + HEIGHT + 12
            corner = pole + 16
            canvas.line(
                (pole, CONTACT), (corner, CONTACT + 10), (corner, turn), (x, turn), (x, CONTACT + HEIGHT), dashed=True
            )
            return
        role = "time-switch-line-2" if v.line_to_line else "time-switch-neutral"
        self._terminal("time-switch", role, x, CONTACT + HEIGHT, (8, 10))

    def _coil_path(self, x: int) -> None:
        """The coil, above it what works it: the contact of the time switch, or the control that is there."""
        v, canvas = self.v, self.canvas
        symbols.contact(canvas, self.style, x, CONTACT, closed=False)
        if v.clock:
            if v.live_fed:
                self._fed_inside(self.control_x, x)
            else:
                self._terminal("time-switch", "normally-open-in-1", x, CONTACT)
            self._terminal("time-switch", "normally-open-out-1", x, CONTACT + HEIGHT)
        else:
            self._terminal("control", "control-in", x, CONTACT)
            self._terminal("control", "control-out", x, CONTACT + HEIGHT)
        self._name("time-switch" if v.clock else "control", x - 14, CONTACT + 44)
        symbols.coil(canvas, self.style, x, SECOND)
        self._name("contactor", x - 18, SECOND + 28)
        self._terminal("contactor", "contactor-coil-1", x, SECOND)
        self._terminal("contactor", "contactor-coil-2", x, SECOND + HEIGHT)

    # --- bars, connectors, wires ---

    def _nodes(self) -> None:
        """Bars and connectors. A connector lies on the line that it shares out."""
        canvas, v = self.canvas, self.v
        for end in self.ends:
            name, part = node(end), end.terminal.part
            if name in self.at or name == end.id:
                continue
            if part.startswith("connector"):
                x, y = self._connector(name)
                label, anchor = (-8, -5), "end"
            elif part.startswith("splice"):
                x, y = self.columns[int(part[-1]) - 1], CONTACT + HEIGHT + SPLICE
                label, anchor = (8, 4), "start"
            elif part == "earth-bar":
                x, y, label, anchor = EARTH, self.back + 22, (8, -5), "start"
                symbols.earth(canvas, x, y, self.system == "tt")
            elif part == "neutral-bar":
                x, y = (self.neutral_x, RAIL + STEP) if v.neutral_switched else (self.neutral_x, self.back)
                canvas.line((x, TOP), (x, y))
                label, anchor = (8, -5), "start"
            else:  # the neutral of the other breaker's circuit
                x, y, label, anchor = self.right, self.back, (8, 4), "start"
                symbols.supply(canvas, x, TOP)
                canvas.line((x, TOP), (x, y))
            self.at[name] = (x, y)
            canvas.terminal(name, name, x, y, label, anchor)
        self._terminal("enclosure", "enclosure-earth", EARTH + 16, self.load + 12, (0, -7))

    def _connector(self, name: str) -> Point:
        fed = next(wire for wire in self.wires if node(wire.target) == name)
        x, _ = self.at[fed.source.id]
        return x, RAIL + (STEP * (self.columns.index(x)) if x in self.columns else 0)

    def _route(self) -> None:
        drawn = [(wire, self._points(wire)) for wire in self.wires]
        net_of = {name: number for number, net in enumerate(nets(self.wires)) for name in net}
        meeting = joints([(net_of[node(wire.source)], points) for wire, points in drawn])
        places = badges(
            [points for _, points in drawn],
            [net_of[node(wire.source)] for wire, _ in drawn],
            [*meeting, *self.at.values()],
            self.canvas.ring,
            self.canvas.lines,
        )
        for (wire, points), place in zip(drawn, places, strict=True):
            self.canvas.wire(wire, points, place)
        for x, y in meeting:
            if (x, y) not in self.at.values():
                self.canvas.dot(x, y)

    def _points(self, wire: Wire) -> list[Point]:
        """Along the rails: down what comes from a connector, up what goes back to one, round the right where need be."""
        start, end = self.at[node(wire.source)], self.at[node(wire.target)]
        (x1, y1), (x2, y2) = start, end
        if x1 == x2:
            return [start, end]
        if wire.link.role == "others-line":  # above the rails, where nothing else runs across
            above = RAIL - ABOVE * (1 + self.others.index(x2))
            return [start, (x1, above), (x2, above), end]
        if wire.link.role == "control-fuse-feed":  # up beside the fuse, and into it from above
            up, level = x2 - 22, RAIL - FUSE_FEED - FUSE_FEED // 2 * (wire.target.terminal.role[-1] == "2")
            return [start, (x1, level), (up, level), (up, y2 - 10), (x2, y2 - 10), end]
        if wire.target.terminal.part == "enclosure":
            return [start, (x1, y2), end]
        if y2 > y1 and wire.link.role in ("clock-second-line", "coil-second-line"):
            if x1 == self.right:
                return [start, (x1, self.back), (x2, self.back), end]
            return [start, (self.right, y1), (self.right, self.back), (x2, self.back), end]
        if wire.link.role in ("clock-neutral", "coil-neutral") and y2 < y1:
            return [start, (x1, self.back), (self.right, self.back), (self.right, y2), end]
        if y1 >= CONTACT:
            return [start, (x1, y2), end]
        rail = y1 if wire.source.terminal.part.startswith(("connector", "neutral-bar")) else RAIL
        return [start, (x1, rail), (x2, rail), end]

"""Every way in which a device can be connected, as answers; and a drawing read back from its SVG."""

from __future__ import annotations

import functools
import itertools
import json
import re
from decimal import Decimal
from typing import Any, NamedTuple
from xml.etree import ElementTree

from checker.core.answers import check_answers
from checker.core.api import handle
from checker.core.pack import choose
from checker.core.situation import Situation
from checker.core.wiring import circuit, connections, rail
from checker.core.wiring import layout as plan
from checker.core.wiring.connections import Wire
from checker.core.wiring.layout import Variant
from tests.core import asking
from tests.core.asking import AS_OF, FITS

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[int, int]
Stretch = tuple[Point, Point]

_CHOICES = {
    "device_kind": ("time-switch", "contactor", "time-switch-and-contactor"),
    "device_contact": ("live-fed", "voltage-free"),
    "contact_action": ("normally-open", "normally-closed", "changeover"),
    "device_poles": ("one", "two", "three"),
    "clock_supply": ("same-breaker", "own-fuse", "other-breaker"),
    "phases": ("single", "split", "three"),
    "supply_system": ("tn-s", "tn-c-s", "tt"),
}
_VOLTAGES = {"single": 230, "split": 240, "three": 230}
_MORE = {"device_modules": 2, "contactor_modules": 2, "spare_modules": 9}


class DrawnCase(NamedTuple):
    """One variant with its list and its drawings."""

    name: str
    variant: Variant
    wires: list[Wire]
    drawings: dict[str, dict]


def sound(pack: str) -> dict[str, Any]:
    """The sound case in the terms of one pack: what it does not ask, or asks otherwise, is left out."""
    questions = choose(pack, None, AS_OF).questions
    answers = getattr(asking, "sound", lambda _: FITS)(pack)

    def takes(name: str, value: Any) -> bool:
        choices = [choice["value"] for choice in questions.get(name, {}).get("choices", ())]
        return name in questions and (not choices or value in choices)

    return {name: value for name, value in answers.items() if takes(name, value)}


def sheet(answers: dict[str, Any], pack: str = "iec", **more: Any) -> dict[str, Any]:
    request = {"format": 1, "ask": "sheet", "pack": pack, "as_of": AS_OF, "answers": answers, **more}
    reply = json.loads(handle(json.dumps(request, default=str)))
    assert "error" not in reply, reply
    return reply


def situation(answers: dict[str, Any], pack: str = "iec") -> Situation:
    """The case as the core holds it, verdict left aside: the list is made for one that does not fit as well."""
    rules = choose(pack, None, AS_OF)
    known = {q: v for q, v in answers.items() if q in rules.questions}
    exact = {
        q: Decimal(str(v)) if isinstance(v, int | float) and not isinstance(v, bool) else v for q, v in known.items()
    }
    return Situation(rules, check_answers(exact, rules.questions))


def made(answers: dict[str, Any], pack: str = "iec", **changed: bool) -> DrawnCase:
    """A case by its answers; `changed` says what a region may ask beside them (an enclosure beside the board, ...)."""
    fed = {"live-fed": "inside", "voltage-free": "own-breaker"}.get(answers.get("device_contact"))
    held = situation({**sound(pack), **_MORE, **({"contact_feed": fed} if fed else {}), **answers}, pack)
    variant = plan.variant(held)._replace(**changed)
    wires = connections.dressed(held, variant)
    name = " ".join([*(str(answers[key]) for key in _CHOICES if key in answers), *changed])
    drawings = {"rail": rail.draw(held, variant, wires), "circuit": circuit.draw(held, variant, wires)}
    return DrawnCase(name, variant, wires, drawings)


@functools.cache
def every() -> tuple[DrawnCase, ...]:
    """Every variant that can be built. Earthing changes the diagram only, so it is crossed with one action of the contact."""
    cases = []
    for values in itertools.product(*_CHOICES.values()):
        choice = dict(zip(_CHOICES, values, strict=True))
        if choice["device_kind"] == "contactor" and choice["device_contact"] != "live-fed":
            continue  # without a clock there is no contact of one
        if choice["supply_system"] != "tn-s" and choice["contact_action"] != "normally-open":
            continue
        if contradicts(choice):
            continue
        volts = dict.fromkeys(("supply_voltage_v", "contactor_coil_v", "clock_voltage_v"), _VOLTAGES[choice["phases"]])
        cases.append(made({**choice, **volts}))
        if choice["supply_system"] == "tn-c-s":
            cases.append(made({**choice, **volts}, own_enclosure=True))
        if choice["supply_system"] == "tt":
            cases.append(made({**choice, **volts}, others_stay=True))
            cases.append(made({**choice, **volts}, others_stay=True, own_enclosure=True))
        if choice["phases"] == "single" and choice["device_poles"] == "two":
            cases.append(made({**choice, **volts}, neutral_switched=True))
    return tuple(cases)


def contradicts(choice: dict[str, str]) -> bool:
    """A contact fed inside carries what feeds its clock: clock and load cannot hang on two breakers or fuses then."""
    tried = (choice["device_kind"], choice["device_contact"])
    return tried == ("time-switch", "live-fed") and choice["clock_supply"] != "same-breaker"


class Read:
    """What a drawing shows: its terminals by place, its wires by number with the points they run through."""

    def __init__(self, svg: str) -> None:
        self.root = root = ElementTree.fromstring(svg)
        self.width, self.height = (int(n) for n in root.get("viewBox").split()[2:])
        self.title, self.desc = root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text
        circles = list(root.iter(f"{SVG}circle"))
        self.terminals = {_at(c): c.get("data-terminal") for c in circles if c.get("class") == "terminal"}
        self.joints = [_at(c) for c in circles if c.get("class") == "joint"]
        groups = [group for group in root.iter(f"{SVG}g") if group.get("class") == "wire"]
        self.paths = {int(group.get("data-number")): group.findall(f"{SVG}path") for group in groups}
        assert len(self.paths) == len(groups), "a wire is drawn twice"
        self.wires = {number: _points(paths[0].get("d")) for number, paths in self.paths.items()}
        self.texts = list(root.iter(f"{SVG}text"))
        named = [rect for rect in root.iter(f"{SVG}rect") if rect.get("data-device")]
        self.devices = [(r.get("data-device"), int(r.get("x")), int(r.get("width"))) for r in named]

    def ends(self, number: int) -> tuple[str | None, str | None]:
        """The terminals that stand where the wire begins and ends, whatever anything is called."""
        points = self.wires[number]
        return self.terminals.get(points[0]), self.terminals.get(points[-1])

    def lines(self) -> list[Stretch]:
        """Long stretches of what is no wire of the list: the supply and what is joined inside a device."""
        plain_paths = [path for path in self.root.findall(f"{SVG}path") if path.get("class") is None]
        ways = [_points(path.get("d")) for path in plain_paths if "Q" not in path.get("d")]
        return [
            s for way in ways for s in itertools.pairwise(way) if abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]) > 60
        ]

    def stretches(self, number: int) -> list[Stretch]:
        return list(itertools.pairwise(self.wires[number]))


def _at(circle: ElementTree.Element) -> Point:
    return int(circle.get("cx")), int(circle.get("cy"))


def _points(d: str) -> list[Point]:
    return [(int(x), int(y)) for x, y in re.findall(r"(-?\d+) (-?\d+)", d)]


def on(point: Point, stretch: Stretch) -> bool:
    (x1, y1), (x2, y2) = stretch
    return min(x1, x2) <= point[0] <= max(x1, x2) and min(y1, y2) <= point[1] <= max(y1, y2)


def along(one: Stretch, other: Stretch) -> bool:
    """Whether two upright or level stretches run on top of each other for some way."""
    for axis in (0, 1):
        if one[0][axis] == one[1][axis] == other[0][axis] == other[1][axis]:
            low = max(min(p[1 - axis] for p in one), min(p[1 - axis] for p in other))
            high = min(max(p[1 - axis] for p in one), max(p[1 - axis] for p in other))
            return low < high
    return False


def plain(terminal: str) -> str:
    """Bars, connectors and splices are one piece of metal, whatever way a wire takes: X1:2 and X1 are X1."""
    name = terminal.partition(":")[0]
    return name if re.fullmatch(r"[XW]\d|N2?|PE", name) else terminal


def gap(place: Point, stretch: Stretch) -> float:
    """The distance from a place to a straight stretch."""
    (x1, y1), (x2, y2) = stretch
    x, y = min(max(place[0], min(x1, x2)), max(x1, x2)), min(max(place[1], min(y1, y2)), max(y1, y2))
    return ((place[0] - x) ** 2 + (place[1] - y) ** 2) ** 0.5

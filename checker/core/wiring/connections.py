"""The connection list: the plan with marks, sizes, colours, stripping, ferrules and torque. The drawings read it too."""

from __future__ import annotations

from typing import NamedTuple

from checker.core.situation import Reader, Situation
from checker.core.values import NotKnown, Unknown
from checker.core.wiring.layout import MOVED, NEW, STAYS, Link, Terminal, Variant, lay_out, variant
from checker.core.wiring.words import Words, value_of

_COUNTED = ("connector", "splice")


class End(NamedTuple):
    """One end of a wire: `id` such as F1:2, `name` in words, `short` for a table, and what it is by role."""

    id: str
    name: str
    short: str
    part: str
    mark: str
    terminal: Terminal


class Wire(NamedTuple):
    """One entry of the list. Texts are ready to print; None where nothing is known."""

    number: int
    link: Link
    source: End
    target: End
    size: str | None
    kind: str
    colour_new: str
    colour_old: str
    colour_status: str
    strip: str
    ferrule: str | None
    torque: str | None

    def shown(self, words: Words) -> dict:
        """As the report and the sheet give it."""
        ends = {name: {"id": end.id, "name": end.name} for name, end in (("from", self.source), ("to", self.target))}
        return {
            "id": self.link.role,
            "number": str(self.number),
            "state": self.link.state,
            **ends,
            "function": words(f"function-{self.link.function}"),
            "size": self.size,
            "kind": self.kind,
            "colour": {"new": self.colour_new, "old": self.colour_old, "status": self.colour_status},
            "strip": self.strip,
            "ferrule": self.ferrule,
            "torque": self.torque,
            "one_wire": True,
            "text": self.sentence(words),
            "source": "common-practice",
            "status": "practice",
        }

    def sentence(self, words: Words) -> str:
        return words(
            f"wire-{self.link.state}",
            source=self.source.name,
            target=self.target.name,
            function=words(f"function-{self.link.function}"),
            size=self.size or words("size-unknown"),
            colour=self.colour_new if self.link.state == NEW else self.colours(words),
        )

    def colours(self, words: Words) -> str:
        if self.link.state == NEW:
            return self.colour_new
        return words("colour-old", new=self.colour_new, old=self.colour_old)


def wires(situation: Situation) -> tuple[Variant, list[Wire]]:
    """The variant and its wires, numbered. Raises `NotKnown` with the answers that are missing."""
    v = variant(situation)
    return v, dressed(situation, v)


def dressed(situation: Situation, v: Variant) -> list[Wire]:
    """The wires of a variant, with what the case says of sizes, colours and ends."""
    dresser = _Dresser(situation, v)
    return [dresser.wire(number, link) for number, link in enumerate(lay_out(v), 1)]


def listed(situation: Situation) -> list[dict]:
    """The report's `connections`: the wires, then what else has to be known about them. Without wires only that."""
    words = Words(situation)
    try:
        rows = [wire.shown(words) for wire in wires(situation)[1]]
    except NotKnown:
        rows = []
    notes = [{key: text[key] for key in ("id", "text", "source", "status")} for text in words.texts("connections")]
    return [*rows, *notes]


class _Dresser:
    def __init__(self, situation: Situation, v: Variant) -> None:
        self.situation, self.v = situation, v
        self.words = Words(situation)
        self.read = Reader(situation)
        self.fine = value_of(situation, "link_strands") == "fine"

    def mark(self, key: str) -> str:
        return str(self.read.row("terminal-marks", terminal=key))

    def end(self, terminal: Terminal) -> End:
        """The id and the name of a terminal: F1:2, `terminal 2 of the circuit-breaker F1`."""
        part, _, count = terminal.part.rpartition("-") if terminal.part[-1].isdigit() else (terminal.part, "", "")
        name = self.mark(part) + count
        mark = self.mark(terminal.role) if terminal.role else str(terminal.way)
        kind, ident = "terminal" if terminal.role else "way", f"{name}:{mark}"
        return End(
            id=ident,
            name=self.words(f"{kind}-of-{part}", name=name, mark=mark),
            short=self.words("end", id=ident, name=self.words(f"name-{part}")),
            part=name,
            mark=mark,
            terminal=terminal,
        )

    def wire(self, number: int, link: Link) -> Wire:
        new = link.state == NEW
        colour, status = self.colour(link.function, "new")
        return Wire(
            number=number,
            link=link,
            source=self.end(link.source),
            target=self.end(link.target),
            size=self.size(link),
            kind=self.kind(link),
            colour_new=colour,
            colour_old=self.colour(link.function, "old")[0],
            colour_status=status,
            strip=self.strip(link),
            ferrule=self.ferrule(link) if new and self.fine else None,
            torque=self.torque(link),
        )

    def colour(self, function: str, age: str) -> tuple[str, str]:
        cell = self.read.peek("conductor-colour", conductor_function=function, colour_age=age)
        return (cell.value, cell.status) if cell else (self.words("colour-unknown"), "memory")

    def _foreign(self, link: Link) -> bool:
        """Whether another breaker protects this wire: its size is not the one that was answered for."""
        return any(end.part.startswith("other-") for end in (link.source, link.target))

    def size(self, link: Link) -> str | None:
        if link.state == NEW and link.to_control(self.v):
            return self.words.value("control_size")
        if self._foreign(link):
            return None
        if link.state == NEW:
            return self.words.value("link_size")
        return self.words.value("protective_size" if link.function == "protective" else "cable_size")

    def kind(self, link: Link) -> str:
        if link.state != NEW:
            return self.words("kind-cable")
        strands = value_of(self.situation, "link_strands")
        return self.words("kind-link") if isinstance(strands, Unknown) else self.words(f"kind-link-{strands}")

    def strip(self, link: Link) -> str:
        if link.state == STAYS:
            return self.words("strip-none")
        return self.words("strip", length=self.words.value("strip_length_mm"))

    def ferrule(self, link: Link) -> str:
        size = self.size(link) or self.words("size-unknown")
        if link.to_control(self.v):
            area = value_of(self.situation, "control_size_mm2")
            cell = None if isinstance(area, Unknown) else self.read.peek("ferrule-colour", link_size_mm2=area)  # type: ignore[arg-type]  # a number
            colour = str(cell.value) if cell else None
        else:
            colour = self.words.value("ferrule_colour")
        return self.words("ferrule", size=size, colour=colour) if colour else self.words("ferrule-plain", size=size)

    def torque(self, link: Link) -> str | None:
        """The torque of the device's own screws; those of breaker, bars and connectors are marked on them."""
        if link.state == STAYS:
            return None
        at_device = any(end.part in ("time-switch", "contactor") for end in (link.source, link.target))
        known = self.words.value("screw_torque_nm") if at_device else None
        return self.words("torque", torque=known) if known else self.words("torque-marked")


__all__ = ["MOVED", "NEW", "STAYS", "End", "Wire", "listed", "wires"]

"""What to buy and cut: the device as a specification, then wires, connectors, ferrules and labels counted from the list."""

from __future__ import annotations

from checker.core.wiring.connections import NEW, Wire
from checker.core.wiring.layout import Variant
from checker.core.wiring.words import Words

Row = tuple[str, str]


def rows(words: Words, v: Variant, wires: list[Wire]) -> list[Row]:
    """What is wanted and how much of it."""
    new = [wire for wire in wires if wire.link.state == NEW]
    return [*_wires(words, new), *_joints(words, wires), *_ends(words, new), *_labels(words, v)]


def _wires(words: Words, new: list[Wire]) -> list[Row]:
    kinds: dict[tuple[str, str, str], int] = {}
    for wire in new:
        key = (wire.kind, wire.size or words("size-unknown"), wire.colour_new)
        kinds[key] = kinds.get(key, 0) + 1
    length = words.value("link_length_m")
    return [
        (words("buy-wire", kind=kind, size=size, colour=colour), words("buy-length", n=n, length=length))
        for (kind, size, colour), n in kinds.items()
    ]


def _joints(words: Words, wires: list[Wire]) -> list[Row]:
    """Connectors and splices, each with as many ways as wires meet in it."""
    ways: dict[tuple[str, str], int] = {}
    sizes: dict[str, str] = {}
    for wire in wires:
        for end in (wire.source, wire.target):
            for kind in ("connector", "splice"):
                if end.terminal.part.startswith(kind):
                    ways[kind, end.part] = ways.get((kind, end.part), 0) + 1
                    sizes.setdefault(end.part, wire.size or words("size-unknown"))
    cable = words.value("cable_size") or words("size-unknown")
    return [
        (words(f"buy-{kind}", name=name, wires=n, size=sizes[name], cable=cable), str(1))
        for (kind, name), n in ways.items()
    ]


def _ends(words: Words, new: list[Wire]) -> list[Row]:
    ferruled = [wire for wire in new if wire.ferrule]
    sizes = dict.fromkeys(wire.size or words("size-unknown") for wire in ferruled)
    return [
        (words("buy-ferrule", size=size), str(2 * sum((w.size or words("size-unknown")) == size for w in ferruled)))
        for size in sizes
    ]


def _labels(words: Words, v: Variant) -> list[Row]:
    found = [(words("buy-label"), str(1))]
    if v.own_fuse:
        found.append((words("buy-control-fuse", rating=words.value("control_fuse_a") or ""), str(1)))
    if v.other_breaker:
        found.append((words("buy-label-two-feeds"), str(1)))
    if v.own_enclosure:
        found.append((words("buy-enclosure"), str(1)))
    else:
        found.append((words("buy-blank"), words("as-needed")))
    return found

"""Where the wires of the circuit diagram meet: points, groups of what is joined, joints, and room for numbers."""

from __future__ import annotations

from itertools import pairwise

from checker.core.wiring.connections import End, Wire

Point = tuple[int, int]


def node(end: End) -> str:
    """A terminal in the diagram: bars and connectors are one point, whatever way a wire takes."""
    part = end.terminal.part
    return end.id.partition(":")[0] if part.startswith(("connector", "splice")) or part.endswith("-bar") else end.id


def nets(wires: list[Wire]) -> list[list[str]]:
    """Terminals that the wires join, each group in the order of the list."""
    groups: list[list[str]] = []
    for wire in wires:
        ends = [node(wire.source), node(wire.target)]
        touched = [group for group in groups if not set(ends).isdisjoint(group)]
        merged = list(dict.fromkeys([name for group in touched for name in group] + ends))
        groups = [group for group in groups if group not in touched] + [merged]
    return groups


def badge(points: list[Point], taken: list[Point], terminals: list[Point]) -> Point:
    """Where the number of a wire stands: in the middle of its longest stretch that is free of other numbers and terminals."""
    stretches = sorted(pairwise(points), key=lambda s: -abs(s[0][0] - s[1][0]) - abs(s[0][1] - s[1][1]))
    options = [
        (a[0] + (b[0] - a[0]) * share // 4, a[1] + (b[1] - a[1]) * share // 4)
        for a, b in stretches
        for share in (2, 1, 3)
    ]

    def clear(point: Point, others: list[Point], room: int) -> bool:
        return all(abs(point[0] - x) + abs(point[1] - y) >= room for x, y in others)

    roomy = [point for point in options if clear(point, [*taken, *terminals], 18)]
    close = [point for point in options if clear(point, taken, 14)]
    return (roomy or close or options)[0]


def joints(drawn: list[tuple[int, list[Point]]]) -> list[Point]:
    """Points where wires of one net part: three ways or more leave them."""
    found = []
    for net in {net for net, _ in drawn}:
        stretches = [s for n, points in drawn if n == net for s in pairwise(points) if s[0] != s[1]]
        for point in dict.fromkeys(p for s in stretches for p in s):
            ways = set()
            for a, b in stretches:
                for tip in (a, b):
                    if point != tip and _between(a, b, point):
                        ways.add((_sign(tip[0] - point[0]), _sign(tip[1] - point[1])))
            if len(ways) >= 3:
                found.append(point)
    return found


def _between(a: Point, b: Point, p: Point) -> bool:
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])


def _sign(n: int) -> int:
    return (n > 0) - (n < 0)

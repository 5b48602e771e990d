"""Where the wires of the circuit diagram meet: points, groups of what is joined, joints, and room for numbers."""

from __future__ import annotations

from itertools import pairwise

from checker.core.wiring.connections import End, Wire

Point = tuple[int, int]
Stretch = tuple[Point, Point]


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


def badges(
    drawn: list[list[Point]],
    nets_of: list[int],
    kept_free: list[Point],
    radius: int,
    lines: list[Stretch] | None = None,
) -> list[Point]:
    """Where the number of each wire stands: on its longest stretch, as near the middle as it is alone there.

    `drawn` holds the points of each wire, `nets_of` the net of each. Another wire would run through a ring that stands on a
    crossing, and the number would be read for both. `kept_free`: terminals and joints; `lines`: what is
    drawn beside the wires.
    """
    placed: list[Point] = []
    for number, points in enumerate(drawn):
        others = [
            (net, s)
            for n, (way, net) in enumerate(zip(drawn, nets_of, strict=True))
            if n != number
            for s in pairwise(way)
        ]
        foreign = [*(lines or []), *(stretch for net, stretch in others if net != nets_of[number])]
        joined = [stretch for net, stretch in others if net == nets_of[number]]
        placed.append(_alone(points, foreign, joined, kept_free, placed, radius))
    return placed


def _alone(
    points: list[Point],
    foreign: list[Stretch],
    joined: list[Stretch],
    kept_free: list[Point],
    placed: list[Point],
    radius: int,
) -> Point:
    """The first place along a wire where nothing else touches its ring, or the one where least does."""

    apart = 2 * radius + 1  # from ring to ring
    room = radius + 4  # the ring, and half of what stands beside it

    def lacking(place: Point) -> tuple[int, int]:
        near = min((_away(place, (point, point)) for point in kept_free), default=room)
        crossing = min((_away(place, stretch) for stretch in foreign), default=room)
        shared = min((_away(place, stretch) for stretch in joined), default=room)
        rings = min((_away(place, (ring, ring)) for ring in placed), default=apart)
        worst = max(0, room - near) + 3 * max(0, room - crossing) + 5 * max(0, apart - rings)
        return worst, max(0, room - shared)

    best, least = points[0], (room * 4 + apart * 5, room)
    for place in _along(points):
        found = lacking(place)
        if found == (0, 0):  # most wires have such a place at once
            return place
        if found < least:
            best, least = place, found
    return best


def _along(points: list[Point]) -> list[Point]:
    """Places on a way, every four units: those of the longest stretch first, each stretch from its middle outwards."""
    stretches = sorted(pairwise(points), key=lambda s: -abs(s[0][0] - s[1][0]) - abs(s[0][1] - s[1][1]))
    places = []
    for (x1, y1), (x2, y2) in stretches:
        parts = max(2, (abs(x1 - x2) + abs(y1 - y2)) // 4)
        middle_first = sorted(range(1, parts), key=lambda n: abs(2 * n - parts))
        places += [(x1 + (x2 - x1) * n // parts, y1 + (y2 - y1) * n // parts) for n in middle_first]
    return places


def _away(place: Point, stretch: Stretch) -> int:
    """How far a place is from an upright or level stretch: the longer of the two ways, across and up."""
    (x1, y1), (x2, y2) = stretch
    x, y = place
    left, right = (x1, x2) if x1 < x2 else (x2, x1)
    top, foot = (y1, y2) if y1 < y2 else (y2, y1)
    across = left - x if x < left else x - right if x > right else 0
    up = top - y if y < top else y - foot if y > foot else 0
    return across if across > up else up


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

"""Ways a thing can be, side by side: a small drawing for each choice of a question, with its name under it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from checker.dev.pictures.paper import WIDTH, Paper, area, in_lines

_LINE = 14


class Cell(NamedTuple):
    """One choice: the name under it, and how it is drawn, as words of `CELLS`."""

    choice: str
    shows: str
    draws: str


def grid(question: str, drawing: str, cells: list[Cell]) -> tuple[list[str], int]:
    """The parts of the drawing and its height. Each choice is a spot of its own."""
    draw, tall, most = CELLS[drawing]
    columns = 2 if len(cells) == 4 and most == 3 else min(most, len(cells))
    wide, paper, top = WIDTH // columns, Paper(), 0
    for first in range(0, len(cells), columns):
        row = cells[first : first + columns]
        names = max(len(in_lines(cell.shows, 12, wide - 6)) for cell in row)
        height = tall + names * _LINE + 6
        for number, cell in enumerate(row):
            inside, left = Paper(), number * wide
            area(inside, left + 1, top, wide - 2, height - 2)
            drawn = Paper()
            draw(drawn, cell.draws)
            inside.group(drawn, transform=f"translate({left + wide // 2} {top})")
            for line, name in enumerate(in_lines(cell.shows, 12, wide - 6)):
                inside.text(left + wide // 2, top + tall + 12 + line * _LINE, name, within=wide - 4, bold=True)
            paper.group(inside, class_="sw-spot", data_question=question, data_choice=cell.choice)
        top += height + 4
    return paper.parts, top - 4


# How a cable lies: cut across, 72 wide and 70 high around x = 0. `draws` says where, in what, and which cable.


def _hatch(paper: Paper, x: int, top: int, bottom: int) -> None:
    """The surface of masonry at `x`, cut."""
    strokes = "".join(f"M{x} {y}l-9 9" for y in range(top, bottom - 4, 12))
    paper.path(f"M{x} {top}V{bottom}{strokes}")


def _wool(paper: Paper, x: int, y: int, w: int, h: int) -> None:
    """Thermal insulation: rows of waves."""
    rows = "".join(f"M{x} {row}" + "q4 -6 8 0t8 0" * (w // 16) for row in range(y + 6, y + h, 11))
    paper.path(rows, stroke_width="1", stroke_opacity="0.55")


def _cable(paper: Paper, x: int, y: int, what: str) -> None:
    if what == "wires":
        for dx, dy in ((-5, 4), (5, 4), (0, -5)):
            paper.circle(x + dx, y + dy, 4, class_="sw-paper")
            paper.dot(x + dx, y + dy)
        return
    if what == "flat":
        paper.box(x - 6, y - 12, 12, 24, rx=6, class_="sw-paper")
        for dy, r in ((-6, 3), (0, 1), (6, 3)):
            paper.dot(x, y + dy, r)
        return
    if what == "flat-lying":
        paper.box(x - 12, y - 6, 24, 12, rx=6, class_="sw-paper")
        for dx, r in ((-6, 3), (0, 1), (6, 3)):
            paper.dot(x + dx, y, r)
        return
    paper.circle(x, y, 10, class_="sw-paper")
    for dx, dy in ((-4, 3), (4, 3), (0, -4)):
        paper.dot(x + dx, y + dy)


def _laid(paper: Paper, draws: str) -> None:
    where, inside, what = draws.split("/")
    x, y = _WHERE[where](paper, inside)
    if inside == "conduit":
        paper.circle(x, y, 15, class_="sw-paper", stroke_width="2.2")
    _cable(paper, x, y, what)


def _on_wall(paper: Paper, inside: str) -> tuple[int, int]:
    _hatch(paper, -12, 4, 66)
    return (4, 35) if inside == "conduit" else (-1, 35)


def _in_insulated_wall(paper: Paper, inside: str) -> tuple[int, int]:
    paper.path("M-28 4V66M28 4V66M-32 4V66M32 4V66")
    _wool(paper, -24, 2, 48, 64)
    return 0, 35


def _in_ground(paper: Paper, inside: str) -> tuple[int, int]:
    paper.path("M-34 14H34" + "".join(f"M{x} 14l-6 8" for x in range(-26, 36, 12)))
    return 0, 46


def _in_air(paper: Paper, inside: str) -> tuple[int, int]:
    _hatch(paper, -22, 4, 66)
    paper.path("M-22 48H18M-14 48v3M-4 48v3M6 48v3M16 48v3", stroke_width="2")
    return 4, 35


def _over_ceiling(paper: Paper, deep: int) -> tuple[int, int]:
    paper.path("M-34 60H34M-34 64H34")
    _wool(paper, -32, 58 - deep, 64, deep)
    return 0, 53


def _in_stud_wall(paper: Paper, x: int) -> tuple[int, int]:
    paper.path("M-28 4V66M-32 4V66M28 4V66M32 4V66")
    _wool(paper, -24, 2, 48, 64)
    return x, 35


def _through_framing(paper: Paper, inside: str) -> tuple[int, int]:
    paper.box(-30, 8, 60, 54)
    paper.path("M-30 8L-18 20M18 50L30 62M-30 62L-18 50M18 20L30 8", stroke_width="1", stroke_opacity="0.6")
    paper.circle(0, 35, 17)
    return 0, 35


def _half_insulated(paper: Paper, inside: str) -> tuple[int, int]:
    paper.path("M-14 4V66M-18 4V66")
    _wool(paper, -12, 2, 48, 64)
    return -4, 35


def _all_insulated(paper: Paper, inside: str) -> tuple[int, int]:
    _wool(paper, -32, 2, 64, 64)
    return 0, 35


_WHERE: dict[str, Callable[[Paper, str], tuple[int, int]]] = {
    "wall": _on_wall,
    "insulated-wall": _in_insulated_wall,
    "ground": _in_ground,
    "air": _in_air,
    "ceiling-thin": lambda paper, _: _over_ceiling(paper, 24),
    "ceiling-thick": lambda paper, _: _over_ceiling(paper, 56),
    "stud-touching": lambda paper, _: _in_stud_wall(paper, -21),
    "stud-surrounded": lambda paper, _: _in_stud_wall(paper, 0),
    "framing": _through_framing,
    "half-insulated": _half_insulated,
    "all-insulated": _all_insulated,
}


def _earthed(paper: Paper, draws: str) -> None:
    """Where the earth comes from: the supply below, its cut-out, the earth terminal to the right."""
    paper.box(-40, 30, 34, 34, rx=2)
    paper.path("M-30 18V104M-16 18V104")
    paper.text_at(-30, 13, "L")
    paper.text_at(-16, 13, "N")
    earth = {"stroke_width": "3", "stroke_dasharray": "7 3"}
    if draws == "pen":
        paper.path("M-16 104V18", **earth)
        return
    paper.box(16, 34, 26, 16, rx=2)
    paper.path("M29 34V8")
    paper.path("M20 42h18", stroke_width="1")
    if draws == "sheath":
        paper.box(-35, 74, 24, 30, rx=3)
        paper.box(-38, 80, 30, 8, rx=2, fill="currentColor", fill_opacity="0.3")
        paper.path("M-8 84H29V50", **earth)
    elif draws == "neutral":
        paper.dot(-16, 47, 4)
        paper.path("M-16 47H16", **earth)
    else:
        paper.path("M29 50V84", **earth)
        paper.path("M29 84V106", stroke_width="4")
        paper.path("M12 88H46M16 88l-5 6M24 88l-5 6M40 88l-5 6")


def _neutral(paper: Paper, draws: str) -> None:
    """Two residual current devices, each with its own neutral bar, and where the neutral of the circuit goes."""
    for x in (-46, 8):
        paper.box(x, 2, 38, 24, rx=2)
        paper.dot(x + 8, 20)
        paper.path(f"M{x + 30} 26V44")
        paper.box(x + 14, 44, 28, 10)
        for screw in (20, 28, 36):
            paper.circle(x + screw, 49, 2)
    paper.box(-46, 44, 12, 20)
    paper.path("M-38 26V44M-40 64V96")
    paper.circle(-24, 98, 8)
    paper.path("M-40 96V98H-32")
    wire = {"stroke_width": "3", "stroke_dasharray": "7 3"}
    if draws == "same":
        paper.path("M-16 98H-10V54", **wire)
    elif draws == "other":
        paper.path("M-16 98H36V54", **wire)
    else:
        paper.path("M-16 98H-10V54", **wire)
        paper.circle(22, 98, 8)
        paper.path("M46 26V98H30")
        paper.path("M14 98H-10", **wire)


def _rcd_symbol(paper: Paper, draws: str) -> None:
    """The marks of types as the trade prints them: what kinds of residual current trip the device."""
    paper.box(-34, 6, 68, 58, rx=3)
    sine = "q8 -18 16 0t16 0"
    if draws == "ac":
        paper.path(f"M-16 35{sine}", stroke_width="2.2")
        return
    paper.path("M-34 35H34", stroke_width="1")
    left = -28 if draws in ("f", "b") else -16
    paper.path(f"M{left} 22" + "q7 -15 14 0t14 0", stroke_width="2.2")
    paper.path(f"M{left - 2} 57h4q6 -22 12 0h4q6 -22 12 0h2", stroke_width="2.2")
    if draws == "f":
        paper.path("M4 6V64", stroke_width="1")
        paper.path("M8 40q2 -18 4 0t4 0q2 -12 4 0t4 0q2 -18 4 0t4 0", stroke_width="1.8")
    elif draws == "b":
        paper.path("M4 6V64", stroke_width="1")
        paper.path("M9 32H30", stroke_width="2.2")
        paper.path("M9 40H30", stroke_width="2.2", stroke_dasharray="5 3")


def _contact(paper: Paper, draws: str) -> None:
    """Terminals of a time switch with what joins them inside: the kind, and the marks of its terminals."""
    kind, marks = draws.split("/")[0], draws.split("/")[1].split(" ")
    paper.box(-50, 4, 100, 66, rx=4)
    if kind in ("live-fed", "voltage-free"):
        places = (-34, 0, 34) if kind == "live-fed" else (-38, -14, 14, 38)
        for x, mark in zip(places, marks, strict=True):
            paper.circle(x, 58, 5)
            paper.text_at(x, 48, mark)
        first, last = (-34, 34) if kind == "live-fed" else (14, 38)
        middle = (first + last) // 2
        paper.path(f"M{first} 36V22H{middle - 8}l18 -9M{middle + 8} 22H{last}V36", stroke_width="2")
        if kind == "voltage-free":
            paper.path("M0 8V66", stroke_width="1", stroke_dasharray="3 3")
        return
    common, *others = marks
    rest = {"normally-open": (36,), "normally-closed": (20,), "changeover": (52, 20)}[kind]
    paper.text_at(-38, 40, common)
    paper.path("M-30 36H-12" + ("L12 22" if kind == "normally-open" else "L16 19"), stroke_width="2")
    for y, mark in zip(rest, others, strict=True):
        paper.path(f"M14 {y}H28", stroke_width="2")
        paper.text_at(38, y + 4, mark)


def _strands(paper: Paper, draws: str) -> None:
    """The bared end of a wire, cut across."""
    paper.circle(0, 35, 24)
    if draws == "solid":
        paper.dot(0, 35, 14)
        return
    step, r = (11, 5) if draws == "stranded" else (6, 2)
    # Rows of strands, each moved by half a strand against the next.
    for row in range(-20 // step, 20 // step + 1):
        y = row * step * 7 // 8
        for place in range(-20 // step, 20 // step + 1):
            x = place * step + (row % 2) * step // 2
            if (x * x + y * y) < (20 - r) ** 2:
                paper.dot(x, 35 + y, r)


# How each kind of cell is drawn, how high, and how many stand in a row at most.
CELLS: dict[str, tuple[Callable[[Paper, str], None], int, int]] = {
    "method": (_laid, 70, 4),
    "method-named": (_laid, 70, 3),
    "earthing": (_earthed, 110, 3),
    "neutral": (_neutral, 110, 3),
    "rcd-type": (_rcd_symbol, 70, 4),
    "contact": (_contact, 74, 3),
    "strands": (_strands, 62, 3),
}
_WORDS: dict[str, Iterable[str]] = {
    "earthing": ("sheath", "neutral", "rod", "pen"),
    "neutral": ("same", "other", "shared"),
    "rcd-type": ("ac", "a", "f", "b"),
    "strands": ("solid", "stranded", "fine"),
}

_TERMINALS = {"live-fed": 3, "voltage-free": 4, "normally-open": 2, "normally-closed": 2, "changeover": 3}


def known(drawing: str, draws: str) -> bool:
    """Whether a cell can be drawn as these words say."""
    if drawing in _WORDS:
        return draws in _WORDS[drawing]
    parts = draws.split("/")
    if drawing == "contact":
        return len(parts) == 2 and _TERMINALS.get(parts[0]) == len(parts[1].split(" "))
    return (
        len(parts) == 3
        and parts[0] in _WHERE
        and parts[1] in ("conduit", "bare")
        and parts[2] in ("wires", "flat", "flat-lying", "cable")
    )

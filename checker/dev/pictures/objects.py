"""Things one reads something off: the object to the left, and to its right what each marked spot is asked for.

A drawing is a function of a `Sheet`. It draws the thing and gives each place that has a spot its marked box; a place
without a spot is not drawn, so a region shows only what it asks or prints.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from checker.dev.pictures.paper import ROW, TOUCH, WIDTH, DoesNotFit, Paper, area, width_of

_COLUMN = 152  # where the words beside an object begin
_WAYS = 12  # places on the rail that is drawn


class Spot(NamedTuple):
    """A place of a drawing: what is printed there, and the question it answers, if it answers one."""

    place: str
    shows: str
    question: str | None
    label: str | None


class Sheet:
    """A drawing with its spots. `ways_out` holds for each place where the line to its words begins."""

    def __init__(self, spots: list[Spot]) -> None:
        self.paper, self.height = Paper(), 0
        self.spots = {spot.place: spot for spot in spots}
        self.asked = [spot for spot in spots if spot.question]
        self.top = 0  # where the rows of words begin
        self._marked: dict[str, Paper] = {}
        self._out: dict[str, tuple[int, int]] = {}

    def row(self, place: str) -> int:
        """The middle of the row of words that belongs to a place."""
        return self.top + self.asked.index(self.spots[place]) * ROW + ROW // 2

    def print(
        self,
        place: str,
        x: int,
        y: int,
        w: int,
        h: int,
        *,
        size: int = 14,
        out: tuple[int, int] | None = None,
        framed: bool = False,
    ) -> None:
        """What stands at a place: printed in its box, which is marked where a question asks for it."""
        spot = self.spots.get(place)
        if spot is None:
            return
        paper = Paper() if spot.question else self.paper
        if spot.question:
            area(paper, x - 3, y - 3, w + 6, h + 6)
            paper.box(x - 3, y - 3, w + 6, h + 6, rx=5, class_="sw-spot-mark", stroke_dasharray="4 3")
            self._marked[place] = paper
            self._out[place] = out or (x + w + 3, y + h // 2)
        if framed:
            paper.box(x, y, w, h)
        if spot.shows:
            paper.text(x + w // 2, y + h // 2 + size // 3, spot.shows, size=size, within=w, bold=True)

    def within(self, place: str) -> Paper:
        """The paper of a marked place, for what is drawn there besides words."""
        return self._marked.get(place, self.paper)

    def beside(self) -> None:
        """The words of each spot to the right of the object, a row each, with a line from the spot."""
        for spot in self.asked:
            paper, middle = self._marked[spot.place], self.row(spot.place)
            x, y = self._out[spot.place]
            paper.path(f"M{x} {y}L{_COLUMN - 6} {middle}", stroke_width="1", class_="sw-spot-line")
            self._words(paper, spot, _COLUMN, middle - TOUCH // 2, WIDTH - _COLUMN)
        self.height = max(self.height, self.top + len(self.asked) * ROW)

    def below(self) -> None:
        """The words of each spot under the object, a column each."""
        wide, top = WIDTH // max(1, len(self.asked)), self.height + 14
        for number, spot in enumerate(self.asked):
            paper, left = self._marked[spot.place], number * wide
            x, y = self._out[spot.place]
            paper.path(f"M{x} {y}L{left + wide // 2} {top + 2}", stroke_width="1", class_="sw-spot-line")
            self._words(paper, spot, left + 2, top, wide - 4, anchor="middle")
        self.height = top + TOUCH

    def _words(self, paper: Paper, spot: Spot, x: int, y: int, w: int, anchor: str = "start") -> None:
        area(paper, x, y, w, TOUCH)
        at = x + 4 if anchor == "start" else x + w // 2
        told = Paper()
        told.lines(at, y + TOUCH // 2, spot.label or "", within=w - 6, anchor=anchor)
        paper.group(told, class_="sw-spot-words")
        self.paper.group(paper, class_="sw-spot", data_question=spot.question)


def _breaker_front(sheet: Sheet) -> None:
    """A breaker of one module as on a DIN rail: curve and rating, breaking capacity in a box, energy class under it."""
    paper = sheet.paper
    paper.box(22, 2, 92, 180, rx=4)
    paper.screw(68, 16)
    paper.screw(68, 168)
    sheet.print("curve", 36, 34, 18, 24, size=18, out=(45, 31))
    sheet.print("rating", 62, 34, 36, 24, size=18)
    sheet.print("voltage", 30, 64, 76, 14, size=11)
    sheet.print("capacity", 44, 86, 48, 18, size=13, framed=True)
    sheet.print("class", 56, 112, 24, 18, size=13, framed=True)
    paper.box(48, 138, 40, 20)
    paper.box(56, 134, 24, 12, rx=2, fill="currentColor", fill_opacity="0.25")
    sheet.height = 186
    sheet.beside()


def _breaker_handle(sheet: Sheet) -> None:
    """A plug-in breaker: the rating on the end of its handle, the words beside it, a test button where it has one."""
    paper = sheet.paper
    paper.box(4, 8, 136, 112, rx=4)
    paper.path("M4 34h-3v60h3M140 34h3v60h-3", stroke_width="1")
    paper.box(14, 40, 42, 48, rx=3)
    sheet.print("rating", 22, 52, 26, 24, size=16, out=(35, 49))
    sheet.print("words", 66, 38, 70, 14, size=11)
    sheet.print("voltage", 62, 52, 76, 14, size=11)
    sheet.print("capacity", 66, 74, 66, 16, size=12)
    sheet.print("test", 76, 98, 46, 16, size=11, framed=True)
    sheet.height = 124
    sheet.beside()


def _plate(sheet: Sheet) -> None:
    """A plate with its lines. A place that begins with `and-` stands in the line of the one before it.

    What no question asks for stands above the lines.
    """
    told = [spot for spot in sheet.spots.values() if not spot.question]
    for number, spot in enumerate(told):
        sheet.print(spot.place, 8, 8 + number * 18, 128, 18, size=13)
    sheet.top = 18 * len(told) + (6 if told else 0)
    rows: list[list[Spot]] = []
    for spot in sheet.asked:
        if spot.place.startswith("and-"):
            rows[-1].append(spot)
        else:
            rows.append([spot])
    for row in rows:
        asked = [sheet.row(spot.place) for spot in row]
        middle = sum(asked) // len(asked)
        wide = [max(26, width_of(spot.shows, 14) + 2) for spot in row]
        left = 72 - (sum(wide) + 10 * (len(row) - 1)) // 2
        for number, (spot, w) in enumerate(zip(row, wide, strict=True)):
            # The line from the first of two goes over the second.
            out = (left + w // 2, middle - 14) if number + 1 < len(row) else None
            sheet.print(spot.place, left, middle - 11, w, 22, out=out)
            left += w + 10
    sheet.height = sheet.top + len(sheet.asked) * ROW
    sheet.paper.box(2, 2, 140, sheet.height - 4, rx=6)
    for x in (9, 135):
        for y in (9, sheet.height - 9):
            sheet.paper.dot(x, y)
    sheet.beside()


def _cable_print(sheet: Sheet) -> None:
    """A piece of cable with the print on its sheath, in the order of the spots."""
    paper = sheet.paper
    paper.path("M28 8H312M28 44H312")
    paper.path("M28 8q-10 18 0 36M312 8q-10 18 0 36q10 -18 0 -36")
    for y in (16, 26, 36):
        paper.path(f"M24 {y}H4", stroke_width="4")
    wide = [width_of(spot.shows, 13) for spot in sheet.spots.values()]
    gap = min(14, (270 - sum(wide)) // max(1, len(wide) - 1)) if len(wide) > 1 else 0
    left = 36 + max(0, (270 - sum(wide) - gap * (len(wide) - 1)) // 2)
    for spot, w in zip(sheet.spots.values(), wide, strict=True):
        sheet.print(spot.place, left, 17, w, 18, size=13, out=(left + w // 2, 38))
        left += w + gap
    sheet.height = 48
    sheet.below()


def _rcd_front(sheet: Sheet) -> None:
    """A residual current device two modules wide: test button, residual current, type symbol."""
    paper = sheet.paper
    paper.box(4, 2, 136, 166, rx=4)
    for x, mark in ((38, "L"), (106, "N")):
        paper.screw(x, 14)
        paper.screw(x, 156)
        paper.text(x + 14, 18, mark, size=11)
    sheet.print("current", 16, 34, 50, 16, size=12)
    sheet.print("test", 94, 30, 30, 22, size=14, framed=True)
    sheet.print("residual", 38, 62, 92, 20, size=13)
    sheet.print("type", 90, 98, 36, 26, framed=True)
    if "type" in sheet.spots:
        sheet.within("type").path("M94 111q7 -14 14 0t14 0")
    paper.box(26, 100, 40, 36)
    paper.box(34, 96, 24, 18, rx=2, fill="currentColor", fill_opacity="0.25")
    sheet.height = 172
    sheet.beside()


def _rail(sheet: Sheet) -> None:
    """A row of the board: what is on the rail, and the free places, counted."""
    if not (shows := sheet.spots["free"].shows).isdecimal() or not 0 < int(shows) <= _WAYS:
        raise DoesNotFit(f"{shows!r} free places on a rail of {_WAYS}")
    paper, free = sheet.paper, int(shows)
    paper.box(2, 2, 316, 82, rx=6)
    paper.path("M8 38H312M8 48H312", stroke_opacity="0.6")
    wide = 300 // _WAYS
    for way in range(_WAYS - free):
        x = 10 + way * wide
        paper.box(x, 18, wide, 50, rx=2, fill="currentColor", fill_opacity="0.12")
        paper.box(x + 7, 36, wide - 14, 14)
    x, w = 10 + (_WAYS - free) * wide, free * wide
    spot = sheet.spots["free"]
    sheet.spots["free"] = spot._replace(shows="")
    sheet.print("free", x, 16, w, 54, out=(x + w // 2, 73))
    for way in range(free):
        inside = sheet.within("free")
        inside.box(x + way * wide + 1, 18, wide - 2, 50, stroke_dasharray="3 3", stroke_width="1")
        inside.text(x + way * wide + wide // 2, 48, str(way + 1), bold=True)
    sheet.height = 86
    sheet.below()


def _made_dead(sheet: Sheet) -> None:
    """The main switch off and locked, and a two-pole tester on a wire."""
    paper = sheet.paper
    paper.box(10, 2, 60, 92, rx=4)
    paper.screw(26, 14, 5)
    paper.screw(54, 14, 5)
    sheet.print("switch", 20, 28, 40, 20, size=13, out=(63, 34))
    paper.box(28, 56, 24, 28)
    paper.box(24, 72, 32, 12, rx=2, fill="currentColor", fill_opacity="0.25")
    sheet.print("lock", 84, 56, 28, 40, out=(115, 72))
    lock = sheet.within("lock")
    lock.box(86, 72, 24, 20, rx=2)
    lock.path("M91 72v-8a7 7 0 0 1 14 0v8M56 78h30")
    sheet.print("tester", 30, 108, 84, 62, out=(117, 128))
    tester = sheet.within("tester")
    tester.box(40, 110, 22, 40, rx=5)
    tester.box(82, 110, 22, 40, rx=5)
    tester.path("M51 150v16M93 150v16M62 118h20")
    for y in (120, 130, 140):
        tester.dot(51, y)
    paper.path("M10 170H130", stroke_width="4")
    sheet.height = 176
    sheet.beside()


DRAWINGS: dict[str, Callable[[Sheet], None]] = {
    "breaker-front": _breaker_front,
    "breaker-handle": _breaker_handle,
    "plate": _plate,
    "cable-print": _cable_print,
    "rcd-front": _rcd_front,
    "rail": _rail,
    "made-dead": _made_dead,
}
# The places each drawing has; one that is missing here takes any.
PLACES = {
    "breaker-front": ("curve", "rating", "voltage", "capacity", "class"),
    "breaker-handle": ("rating", "words", "voltage", "capacity", "test"),
    "rcd-front": ("test", "residual", "type", "current"),
    "rail": ("free",),
    "made-dead": ("switch", "lock", "tester"),
}

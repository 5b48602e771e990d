"""A canvas for wiring: lines, boxes, letters, terminals and wires, on whole numbers.

No drawing library ships to a telephone, and this needs little: presentation attributes only, so that no style sheet and
no policy of a page changes what is printed. Every wire has a dark edge, so that it shows in black and white too.
"""

from __future__ import annotations

from itertools import pairwise

from checker.core.svg import NAMESPACE, element, words
from checker.core.wiring.connections import STAYS, Wire

INK = "#000"
FAINT = "#555"
PAPER = "#fff"
# How a colour of the pack's words is shown. A word that is not here shows as white between dark edges.
_INKS = {
    "brown": "#8a4b1c", "black": "#111", "grey": "#999", "gray": "#999", "blue": "#2f6fd0", "red": "#d22", "white": "#fff",
    "yellow": "#f2c500", "green": "#0a8a3a", "bare": "#c98a3a", "orange": "#f08020",
}  # fmt: skip
_DASHES = {"neutral": "7 3"}
STRIPE = "6 6"  # long enough to be seen as two colours, each as long as the other


NARROW = 344  # what a telephone leaves for a drawing


def letters_for(width: int) -> int:
    """The size of normal lettering: it grows with a drawing that is wider than a telephone."""
    return max(12, -(-12 * width // NARROW))


def ring_for(letters: int) -> int:
    """The radius of the ring around a number in such lettering."""
    return letters * 5 // 8


def ink_of(colour: str) -> tuple[str, str | None]:
    """The ink for a colour in words, and a second one for stripes."""
    found = [_INKS[word] for word in colour.lower().replace("-", " ").replace(",", " ").split() if word in _INKS]
    if "green" in colour and "yellow" in colour:
        return _INKS["green"], _INKS["yellow"]
    return (found[0] if found else PAPER), None


class Canvas:
    """A drawing `width` wide; `height` is set at the end. `letters` is the size of normal lettering."""

    def __init__(self, width: int, letters: int = 12) -> None:
        self.width, self.height, self.letters = width, 0, letters
        self._back: list[str] = []
        self._wires: list[str] = []
        self._front: list[str] = []
        self.terminals: dict[str, tuple[int, int]] = {}
        self.lines: list[tuple[tuple[int, int], tuple[int, int]]] = []  # stretches of what is no wire of the list

    @property
    def ring(self) -> int:
        """The radius of the ring around the number of a wire."""
        return ring_for(self.letters)

    def _put(self, element: str, behind: bool = False) -> None:
        (self._back if behind else self._front).append(element)

    def box(
        self, x: int, y: int, w: int, h: int, *, dashed: bool = False, fill: str = "none", device: str = ""
    ) -> None:
        about = {"data-device": device or None, "x": x, "y": y, "width": w, "height": h, "fill": fill}
        line = {
            "stroke": FAINT if dashed else INK,
            "stroke-width": "1.5",
            "stroke-dasharray": "5 4" if dashed else None,
        }
        self._put(element("rect", {**about, **line}), behind=True)

    def line(self, *points: tuple[int, int], dashed: bool = False, width: str = "1.6") -> None:
        """A line that belongs to a symbol or is there already: it stands for no wire of the list."""
        self.lines += pairwise(points)
        self._put(_line(path(points), INK, width, **{"stroke-dasharray": "3 3" if dashed else None}), True)

    def link(self, *points: tuple[int, int]) -> None:
        """A dashed line that says what moves what; it carries no current."""
        self._put(_line(path(points), FAINT, "1.2", **{"stroke-dasharray": "4 3", "class": "link"}), True)

    def circle(self, x: int, y: int, r: int, fill: str = "none") -> None:
        self._put(_circle(x, y, r, fill, "1.6"), True)

    def arc(self, x: int, top: int, bottom: int) -> None:
        """The bow of a breaker in American drawings, from (x, top) to (x, bottom)."""
        self._put(_line(f"M{x} {top}Q{x + 16} {(top + bottom) // 2} {x} {bottom}", INK, 2), True)

    def dot(self, x: int, y: int) -> None:
        self._put(element("circle", {"class": "joint", "cx": x, "cy": y, "r": 3, "fill": INK}))

    def text(
        self, x: int, y: int, text: str, *, anchor: str = "middle", size: int | None = None, bold: bool = False
    ) -> None:
        about = {"x": x, "y": y, "text-anchor": anchor, "font-size": size or self.letters}
        ink = {"font-weight": "bold" if bold else None, "fill": INK}
        edge = {"stroke": PAPER, "stroke-width": "2.5", "paint-order": "stroke"}
        self._put(element("text", {**about, **ink, **edge}, words(text)))

    def terminal(self, end: str, mark: str, x: int, y: int, label: tuple[int, int], anchor: str = "middle") -> None:
        """A terminal as a circle, `end` its id in the list, its mark at `label` from it."""
        self.terminals[end] = (x, y)
        self._put(_circle(x, y, 3, PAPER, "1.4", **{"class": "terminal", "data-terminal": end}))
        self.text(x + label[0], y + label[1], mark, anchor=anchor, size=self.letters - 1)

    def wire(self, wire: Wire, points: list[tuple[int, int]], badge: tuple[int, int]) -> None:
        """A wire of the list along `points`, its number in a ring at `badge`."""
        first, second = ink_of(wire.colour_new)
        edge, wide = (FAINT, 3) if wire.link.state == STAYS else (INK, 5)
        if second:
            wide += 1  # two colours need more room than one
        d = path(points)
        core = wide - 1 if second and wire.link.state == STAYS else wide - 2
        dash = STRIPE if second else _DASHES.get(wire.link.function)
        shown = [_line(d, edge, wide, **{"stroke-linejoin": "round"})]
        if dash:
            shown.append(_line(d, second or PAPER, core))
        shown.append(_line(d, first, core, **{"stroke-dasharray": dash}))
        self._wires.append(element("g", {"class": "wire", "data-number": wire.number}, *shown))
        x, y = badge
        self._put(_circle(x, y, self.ring, PAPER, 1, **{"class": "number"}))
        about = {
            "x": x,
            "y": y + self.letters // 3,
            "text-anchor": "middle",
            "font-size": self.letters - 2,
            "fill": INK,
        }
        self._put(element("text", about, words(wire.number)))

    def finish(self, ident: str, title: str, desc: str) -> str:
        """The whole drawing. `ident` keeps the ids of its title and description apart from those of another."""
        about = {"xmlns": NAMESPACE, "viewBox": f"0 0 {self.width} {self.height}", "width": self.width, "role": "img"}
        named = {"aria-labelledby": f"{ident}-title {ident}-desc", "font-family": "Arial, Helvetica, sans-serif"}
        return element(
            "svg",
            {**about, **named},
            element("title", {"id": f"{ident}-title"}, words(title)),
            element("desc", {"id": f"{ident}-desc"}, words(desc)),
            element("rect", {"width": self.width, "height": self.height, "fill": PAPER}),
            *self._back,
            *self._wires,
            *self._front,
        )


def _line(d: str, stroke: str, width: int | str, **more: str | None) -> str:
    return element("path", {"d": d, "fill": "none", "stroke": stroke, "stroke-width": width, **more})


def _circle(x: int, y: int, r: int, fill: str, width: int | str, **named: str) -> str:
    return element("circle", {**named, "cx": x, "cy": y, "r": r, "fill": fill, "stroke": INK, "stroke-width": width})


def path(points) -> str:
    """Points as path data, doubled and needless ones left out."""
    kept: list[tuple[int, int]] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and (kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]):
            kept[-1] = point
            continue
        kept.append(point)
    return "M" + "L".join(f"{x} {y}" for x, y in kept)

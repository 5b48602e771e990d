"""A small writer of SVG: lines, boxes, letters, terminals and wires, on whole numbers.

No drawing library ships to a telephone, and this needs little: presentation attributes only, so that no style sheet and
no policy of a page changes what is printed. Every wire has a dark edge, so that it shows in black and white too.
"""

from __future__ import annotations

from checker.core.wiring.connections import STAYS, Wire

INK = "#000"
FAINT = "#555"
PAPER = "#fff"
# How a colour of the pack's words is shown. A word that is not here shows as white between dark edges.
_INKS = {
    "brown": "#8a4b1c", "black": "#111", "grey": "#999", "gray": "#999", "blue": "#2f6fd0", "red": "#d22", "white": "#fff",
    "yellow": "#f2c500", "green": "#0a8a3a", "bare": "#c98a3a", "orange": "#f08020",
}  # fmt: skip
_DASHES = {"neutral": "7 3", "protective": "2 3"}


NARROW = 344  # what a telephone leaves for a drawing


def letters_for(width: int) -> int:
    """The size of normal lettering: it grows with a drawing that is wider than a telephone."""
    return max(12, -(-12 * width // NARROW))


def escape(text: object) -> str:
    return str(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


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

    def _put(self, element: str, behind: bool = False) -> None:
        (self._back if behind else self._front).append(element)

    def box(
        self, x: int, y: int, w: int, h: int, *, dashed: bool = False, fill: str = "none", device: str = ""
    ) -> None:
        dash = ' stroke-dasharray="5 4"' if dashed else ""
        named = f' data-device="{escape(device)}"' if device else ""
        stroke = FAINT if dashed else INK
        self._put(
            f'<rect{named} x="{x}" y="{y}" width="{w}" height="{h}" fill="{fill}" stroke="{stroke}" stroke-width="1.5"{dash}/>',
            behind=True,
        )

    def line(self, *points: tuple[int, int], dashed: bool = False, width: str = "1.6") -> None:
        """A line that belongs to a symbol or is there already: it stands for no wire of the list."""
        dash = ' stroke-dasharray="3 3"' if dashed else ""
        self._put(f'<path d="{path(points)}" fill="none" stroke="{INK}" stroke-width="{width}"{dash}/>', True)

    def circle(self, x: int, y: int, r: int, fill: str = "none") -> None:
        self._put(f'<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}" stroke="{INK}" stroke-width="1.6"/>', True)

    def arc(self, x: int, top: int, bottom: int) -> None:
        """The bow of a breaker in American drawings, from (x, top) to (x, bottom)."""
        self._put(
            f'<path d="M{x} {top}Q{x + 16} {(top + bottom) // 2} {x} {bottom}" fill="none" stroke="{INK}" stroke-width="2"/>',
            True,
        )

    def dot(self, x: int, y: int) -> None:
        self._put(f'<circle class="joint" cx="{x}" cy="{y}" r="3" fill="{INK}"/>')

    def text(
        self, x: int, y: int, text: str, *, anchor: str = "middle", size: int | None = None, bold: bool = False
    ) -> None:
        weight = ' font-weight="bold"' if bold else ""
        self._put(
            f'<text x="{x}" y="{y}" text-anchor="{anchor}" font-size="{size or self.letters}"{weight} fill="{INK}" '
            f'stroke="{PAPER}" stroke-width="2.5" paint-order="stroke">{escape(text)}</text>'
        )

    def terminal(self, end: str, mark: str, x: int, y: int, label: tuple[int, int], anchor: str = "middle") -> None:
        """A terminal as a circle, `end` its id in the list, its mark at `label` from it."""
        self.terminals[end] = (x, y)
        self._put(
            f'<circle class="terminal" data-terminal="{escape(end)}" cx="{x}" cy="{y}" r="3" fill="{PAPER}" '
            f'stroke="{INK}" stroke-width="1.4"/>'
        )
        self.text(x + label[0], y + label[1], mark, anchor=anchor, size=self.letters - 1)

    def wire(self, wire: Wire, points: list[tuple[int, int]], badge: tuple[int, int]) -> None:
        """A wire of the list along `points`, its number in a ring at `badge`."""
        first, second = ink_of(wire.colour_new)
        edge, wide = (FAINT, 3) if wire.link.state == STAYS else (INK, 5)
        d = path(points)
        core = wide - 2
        dash = _DASHES.get(wire.link.function)
        shown = [f'<path d="{d}" fill="none" stroke="{edge}" stroke-width="{wide}" stroke-linejoin="round"/>']
        if dash:
            shown.append(f'<path d="{d}" fill="none" stroke="{PAPER}" stroke-width="{core}"/>')
        if second:
            shown.append(f'<path d="{d}" fill="none" stroke="{second}" stroke-width="{core}"/>')
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        shown.append(f'<path d="{d}" fill="none" stroke="{first}" stroke-width="{core}"{dashed}/>')
        ends = f'data-number="{wire.number}"'
        self._wires.append(f'<g class="wire" {ends}>{"".join(shown)}</g>')
        x, y = badge
        r = self.letters * 5 // 8
        self._put(f'<circle class="number" cx="{x}" cy="{y}" r="{r}" fill="{PAPER}" stroke="{INK}" stroke-width="1"/>')
        self._put(
            f'<text x="{x}" y="{y + self.letters // 3}" text-anchor="middle" font-size="{self.letters - 2}" '
            f'fill="{INK}">{wire.number}</text>'
        )

    def finish(self, ident: str, title: str, desc: str) -> str:
        """The whole drawing. `ident` keeps the ids of its title and description apart from those of another."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" width="{self.width}" '
            f'role="img" aria-labelledby="{ident}-title {ident}-desc" font-family="Arial, Helvetica, sans-serif">'
            f'<title id="{ident}-title">{escape(title)}</title><desc id="{ident}-desc">{escape(desc)}</desc>'
            f'<rect width="{self.width}" height="{self.height}" fill="{PAPER}"/>'
            f"{''.join(self._back)}{''.join(self._wires)}{''.join(self._front)}</svg>"
        )


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

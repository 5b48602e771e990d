"""Paper to draw on: lines, boxes and words on whole units, 320 wide, about what a telephone shows.

Everything takes the colour of the text around it, so a drawing reads on dark and light ground. Words that would leave
their place are refused: nobody would see it before a reader does.
"""

from __future__ import annotations

from checker.core.svg import element, words

WIDTH = 320
# 44 px for a finger where the drawing is shown 288 px wide, on the smallest telephone; and with a gap, the row of one.
TOUCH = 49
ROW = 50
# How wide a letter may be, in parts of the letter size. Taken from the widest of the usual sans-serif fonts, rounded up.
_NARROW, _WIDE = frozenset(" .,:;'|!()[]ijlftIr-/"), frozenset("mwMW@%—")
_INK = {"fill": "currentColor", "stroke": "none"}


class DoesNotFit(ValueError):
    """Words that are wider than their place."""


def width_of(text: str, size: int) -> int:
    """An upper bound on the width of `text`, in units."""
    parts = sum(42 if sign in _NARROW else 98 if sign in _WIDE else 70 if sign.isupper() else 64 for sign in text)
    return -(-parts * size // 100)


def in_lines(text: str, size: int, within: int) -> list[str]:
    """`text` broken between words, so that each line fits. A line break that is written stays."""
    lines: list[str] = []
    for part in text.split("\n"):
        line = ""
        for word in part.split(" "):
            longer = f"{line} {word}" if line else word
            if line and width_of(longer, size) > within:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return lines


class Paper:
    """Shapes in the order in which they are drawn."""

    def __init__(self) -> None:
        self.parts: list[str] = []

    def put(self, part: str) -> None:
        self.parts.append(part)

    def path(self, d: str, **more: object) -> None:
        self.put(element("path", {"d": d, **_names(more)}))

    def box(self, x: int, y: int, w: int, h: int, **more: object) -> None:
        self.put(element("rect", {"x": x, "y": y, "width": w, "height": h, **_names(more)}))

    def circle(self, x: int, y: int, r: int, **more: object) -> None:
        self.put(element("circle", {"cx": x, "cy": y, "r": r, **_names(more)}))

    def dot(self, x: int, y: int, r: int = 2) -> None:
        self.circle(x, y, r, fill="currentColor", stroke="none")

    def screw(self, x: int, y: int, r: int = 6) -> None:
        """A terminal from above."""
        self.circle(x, y, r)
        self.path(f"M{x - r + 2} {y + r - 3}L{x + r - 2} {y - r + 3}")

    def text(
        self,
        x: int,
        y: int,
        text: str,
        *,
        size: int = 12,
        anchor: str = "middle",
        within: int = WIDTH,
        bold: bool = False,
    ) -> None:
        """One line of words on the base line `y`."""
        wide = width_of(text, size)
        left = {"start": x, "middle": x - wide // 2, "end": x - wide}[anchor]
        if wide > within or left < 0 or left + wide > WIDTH:
            raise DoesNotFit(
                f"{text!r} is about {wide} units wide in {size} unit letters, and has {min(within, WIDTH)}"
            )
        about = {"x": x, "y": y, "font-size": size, "text-anchor": None if anchor == "start" else anchor}
        self.put(element("text", {**about, "font-weight": "bold" if bold else None, **_INK}, words(text)))

    def text_at(self, x: int, y: int, mark: str) -> None:
        """A short mark in a drawing that is moved as a whole, so `x` may lie left of 0."""
        self.put(element("text", {"x": x, "y": y, "font-size": 12, "text-anchor": "middle", **_INK}, words(mark)))

    def lines(self, x: int, middle: int, text: str, *, within: int, size: int = 12, anchor: str = "start") -> None:
        """Words in as many lines as they need, centred on the height `middle`."""
        broken = in_lines(text, size, within)
        top = middle - (len(broken) - 1) * (size + 2) // 2 + size // 3
        for number, line in enumerate(broken):
            self.text(x, top + number * (size + 2), line, size=size, anchor=anchor, within=within)

    def group(self, inside: Paper, **about: object) -> None:
        self.put(element("g", _names(about), *inside.parts))


def area(paper: Paper, x: int, y: int, w: int, h: int) -> None:
    """What a finger may hit: seen by nobody."""
    paper.box(x, y, w, h, stroke="none", pointer_events="all")


def _names(attributes: dict[str, object]) -> dict[str, object]:
    """Attributes as SVG spells them: `stroke_dasharray` is `stroke-dasharray`, `class_` is `class`."""
    return {key.rstrip("_").replace("_", "-"): value for key, value in attributes.items()}

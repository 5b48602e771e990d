"""Symbols of the circuit diagram, standing upright: `iec` after IEC 60617, `us` after IEEE 315 and NEMA ICS 19.

Each is drawn from its upper terminal at (x, y) to its lower one at (x, y + HEIGHT). From memory of those standards.
"""

from __future__ import annotations

from checker.core.wiring.svg import PAPER, Canvas

HEIGHT = 48
DIAL = 11  # the clock's radius
BLADE = 25  # how far below its upper terminal a contact is moved


def contact(canvas: Canvas, style: str, x: int, y: int, closed: bool) -> None:
    """A contact at rest: open, or closed."""
    if style == "us":
        canvas.line((x, y), (x, y + 18))
        canvas.line((x, y + 30), (x, y + HEIGHT))
        canvas.line((x - 10, y + 18), (x + 10, y + 18), width="2.4")
        canvas.line((x - 10, y + 30), (x + 10, y + 30), width="2.4")
        if closed:
            canvas.line((x - 11, y + 34), (x + 11, y + 14))
        return
    canvas.line((x, y), (x, y + 14))
    canvas.line((x, y + 36), (x, y + HEIGHT))
    if closed:
        canvas.line((x, y + 14), (x + 9, y + 14))
        canvas.line((x, y + 36), (x + 8, y + 10))
    else:
        canvas.line((x, y + 36), (x - 10, y + 15))


def blade_at(style: str, closed: bool) -> int:
    """Where the moving part of a contact stands at the height BLADE, beside its terminals' line."""
    if style == "us":
        return 0
    return 3 if closed else -5


def breaker(canvas: Canvas, style: str, x: int, y: int) -> None:
    """One pole of a circuit-breaker."""
    if style == "us":
        canvas.line((x, y), (x, y + 16))
        canvas.line((x, y + 34), (x, y + HEIGHT))
        canvas.arc(x, y + 16, y + 34)
        return
    contact(canvas, style, x, y, closed=False)
    canvas.line((x - 4, y + 10), (x + 4, y + 18))
    canvas.line((x - 4, y + 18), (x + 4, y + 10))


def coil(canvas: Canvas, style: str, x: int, y: int) -> None:
    canvas.line((x, y), (x, y + 15))
    canvas.line((x, y + 33), (x, y + HEIGHT))
    if style == "us":
        canvas.circle(x, y + 24, 10)
    else:
        canvas.box(x - 13, y + 15, 26, 18)


def clock(canvas: Canvas, style: str, x: int, y: int) -> None:
    """The clock of a time switch: a dial with hands, alike in both."""
    canvas.line((x, y), (x, y + 13))
    canvas.line((x, y + 35), (x, y + HEIGHT))
    canvas.circle(x, y + 24, DIAL, fill=PAPER)
    canvas.line((x, y + 16), (x, y + 24), (x + 6, y + 24))


def earth(canvas: Canvas, x: int, y: int, electrode: bool) -> None:
    """Protective earth below (x, y); an electrode of one's own stands in hatched ground."""
    canvas.line((x, y), (x, y + 8))
    for step, half in enumerate((10, 7, 3)):
        canvas.line((x - half, y + 8 + 4 * step), (x + half, y + 8 + 4 * step))
    if electrode:
        canvas.line((x - 12, y + 22), (x + 12, y + 22), dashed=True)


def supply(canvas: Canvas, x: int, y: int) -> None:
    """Where a conductor of the supply comes in."""
    canvas.line((x - 4, y - 6), (x, y), (x + 4, y - 6))

"""The week at a glance as a picture, in shapes that any page or program can draw: no markup here, only places.

A shape is `{"kind": "rect" | "line" | "text", "class": ..., ...}` with whole numbers for places; texts carry `text`
and `anchor`. The picture is narrow enough to be read on a telephone without being made smaller.
"""

from __future__ import annotations

_LEFT, _TOP, _ROW, _BAR, _HOUR = 38, 22, 26, 18, 12
_WIDTH = _LEFT + 24 * _HOUR + 14
_BOTTOM = 22


def drawing(week: list[dict]) -> dict:
    """The picture of the days that `week.week` gives."""
    height = _TOP + _ROW * len(week) + _BOTTOM
    shapes: list[dict] = []
    right, foot = _LEFT + 24 * _HOUR, _TOP + _ROW * len(week)
    for place, day in enumerate(week):
        shapes += _row(day, _TOP + place * _ROW)
    for hour in range(0, 25, 3):
        x = _LEFT + hour * _HOUR
        shapes.append({"kind": "line", "class": "hour", "x1": x, "y1": _TOP, "x2": x, "y2": foot})
        if hour % 6 == 0:
            shapes.append(_text("scale", x, _TOP - 7, f"{hour:02}", "middle"))
    shapes.append({"kind": "rect", "class": "key-on", "x": _LEFT, "y": foot + 7, "width": 14, "height": 10})
    shapes.append(_text("key", _LEFT + 19, foot + 16, "on", "start"))
    if any(day["sun"] for day in week):
        shapes.append({"kind": "rect", "class": "key-night", "x": _LEFT + 52, "y": foot + 7, "width": 14, "height": 10})
        shapes.append(_text("key", _LEFT + 71, foot + 16, "sun below the horizon", "start"))
    return {"width": _WIDTH, "height": height, "right": right, "label": label(week), "shapes": shapes}


def label(week: list[dict]) -> str:
    """The picture in a sentence, for those who do not see it."""
    days = "; ".join(f"{day['day']} {times(day)}" for day in week)
    return f"When the load is on. {days}."


def times(day: dict) -> str:
    """The runs of a day in words."""
    return ", ".join(f"{run['from']} to {run['to']}" for run in day["runs"]) or "off"


def _row(day: dict, top: int) -> list[dict]:
    length, span = day["length_min"], 24 * _HOUR

    def place(minute: int) -> int:
        # In tenths, as text would be: a drawing needs no more, and whole numbers are equal everywhere.
        return _LEFT * 10 + max(0, min(minute, length)) * span * 10 // length

    shapes = [_text("day", _LEFT - 7, top + 14, day["day"], "end")]
    shapes += [_band("night", place(first), place(last), top, _BAR) for first, last in _nights(day)]
    shapes.append({"kind": "rect", "class": "frame", "x": _LEFT, "y": top, "width": span, "height": _BAR})
    shapes += [_band("on", place(run["from_min"]), place(run["to_min"]), top + 3, _BAR - 6) for run in day["runs"]]
    return shapes


def _band(name: str, left: int, right: int, top: int, height: int) -> dict:
    x, width = _tenths(left), _tenths(max(right - left, 10))
    return {"kind": "rect", "class": name, "x": x, "y": top, "width": width, "height": height}


def _tenths(value: int) -> int | str:
    whole, part = divmod(value, 10)
    return f"{whole}.{part}" if part else whole


def _nights(day: dict) -> list[tuple[int, int]]:
    """The stretches of a day with the sun below the horizon, in minutes since midnight."""
    sun, length = day["sun"], day["length_min"]
    if sun is None or sun.get("stays") == "up":
        return []
    if sun.get("stays") == "down":
        return [(0, length)]
    rises, sets = sun["rises_min"], sun["sets_min"]
    stretches = [(0, rises), (sets, length)]
    if sets > length:  # far north in summer the sun sets after midnight: that belongs to the day before as well
        stretches = [(sets - length, rises)]
    if rises < 0:
        stretches = [(sets, rises + length)]
    return [(first, last) for first, last in stretches if 0 <= first < last]


def _text(name: str, x: int, y: int, text: str, anchor: str) -> dict:
    return {"kind": "text", "class": name, "x": x, "y": y, "text": text, "anchor": anchor}

"""Units and ids as a person reads them."""

from __future__ import annotations

from checker.core import messages

_SUFFIXES = {  # of ids; the same as the unit, but for capitals
    "a": "A", "v": "V", "w": "W", "ma": "mA", "ka": "kA", "mm2": "mm2", "mm": "mm", "m": "m", "c": "C", "ohm": "ohm",
    "percent": "percent", "uf": "uF", "nm": "Nm", "ms": "ms", "mohm": "Mohm",
    "ft": "ft", "hp": "hp", "in3": "in3",
}  # fmt: skip


def sign_of(unit: str | None) -> str:
    """The sign of a unit as rule files write it; "1" (a ratio) has none."""
    return messages.unit_shown(unit or "")


def with_unit(value: object, unit: str | None) -> str:
    """A value as it is read: 27 A, 2.5 mm², 80 %."""
    return messages.with_unit(str(value), unit or "")


def named(name: str) -> str:
    """An id as words, its unit left out: cable_capacity_a becomes cable capacity."""
    words = name.split("_")
    if len(words) > 1 and words[-1] in _SUFFIXES:
        words.pop()
    return " ".join(words)


def value_of(name: str, value: object) -> str:
    """The value of an answer with the unit that the id carries, if it is a number: 230 V."""
    suffix = name.rsplit("_", 1)[-1]
    number = str(value).replace(".", "", 1).isdigit()
    return with_unit(value, _SUFFIXES[suffix]) if number and suffix in _SUFFIXES else str(value)

"""Sentences from the rule files with values put in: `{breaker_rating_a}` becomes `20 A`."""

from __future__ import annotations

import re
from decimal import Decimal

from checker.core.pack import Pack
from checker.core.situation import Situation
from checker.core.values import Unknown, Value, plain, shown

HOLE = re.compile(r"\{([a-z0-9_]+)\}")
_SENTENCE_END = re.compile(r"(?<=[.!?]) (?=[A-Z{])")
_UNITS = {
    "mm2": "mm²",
    "percent": "%",
    "ohm": "Ω",
    "Mohm": "MΩ",
    "Nm": "N·m",
    "C": "°C",
    "uF": "µF",
    "deg": "°",
    "m3": "m³",
    "m3/h": "m³/h",
    "in3": "in³",
    "1": "",
    "": "",
    "modules": "modules",
}


def unit_shown(unit: str) -> str:
    return _UNITS.get(unit, unit)


def with_unit(text: str, unit: str) -> str:
    sign = unit_shown(unit)
    if sign == "modules" and text == "1":
        sign = "module"
    return f"{text} {sign}" if sign else text


def value_shown(pack: Pack, name: str, value: Value) -> str:
    """A value as a person reads it. An answer keeps its digits; a computed number is rounded for the eye."""
    if isinstance(value, Unknown):
        if value.at_least is None:
            return pack.phrases["value.unknown"]
        return pack.phrases["value.at-least"].replace("{it}", value_shown(pack, name, value.at_least))
    if isinstance(value, bool):
        return pack.phrases["value.yes" if value else "value.no"]
    if isinstance(value, Decimal):
        exact = name in pack.questions or name in pack.parameters
        return with_unit(plain(value) if exact else shown(value), pack.units.get(name, ""))
    question = pack.questions.get(name) or pack.questions.get(
        {"smallest_cable": "cable_size", "smallest_link": "link_size"}.get(name, "")
    )
    for choice in (question or {}).get("choices", ()):
        if choice["value"] == value:
            return choice["label"]
    return value


def fill(situation: Situation, template: str) -> str:
    """`template` with every `{name}` replaced by its value with unit, or by the region's word of that name."""
    if "{" not in template:  # most sentences of a report
        return template

    def put(hole: re.Match[str]) -> str:
        name = hole.group(1)
        if name == "it":
            return hole.group()
        if name in situation.pack.words:
            return situation.pack.words[name]
        return value_shown(situation.pack, name, situation.known(name).value)

    return HOLE.sub(put, template)


def advise(situation: Situation, template: str) -> str:
    """As `fill`, for what to do about a failure: a sentence whose value is not known is left out, never left blank."""
    kept = [
        sentence
        for sentence in _SENTENCE_END.split(template)
        if all(_is_known(situation, name) for name in HOLE.findall(sentence))
    ]
    return fill(situation, " ".join(kept))


def told(situation: Situation, item: dict) -> str:
    """The text of a section's item; its `otherwise` in place of it while a value that the text names is not known."""
    known = all(_is_known(situation, name) for name in HOLE.findall(item["text"]))
    return fill(situation, item["text"] if known or not item["otherwise"] else item["otherwise"])


def _is_known(situation: Situation, name: str) -> bool:
    return name in situation.pack.words or not isinstance(situation.known(name).value, Unknown)

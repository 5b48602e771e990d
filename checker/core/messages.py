"""Sentences from the rule files with values put in: `{breaker_rating_a}` becomes `20 A`.

A number chooses its word: `{lamp_count|# lamp|# lamps}` becomes `1 lamp` or `3 lamps`, `#` being the number.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from checker.core.bounds import Span
from checker.core.pack import Pack
from checker.core.situation import NOT_STATED, Situation
from checker.core.values import ReasonKind, Unknown, Value, plain, shown

_HOLE = re.compile(r"\{(?P<name>[a-z0-9_]+)(?:\|(?P<one>[^{}|]*)\|(?P<many>[^{}|]*))?\}")
_LIMIT = re.compile(
    r"\b(?:at (?P<before>least|most)|up to) \{(?P<name>[a-z0-9_]+)[^{}]*\}(?: \(\{(?P<second>[a-z0-9_]+)\}\))?"
    r"|\{(?P<named>[a-z0-9_]+)\} (?:at (?=least|most)|(?=or more|or less))(?P<after>least|most|or more|or less)"
)
# Quantities whose values are the choices of a question.
_LIKE = {"smallest_cable": "cable_size", "smallest_link": "link_size", "rcd_type_needed": "rcd_type"}
PRACTICE = "common-practice"  # the source of what the trade does without one
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


def roundings(template: str) -> dict[str, str]:
    """How to round the limits of a sentence, by name: "at least" up, "at most" and "up to" down, so that who keeps to it is right.

    A limit given in a second unit, as in "at most {longest_run_ft} ({longest_run_m})", goes with the first.
    """
    found = {}
    for limit in _LIMIT.finditer(template):
        up = (limit["before"] or limit["after"]) in ("least", "or more")
        for name in (limit["name"], limit["second"], limit["named"]):
            if name:
                found[name] = ROUND_CEILING if up else ROUND_FLOOR
    return found


def value_shown(pack: Pack, name: str, value: Value, rounding: str | None = None) -> str:
    """A value as a person reads it. An answer keeps its digits; a computed number is rounded for the eye."""
    if isinstance(value, Unknown):
        if value.at_least is None:
            return pack.phrases["value.unknown"]
        return pack.phrases["value.at-least"].replace("{it}", value_shown(pack, name, value.at_least))
    if isinstance(value, Span) and not value.low and value.reasons[0].kind is ReasonKind.NO_CELL:
        # Beyond the last row of a table: "between 0 A and 12 A" would read as if somebody had worked out the 0.
        return pack.phrases["value.at-most"].replace("{it}", value_shown(pack, name, value.high, rounding))
    if isinstance(value, Span) and value.high.is_infinite():
        bound = any(reason.kind is ReasonKind.BOUND for reason in value.reasons)
        return pack.phrases["value.or-more" if bound else "value.at-least"].replace(
            "{it}", value_shown(pack, name, value.low, rounding)
        )
    if isinstance(value, Span):
        low, high = (value_shown(pack, name, end) for end in (value.low, value.high))
        return pack.phrases["value.between"].replace("{low}", low).replace("{high}", high)
    if isinstance(value, bool):
        return pack.phrases["value.yes" if value else "value.no"]
    if isinstance(value, Decimal):
        exact = name in pack.questions or name in pack.parameters
        text = with_unit(plain(value) if exact else shown(value, rounding), pack.units.get(name, ""))
        return _gauge(pack, value, text) if pack.units.get(name) == "mm2" else text
    if value == NOT_STATED:
        return pack.phrases["value.not-stated"]
    question = pack.questions.get(name) or pack.questions.get(_LIKE.get(name, ""))
    for choice in (question or {}).get("choices", ()):
        if choice["value"] == value:
            return choice["label"]
    return value


def _gauge(pack: Pack, area: Decimal, text: str) -> str:
    """A cross-section as the sizes of cable name it: 12 AWG (3.31 mm²) where the trade goes by gauge."""
    sizes = pack.sizes.get("cable_size", {})
    named = (size for size, held in sizes.items() if held == area)
    return next((value_shown(pack, "cable_size", size) for size in named), text)


def cited(title: str, source: str, clause: str) -> str:
    """A source as the trade cites it. What is only common practice has no clause to look in."""
    return f"{title}, {clause}" if clause and (source, clause) != (PRACTICE, "trade practice") else title


def holes(template: str) -> list[str]:
    """The names that a sentence needs."""
    return [hole["name"] for hole in _HOLE.finditer(template)]


def counts(template: str) -> list[str]:
    """Those of its names whose number chooses a word."""
    return [hole["name"] for hole in _HOLE.finditer(template) if hole["one"] is not None]


def put(template: str, say: Callable[[str], str], is_one: Callable[[str], bool]) -> str:
    """`template` with `say(name)` in every hole; `is_one(name)` chooses between the two words of a count."""

    def said(hole: re.Match[str]) -> str:
        text = say(hole["name"])
        if hole["one"] is not None:
            text = hole["one" if is_one(hole["name"]) else "many"].replace("#", text)
        starts = not hole.start() or template.endswith(". ", 0, hole.start())
        return text[:1].upper() + text[1:] if starts and sentence else text

    sentence = template.endswith(".")
    return _HOLE.sub(said, template)


def fill(situation: Situation, template: str, given: Mapping[str, tuple[str, Value]] | None = None) -> str:
    """`template` with every `{name}` replaced by its value with unit, or by the region's word of that name.

    `given` has values that the case does not hold: by hole, the name whose value it is, and the value.
    """
    if "{" not in template:  # most sentences of a report
        return template
    pack, given, limits = situation.pack, given or {}, roundings(template)

    def say(hole: str) -> str:
        if hole == "it":
            return "{it}"
        if hole in pack.words:
            return pack.words[hole]
        return value_shown(pack, *given.get(hole) or (hole, situation.known(hole).value), limits.get(hole))

    # The word goes with the number as it is read: 1.004, shown as 1, is one.
    return put(template, say, lambda hole: say(hole).partition(" ")[0] == "1")


def advise(situation: Situation, template: str) -> str:
    """As `fill`, for what to do about a failure: a sentence whose value is not known is left out, never left blank."""
    kept = [
        sentence
        for sentence in _SENTENCE_END.split(template)
        if all(_is_known(situation, name) for name in holes(sentence))
    ]
    return fill(situation, " ".join(kept))


def told(situation: Situation, item: dict) -> str:
    """The text of a section's item; its `otherwise` in place of it while a value that the text names is not known."""
    known = all(_is_known(situation, name) for name in holes(item["text"]))
    return fill(situation, item["text"] if known or not item["otherwise"] else item["otherwise"])


def _is_known(situation: Situation, name: str) -> bool:
    return name in situation.pack.words or not isinstance(situation.known(name).value, (Unknown, Span))

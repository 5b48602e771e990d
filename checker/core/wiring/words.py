"""Sentences of the sheet: phrases of the pack, with words, values and what the sheet has counted put in."""

from __future__ import annotations

from checker.core.messages import put, told, value_shown
from checker.core.quantities import QUANTITIES
from checker.core.situation import Reader, Situation
from checker.core.tables import Cell
from checker.core.values import Reason, ReasonKind, Unknown, Value


def value_of(situation: Situation, name: str) -> Value:
    """The value of a name; unknown also where the pack does not ask for it: no region has to earth or to mount as base does."""
    pack = situation.pack
    if name in pack.questions or name in pack.parameters or name in QUANTITIES:
        return situation.known(name).value
    return Unknown([Reason(ReasonKind.NOT_STATED, name)])


def _id(cell: Cell | None) -> str:
    assert cell is not None, "sheet-phases names no such part"
    return str(cell.value)


class Words:
    """Says what the pack's phrases say. `words("x", n=3)` is the phrase `sheet.x`, with `{n}` and the pack's words."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation

    def __call__(self, key: str, **holes: object) -> str:
        pack = self.situation.pack
        phrase = pack.phrases[f"sheet.{key}"]
        if "{" not in phrase:
            return phrase

        def say(name: str) -> str:
            return str(holes[name]) if name in holes else pack.words[name]

        return put(phrase, say, lambda name: say(name) == "1")

    def value(self, name: str) -> str | None:
        """A value with its unit, or None while it is not known."""
        value = value_of(self.situation, name)
        return None if isinstance(value, Unknown) else value_shown(self.situation.pack, name, value)

    def texts(self, section: str) -> list[dict]:
        """The texts of a section that concern this case, each with `reserved` where only a licensed person does it."""
        return [
            {
                "id": item["id"],
                "text": told(self.situation, item),
                "source": item["source"],
                "status": item["status"],
                "reserved": item.get("reserved", False),
            }
            for item in self.situation.pack.texts.get(section, ())
            if item["when"](Reader(self.situation)) is not False
        ]

    def part(self, section: str, begins: str, ends: str | None) -> list[dict]:
        """The texts from where part `begins` starts to where part `ends` does (table `sheet-phases`)."""
        table = self.situation.pack.tables["sheet-phases"]
        order = [item["id"] for item in self.situation.pack.texts[section]]
        start = order.index(_id(table.find(begins)))
        stop = len(order) if ends is None else order.index(_id(table.find(ends)))
        wanted = set(order[start:stop])
        return [text for text in self.texts(section) if text["id"] in wanted]

"""What somebody who must call tells the electrician: the wish, the facts, and what is open. Nothing is computed here."""

from __future__ import annotations

from checker.core.situation import DONT_KNOW, NOT_STATED, Situation
from checker.core.wiring.words import Words


def wish(words: Words) -> str:
    unknown = words("wish-unknown")
    device, load = (_inside(words.value(name)) or unknown for name in ("device_kind", "load_kind"))
    return words("wish-text", device=device, load=load)


def _inside(text: str | None) -> str | None:
    """A choice in the middle of a sentence: small first letter, but for LED and its like."""
    return text[0].lower() + text[1:] if text and text[:2] != text[:2].upper() else text


def facts(situation: Situation, words: Words) -> list[list[str]]:
    """The answers of table `brief-facts` that were given, in its order, each with its short name."""
    rows = []
    for (key,), cell in situation.pack.tables["brief-facts"].cells.items():
        question = str(key)
        given = situation.answers.get(question)
        if given is not None and given not in (DONT_KNOW, NOT_STATED):
            rows.append([str(cell.value), words.value(question) or str(given)])
    return rows


def unknown(situation: Situation, find_out: list[dict]) -> list[str]:
    """What was asked and not known, and which facts of the brief are still wanted: questions alone, no figures."""
    questions, named = situation.pack.questions, situation.pack.tables["brief-facts"]
    open_ = [name for name, given in situation.answers.items() if given == DONT_KNOW]
    wanted = [item["question"] for item in find_out if item["question"] and named.find(item["question"])]
    return [questions[name]["text"] for name in dict.fromkeys([*open_, *wanted])]

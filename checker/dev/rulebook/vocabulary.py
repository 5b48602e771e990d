"""A region's own words in the sentences it takes over from base: `earth wire` becomes `equipment grounding conductor`.

The table `[vocabulary]` of a pack.toml holds them. Ids, expressions, figures and titles of sources stay as they are, and
so does whatever the region wrote itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from checker.core.messages import holes, put
from checker.dev.rulebook.rulefiles import Folder, Item

_SENTENCES = {
    "question": ("text", "label", "help", "why", "find_out", "default_why"),
    "rule": ("title", "fix"),
    "parameter": ("title",),
    "table": ("title",),
    "text": ("text", "otherwise"),
    "phrase": ("text",),
    "picture": ("title", "text"),
}


def localised(folder: Folder, origin: dict[tuple[str, str], str]) -> Folder:
    """`folder` with the inherited sentences in the words of its pack."""
    words = folder.pack.get("vocabulary")
    if not words:
        return folder
    change = replacing(words)
    items = {key: _changed(item, change) if origin[key] == "base" else item for key, item in folder.items.items()}
    titled = {*folder.pack.get("stage_titles", ()), *folder.pack.get("plan_stage_titles", ())}
    stages = [
        stage if stage["id"] in titled else {**stage, "title": change(stage["title"])}
        for stage in folder.pack["stages"]
    ]
    return folder._replace(items=items, pack={**folder.pack, "stages": stages})


def worded(folder: Folder) -> Folder:
    """`folder` with the words of its pack in the questions, which are shown before there is a case to fill them from.

    A word of the table `[explained]` brings its explanation where it is first asked about, and nowhere else.
    """
    words, explained = folder.pack["words"], dict(folder.pack.get("explained", {}))

    def say(name: str) -> str:
        if name not in words:
            return f"{{{name}}}"
        return f"{words[name]} ({explained.pop(name)})" if name in explained else words[name]

    def change(text: str) -> str:
        return put(text, say, lambda _: False) if set(holes(text)) & set(words) else text

    asked_in_order = sorted(
        (key for key in folder.items if key[0] == "question"), key=lambda key: folder.items[key].data["order"]
    )
    return folder._replace(
        items={**folder.items, **{key: _changed(folder.items[key], change) for key in asked_in_order}}
    )


def sentences_of(question: dict[str, Any]) -> list[str]:
    """What a person reads of a question."""
    said = [question[key] for key in _SENTENCES["question"] if key in question]
    return said + [text for choice in question.get("choices", ()) for text in (choice["label"], choice.get("help", ""))]


def replacing(words: dict[str, str]) -> Callable[[str], str]:
    """A function that puts each whole word or phrase in place of its key, longest first; a capital stays a capital."""
    both = {**{key[:1].upper() + key[1:]: value[:1].upper() + value[1:] for key, value in words.items()}, **words}
    keys = sorted(both, key=len, reverse=True)
    # What stands in braces is a name, not a word.
    pattern = re.compile(r"\{[a-z0-9_]+|(?<!\w)(?:" + "|".join(map(re.escape, keys)) + r")(?!\w)")
    return lambda text: pattern.sub(lambda found: both.get(found[0], found[0]), text)


def _changed(item: Item, change: Callable[[str], str]) -> Item:
    data: dict[str, Any] = dict(item.data)
    for key in _SENTENCES.get(item.kind, ()):
        if key in data:
            data[key] = change(data[key])
    if "say" in data:
        data["say"] = {key: change(text) for key, text in data["say"].items()}
    if "choices" in data:
        data["choices"] = [
            {key: change(value) if key in ("label", "help") else value for key, value in choice.items()}
            for choice in data["choices"]
        ]
    return item._replace(data=data)

"""A region's own words in the sentences it takes over from base: `earth wire` becomes `equipment grounding conductor`.

The table `[vocabulary]` of a pack.toml holds them. Ids, expressions, figures and titles of sources stay as they are, and
so does whatever the region wrote itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from checker.dev.rulebook.rulefiles import Folder, Item

_SENTENCES = {
    "question": ("text", "help", "why", "find_out", "default_why"),
    "rule": ("title", "fix"),
    "parameter": ("title",),
    "table": ("title",),
    "text": ("text", "otherwise"),
    "phrase": ("text",),
}


def localised(folder: Folder, origin: dict[tuple[str, str], str]) -> Folder:
    """`folder` with the inherited sentences in the words of its pack."""
    words = folder.pack.get("vocabulary")
    if not words:
        return folder
    put = replacing(words)
    items = {key: _put(item, put) if origin[key] == "base" else item for key, item in folder.items.items()}
    titled = {*folder.pack.get("stage_titles", ()), *folder.pack.get("plan_stage_titles", ())}
    stages = [
        stage if stage["id"] in titled else {**stage, "title": put(stage["title"])} for stage in folder.pack["stages"]
    ]
    return folder._replace(items=items, pack={**folder.pack, "stages": stages})


def replacing(words: dict[str, str]) -> Callable[[str], str]:
    """A function that puts each whole word or phrase in place of its key, longest first; a capital stays a capital."""
    both = {**{key[:1].upper() + key[1:]: value[:1].upper() + value[1:] for key, value in words.items()}, **words}
    keys = sorted(both, key=len, reverse=True)
    # What stands in braces is a name, not a word.
    pattern = re.compile(r"\{[^}]*\}|(?<!\w)(?:" + "|".join(map(re.escape, keys)) + r")(?!\w)")
    return lambda text: pattern.sub(lambda found: both.get(found[0], found[0]), text)


def _put(item: Item, put: Callable[[str], str]) -> Item:
    data: dict[str, Any] = dict(item.data)
    for key in _SENTENCES.get(item.kind, ()):
        if key in data:
            data[key] = put(data[key])
    if "say" in data:
        data["say"] = {key: put(text) for key, text in data["say"].items()}
    if "choices" in data:
        data["choices"] = [
            {key: put(value) if key in ("label", "help") else value for key, value in choice.items()}
            for choice in data["choices"]
        ]
    return item._replace(data=data)

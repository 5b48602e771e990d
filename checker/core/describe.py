"""What a pack holds, as data: for the reference pages, the first screen of the check page and `spareway packs`."""

from __future__ import annotations

from checker.core.interview import question_shown
from checker.core.pack import Pack
from checker.core.pictures import stacked

_ABOUT = ("id", "title", "region", "edition", "version", "valid_from", "valid_until", "review_by", "preview")


def pack_listed(pack: Pack) -> dict:
    return {key: pack.about[key] for key in _ABOUT}


def pack_described(pack: Pack) -> dict:
    """Everything a reader may look up. Rules carry their expressions as text."""
    content = pack.content
    return {
        "pack": {**pack.about, "sha256": pack.sha256, "words": pack.words, "stages": pack.stages},
        "screens": [
            {"id": key.removeprefix("screen."), "title": title.format_map(pack.words)}
            for key, title in pack.phrases.items()
            if key.startswith("screen.")
        ],
        "questions": [question_shown(pack, question) for question in pack.questions],
        "pictures": [_picture_described(picture) for picture in pack.pictures],
        "rules": [_rule_described(rule) for rule in content["rules"]],
        "parameters": content["parameters"],
        "tables": content["tables"],
        "sources": content["sources"],
        "plan": {
            "stages": pack.plan.stages,
            "questions": [question_shown(pack.plan, question["id"]) for question in content["plan"]["questions"]],
            "rules": [_rule_described(rule) for rule in content["plan"]["rules"]],
        },
        "texts": {
            section: [{key: value for key, value in item.items() if key != "when"} for item in items]
            for section, items in content["texts"].items()
        },
    }


def _picture_described(picture: dict) -> dict:
    """A picture by itself, as a page shows it beside one question."""
    kept = {key: picture[key] for key in ("id", "screen", "title", "text", "questions")}
    return {**kept, "svg": stacked([picture], f"sw-picture-{picture['id']}", picture["title"])}


def _rule_described(rule: dict) -> dict:
    return {key: rule[key] for key in _RULE} | {"applies": rule["applies_text"], "requires": rule["requires_text"]}


_RULE = (
    "id",
    "title",
    "stage",
    "weight",
    "source",
    "clause",
    "status",
    "checked",
    "stale_after",
    "note",
    "say",
    "fix",
    "reads",
    "origin",
)

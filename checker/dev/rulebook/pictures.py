"""From the items of `rules/<pack>/pictures` to what a pack holds: checked against its questions, and drawn."""

from __future__ import annotations

from typing import Any

from checker.core.messages import holes, put
from checker.dev.pictures import choices, objects
from checker.dev.pictures.paper import DoesNotFit
from checker.dev.rulebook.checks import Checks
from checker.dev.rulebook.rulefiles import Item

_WHY = "A reader would look for something that is not there."


def pictures(checks: Checks) -> list[dict[str, Any]]:
    """Every picture of the pack in its order."""
    asked = {item.id: item.data for item in checks.of("question")}
    made = [_picture(checks, item, asked) for item in checks.of("picture") if "none" not in item.data]
    return sorted(made, key=lambda picture: (picture["order"], picture["id"]))


def _picture(checks: Checks, item: Item, asked: dict[str, dict[str, Any]]) -> dict[str, Any]:
    data = item.data
    checks.has_source(item, data["source"], "A reader should be able to look up what is drawn.")
    title, text = (_worded(checks, item, data[key]) for key in ("title", "text"))
    try:
        named, parts, height = _cells(checks, item, asked) if "ways" in data else _object(checks, item, asked)
    except DoesNotFit as bad:
        checks.fault(
            item, f"its words leave their place: {bad}", "They would be cut off.", "Use fewer or shorter words."
        )
        named, parts, height = [], [], 0
    return {
        **{key: data[key] for key in ("id", "screen", "order")},
        "title": title,
        "text": text,
        "questions": named,
        "height": height,
        "shapes": "".join(parts),
    }


def _worded(checks: Checks, item: Item, text: str) -> str:
    words = checks.folder.pack["words"]
    for hole in set(holes(text)) - set(words):
        checks.fault(
            item,
            f"the text names {{{hole}}}, which is no word of the pack",
            "Readers would see a gap.",
            "Use a word of [words].",
        )
    return put(text, lambda name: words.get(name, name), lambda _: False)


def _object(checks: Checks, item: Item, asked: dict[str, dict[str, Any]]) -> tuple[list[str], list[str], int]:
    data, spots = item.data, []
    places = objects.PLACES.get(data["drawing"])
    if data["drawing"] not in objects.DRAWINGS:
        checks.fault(
            item,
            f"there is no drawing {data['drawing']!r} with spots",
            _WHY,
            f"Use one of: {', '.join(objects.DRAWINGS)}.",
        )
        return [], [], 0
    for spot in data["spots"]:
        if places and spot["place"] not in places:
            checks.fault(item, f"the drawing has no place {spot['place']!r}", _WHY, f"Use one of: {', '.join(places)}.")
            return [], [], 0
        name = spot.get("question")
        if name and (name not in asked or asked[name].get("screen") != data["screen"]):
            checks.fault(
                item,
                f"a spot belongs to the question {name!r}, which this pack does not ask on the screen {data['screen']!r}",
                "A tap on it would lead nowhere.",
                "Name a question of that screen, or leave the spot out.",
            )
        spots.append(objects.Spot(spot["place"], spot["shows"], name, asked[name]["label"] if name in asked else None))
    sheet = objects.Sheet(spots)
    objects.DRAWINGS[data["drawing"]](sheet)
    return [spot.question for spot in spots if spot.question], sheet.paper.parts, sheet.height


def _cells(checks: Checks, item: Item, asked: dict[str, dict[str, Any]]) -> tuple[list[str], list[str], int]:
    """Side by side every choice of the question: one that is not drawn would look as if it were none."""
    data, name = item.data, item.data["question"]
    drawing = data["drawing"]
    cells = [choices.Cell(cell["choice"], cell["shows"], cell["draws"]) for cell in data["ways"]]
    takes = [choice["value"] for choice in asked.get(name, {}).get("choices", [])]
    drawn = sorted(cell.choice for cell in cells)
    if drawn != sorted(set(takes) - set(data.get("not_drawn", []))):
        checks.fault(
            item,
            f"it draws {drawn}, and {name!r} takes {sorted(takes)} in this pack",
            "A choice without its drawing would be overlooked; a drawing without its choice leads nowhere.",
            "Draw each choice of the question, or name it in `not_drawn`.",
        )
        return [], [], 0
    for cell in cells:
        if drawing not in choices.CELLS or not choices.known(drawing, cell.draws):
            checks.fault(item, f"{drawing!r} cannot draw {cell.draws!r}", _WHY, "See checker/dev/pictures/choices.py.")
            return [], [], 0
    # In the order of the question, which a region may change.
    return [name], *choices.grid(name, drawing, sorted(cells, key=lambda cell: takes.index(cell.choice)))

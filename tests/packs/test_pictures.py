"""The drawings of what one looks at: each leads to questions of its own pack, fits its paper and shows examples only."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

import pytest

from checker.core import pictures
from checker.core.api import handle
from checker.core.pack import Pack, every
from checker.dev.pictures.paper import TOUCH, WIDTH, width_of
from checker.dev.rulebook.resolve import region_folders, resolved

PACKS = [pytest.param(pack, id=f"{pack.id}@{pack.about['edition']}") for pack in every()]
FOLDERS = [pytest.param(folder, id=folder.name) for folder in region_folders()]
SVG = "{http://www.w3.org/2000/svg}"
TURN = re.compile(r"translate\((-?\d+) (-?\d+)\)")

of_each_pack = pytest.mark.parametrize("pack", PACKS)


def drawn(pack: Pack, picture: dict) -> ElementTree.Element:
    return ElementTree.fromstring(pictures.stacked([picture], "one", picture["title"]))


def placed(element: ElementTree.Element, dx: int = 0, dy: int = 0):
    """Every element below with how far it is moved."""
    moved = TURN.fullmatch(element.get("transform", ""))
    if moved:
        dx, dy = dx + int(moved[1]), dy + int(moved[2])
    yield element, dx, dy
    for child in element:
        yield from placed(child, dx, dy)


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_screen_has_its_picture_or_says_why_not(folder):
    items = resolved(folder)[0].items
    screens = {item.data["screen"] for (kind, _), item in items.items() if kind == "question"}
    shown = {item.data["screen"]: item.data for (kind, _), item in items.items() if kind == "picture"}
    assert screens == set(shown)
    assert [screen for screen, data in shown.items() if "none" in data] == ["who"]


@of_each_pack
def test_every_spot_leads_to_a_question_of_its_screen(pack):
    for picture in pack.pictures:
        spots = [e for e in drawn(pack, picture).iter() if "data-question" in e.attrib]
        assert spots, picture["id"]
        for spot in spots:
            question = pack.questions[spot.get("data-question")]
            assert question["screen"] == picture["screen"]
            assert spot.get("data-choice") in (None, *(choice["value"] for choice in question["choices"]))


@of_each_pack
def test_every_spot_is_large_enough_for_a_finger(pack):
    for picture in pack.pictures:
        for spot in drawn(pack, picture).iter():
            if "data-question" in spot.attrib:
                areas = [e for e in spot if e.get("pointer-events") == "all"]
                assert any(int(a.get("width")) >= TOUCH and int(a.get("height")) >= TOUCH for a in areas), picture["id"]


@of_each_pack
def test_no_word_leaves_the_paper(pack):
    for picture in pack.pictures:
        root = drawn(pack, picture)
        height = int(root.get("viewBox").split()[3])
        for text, dx, dy in placed(root):
            if text.tag != f"{SVG}text":
                continue
            x, y, size = (int(text.get(key)) for key in ("x", "y", "font-size"))
            wide = width_of(text.text, size)
            left = dx + x - {"middle": wide // 2, "end": wide}.get(text.get("text-anchor", "start"), 0)
            assert left >= 0, (picture["id"], text.text)
            assert left + wide <= WIDTH, (picture["id"], text.text)
            assert size <= dy + y <= height, (picture["id"], text.text)


@of_each_pack
def test_printed_figures_are_called_an_example(pack):
    for picture in pack.pictures:
        places = [e for e in drawn(pack, picture).iter() if "data-choice" in e.attrib]
        if not places and picture["id"] not in ("rail", "made-dead"):
            assert picture["title"].endswith("an example"), picture["id"]


@of_each_pack
def test_a_drawing_runs_and_loads_nothing_and_takes_the_colour_of_the_page(pack):
    for picture in pack.pictures:
        for element in drawn(pack, picture).iter():
            assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "g", "path", "rect", "circle", "text"}
            assert not {"style", "href", "onclick"} & set(element.attrib)
            assert element.get("fill") in (None, "none", "currentColor")
            assert element.get("stroke") in (None, "none", "currentColor")


@of_each_pack
def test_it_has_a_name_and_says_the_same_in_words(pack):
    for picture in pack.pictures:
        root = drawn(pack, picture)
        named = [root.find(f"{SVG}{tag}") for tag in ("title", "desc")]
        assert root.get("role") == "img"
        assert root.get("aria-labelledby").split() == [element.get("id") for element in named]
        assert len(named[1].text) > 60


# Words that only one part of the world prints or says. Common practice, no source.
FOREIGN = {
    "us": ("mm²", "RCD", "TN-", "6000", "cos φ", "AC-7", "16 (4)"),
    "gb": ("AWG", "NM-B", "HP", "NYM", "GFCI", "V-90"),
    "de": ("AWG", "NM-B", "HP", "6242Y", "GFCI", "V-90"),
    "iec": ("AWG", "NM-B", "HP", "6242Y", "NYM", "GFCI", "V-90", "PME"),
}


@pytest.mark.parametrize("pack_id", FOREIGN)
def test_no_picture_of_another_region_is_shown(pack_id):
    shown = json.dumps([pack.pictures for pack in every() if pack.id == pack_id], ensure_ascii=False)
    assert [word for word in FOREIGN[pack_id] if re.search(rf"\b{re.escape(word)}", shown)] == []


def following(pack: str, answers: dict) -> dict:
    request = {"format": 1, "ask": "next", "pack": pack, "as_of": "2026-11-30", "suppose": True, "answers": answers}
    return json.loads(handle(json.dumps(request)))


def test_the_reply_shows_what_holds_the_answers_that_are_open():
    screen = following("gb", {})["screen"]
    assert screen["id"] == "before"
    spots = re.findall(r'data-question="(\w+)"', screen["picture"])
    assert spots == ["isolation", "lock_off", "tester"]


def test_a_screen_with_nothing_to_see_has_no_picture():
    answers = {
        "isolation": "whole-board", "lock_off": True, "tester": "two-pole", "tester_proved": True, "other_supply": "none",
        "board_condition": "sound", "earth_present": True, "life_safety_load": False,
    }  # fmt: skip
    screen = following("gb", answers)["screen"]
    assert (screen["id"], screen["picture"]) == ("who", None)


def test_only_the_pieces_that_an_open_question_needs_are_shown():
    pack = next(p for p in every() if p.id == "gb")
    one = pictures.drawing(pack, "board", "The board", ["rcd_type"])
    assert set(re.findall(r'data-question="(\w+)"', one)) == {"rcd", "rcd_rating_ma", "rcd_type"}
    both = pictures.drawing(pack, "board", "The board", ["rcd_type", "spare_modules"])
    assert "spare_modules" in both


def test_the_free_places_drawn_are_as_many_as_the_picture_says():
    for pack in every():
        rail = next(picture for picture in pack.pictures if picture["id"] == "rail")
        counted = re.findall(r">(\d+)</text>", rail["shapes"])
        assert [int(number) for number in counted] == [*range(1, len(counted) + 1)]
        assert f"here {len(counted)}." in rail["text"]

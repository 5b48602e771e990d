"""The drawing of a screen: of what one looks at, the pieces that show where an open question is answered.

The pieces are drawn when the pack is compiled (`checker.dev.pictures`); here they are stacked.
"""

from __future__ import annotations

from collections.abc import Iterable

from checker.core.pack import Pack
from checker.core.svg import NAMESPACE, element, words

_WIDTH = 320
_CAPTION = 22  # above each piece, for its title
_GAP = 14


def drawing(pack: Pack, screen: str, title: str, questions: Iterable[str]) -> str | None:
    """The pieces of `screen` that have a spot for one of `questions` as one SVG, or its first piece where none has.

    A group with `data-question` is a spot: there stands what the question asks for. None where there is nothing to see.
    """
    pieces = [picture for picture in pack.pictures if picture["screen"] == screen]
    open_ = set(questions)
    shown = [picture for picture in pieces if open_ & set(picture["questions"])] or pieces[:1]
    return stacked(shown, f"sw-picture-{screen}", title) if shown else None


def stacked(pieces: list[dict], ident: str, title: str) -> str:
    """The pieces under one another as one SVG that is `title` to whoever cannot see it."""
    parts, top = [], 0
    for piece in pieces:
        about = {
            "x": 0,
            "y": top + 14,
            "font-size": 13,
            "font-weight": "bold",
            "fill": "currentColor",
            "stroke": "none",
        }
        parts.append(element("text", about, words(piece["title"])))
        parts.append(element("g", {"transform": f"translate(0 {top + _CAPTION})"}, piece["shapes"]))
        top += _CAPTION + piece["height"] + _GAP
    about = {
        "xmlns": NAMESPACE,
        "viewBox": f"0 0 {_WIDTH} {top - _GAP + 2}",
        "class": "sw-picture",
        "role": "img",
        "aria-labelledby": f"{ident}-title {ident}-desc",
        "font-family": "Arial, Helvetica, sans-serif",
        "fill": "none",
        "stroke": "currentColor",
        "stroke-width": "1.6",
        "stroke-linejoin": "round",
    }
    said = " ".join(f"{piece['title']}. {piece['text']}" for piece in pieces)
    return element(
        "svg",
        about,
        element("title", {"id": f"{ident}-title"}, words(title)),
        element("desc", {"id": f"{ident}-desc"}, words(said)),
        *parts,
    )

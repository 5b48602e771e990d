"""The core's drawing as an SVG file."""

from __future__ import annotations

from checker.core import svg

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

# The two palettes follow the reader's setting; print is light.
_STYLE = """
text { font: 11px system-ui, sans-serif; fill: #1f2328; }
.frame { fill: none; stroke: #6b7280; }
.hour { stroke: #6b7280; stroke-opacity: .35; }
.on, .key-on { fill: #00695c; }
.night, .key-night { fill: #6b7280; fill-opacity: .25; }
@media (prefers-color-scheme: dark) {
  svg { background: #14181c; }
  text { fill: #e6e8eb; }
  .on, .key-on { fill: #64d8c8; }
}
"""


def picture(drawing: dict[str, Any]) -> str:
    """The drawing as the text of an SVG file."""
    width, height = drawing["width"], drawing["height"]
    about = {
        "xmlns": svg.NAMESPACE,
        "viewBox": f"0 0 {width} {height}",
        "width": width,
        "height": height,
        "role": "img",
    }
    parts = [
        svg.element("title", {}, svg.words(drawing["label"])),
        svg.element("style", {}, _STYLE),
        *map(_shape, drawing["shapes"]),
    ]
    return svg.element("svg", about, *(f"\n{part}" for part in parts), "\n") + "\n"


def _shape(shape: dict[str, Any]) -> str:
    kept = {key: value for key, value in shape.items() if key not in ("kind", "text", "anchor")}
    if shape["kind"] == "text":
        return svg.element("text", {**kept, "text-anchor": shape["anchor"]}, svg.words(shape["text"]))
    return svg.element(shape["kind"], kept)

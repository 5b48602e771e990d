"""The core's drawing as an SVG file."""

from __future__ import annotations

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
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img">',
        f"<title>{_escaped(drawing['label'])}</title>",
        f"<style>{_STYLE}</style>",
        *map(_shape, drawing["shapes"]),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _shape(shape: dict[str, Any]) -> str:
    kept = {key: value for key, value in shape.items() if key not in ("kind", "text", "anchor")}
    if shape["kind"] == "text":
        kept["text-anchor"] = shape["anchor"]
    attributes = " ".join(f'{key}="{_escaped(str(value))}"' for key, value in kept.items())
    if shape["kind"] == "text":
        return f"<text {attributes}>{_escaped(shape['text'])}</text>"
    return f"<{shape['kind']} {attributes}/>"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")

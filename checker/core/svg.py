"""The one place that writes SVG as text: elements with their attributes and words escaped."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

NAMESPACE = "http://www.w3.org/2000/svg"


def element(name: str, attributes: Mapping[str, object], *inside: str) -> str:
    """One element. `inside` is SVG that is written already, words by `words`; attributes that are None are left out."""
    written = "".join(f' {key}="{escape(str(value))}"' for key, value in attributes.items() if value is not None)
    return f"<{name}{written}>{''.join(inside)}</{name}>" if inside else f"<{name}{written}/>"


def words(text: object) -> str:
    """Text as it stands between two tags, where quotes mean nothing."""
    return escape(str(text), quote=False)

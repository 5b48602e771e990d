"""The pages' templates: Jinja2, as MkDocs brings it. Every text put in is escaped, and a name that is missing stops the build."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

_TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).with_name("templates")),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    keep_trailing_newline=True,
)


def render(name: str, **values: Any) -> str:
    """The page of the template `name` with these values in it."""
    return _TEMPLATES.get_template(name).render(values)

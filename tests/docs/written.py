"""The reference pages, made once for all tests that read them, and not while tests are collected."""

from __future__ import annotations

from functools import cache

from checker.dev.site import pages


@cache
def written() -> dict[str, str]:
    """Every page of the rule sets by its path."""
    return dict(pages.pack_pages())

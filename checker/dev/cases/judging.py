"""Judging by rule sets that are not the shipped ones: another edition, another revision, a region just begun."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from checker import packs
from checker.core import pack
from checker.core.api import handle
from checker.dev.rulebook.compile import packed


@contextmanager
def installed(contents: Iterable[dict[str, Any]]) -> Iterator[None]:
    """While it lasts, the core knows these contents of packs and no others."""
    held, loaded = dict(packs._held), dict(pack._loaded)
    try:
        packs._held.clear()
        packs._held.update({f"{c['pack']['id']}@{c['pack']['edition']}": packed(c).encode() for c in contents})
        pack._loaded.clear()
        yield
    finally:
        packs._held.clear()
        packs._held.update(held)
        pack._loaded.clear()
        pack._loaded.update(loaded)


def check(request: dict[str, Any]) -> dict[str, Any]:
    """The reply to a check or a plan, without counsel: it changes no outcome and costs most of the time."""
    return json.loads(handle(json.dumps({"ask": "check", **request, "format": 1, "counsel": False})))

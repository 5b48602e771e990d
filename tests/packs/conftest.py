from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from checker import packs
from checker.core import pack
from checker.dev.rulebook.compile import packed
from tests.core import asking

Edit = Callable[[dict[str, Any]], None]


def install(monkeypatch: pytest.MonkeyPatch, *contents: dict[str, Any]) -> None:
    """Lets the core judge by these contents instead of the packs that ship."""
    held = {f"{c['pack']['id']}@{c['pack']['edition']}": packed(c).encode() for c in contents}
    monkeypatch.setattr(pack, "_loaded", {})
    monkeypatch.setattr(packs, "names", lambda: tuple(sorted(held)))
    monkeypatch.setattr(packs, "read", held.__getitem__)


@pytest.fixture
def judge_by(monkeypatch) -> Callable[..., None]:
    """judge_by(content, ...): these packs instead of those that ship."""
    return lambda *contents: install(monkeypatch, *contents)


@pytest.fixture
def altered(monkeypatch) -> Callable[[Edit], None]:
    """altered(edit): the pack `iec` after `edit(content)`."""

    def use(edit: Edit) -> None:
        content = copy.deepcopy(asking.contents()["iec"])
        edit(content)
        install(monkeypatch, content)

    return use

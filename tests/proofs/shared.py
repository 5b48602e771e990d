"""One book of paths a pack and run: the tests of a file share it."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from checker.core import pack as packs
from checker.core.pack import Pack
from tests import sampling
from tests.proofs.summaries import Book

HERE = Path(__file__).parent


def named(pack: Pack) -> str:
    return f"{pack.id}@{pack.about['edition']}"


PACKS = {named(pack): pack for pack in packs.every()}
# A run that is not deep proves the base rule set: others take the solver ten minutes and more.
PROVED = [name for name, pack in PACKS.items() if sampling.deep() or pack.about["extends"] is None]
each_pack = pytest.mark.parametrize("name", PROVED)


@cache
def book(name: str) -> Book:
    return Book(PACKS[name])


@cache
def listed(name: str) -> dict[str, Any]:
    """What a file of this folder lists, each entry with its reason."""
    return tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))

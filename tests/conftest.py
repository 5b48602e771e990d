"""Quick tests first: whoever breaks something learns it in seconds."""

from __future__ import annotations

import decimal

import pytest

from checker.core.values import CONTEXT

# Tests of a part of the core compute as `api.handle` does.
decimal.setcontext(CONTEXT.copy())

_WAITS = ("slow", "node", "browser")  # from quick to slow


def _wait(item: pytest.Item) -> int:
    return max((place for place, mark in enumerate(_WAITS, 1) if item.get_closest_marker(mark)), default=0)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=_wait)  # a stable sort: within each kind the order of the files stays

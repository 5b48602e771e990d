"""Loads the packs anew for every mutant of the code: a pack that was loaded before holds functions without the slip."""

from __future__ import annotations

import pytest

from checker.core import pack as packs


def pytest_sessionstart(session: pytest.Session) -> None:
    packs._loaded.clear()

from __future__ import annotations

from pathlib import Path

import pytest

from checker.dev.site import browser_files as browser


@pytest.fixture(scope="session")
def root() -> Path:
    return browser.ROOT


@pytest.fixture(scope="session")
def wheel(tmp_path_factory) -> Path:
    return browser.build_wheel(tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="session")
def browser_folder(tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("browser")
    browser.build_browser(out)
    return out / "pyodide"

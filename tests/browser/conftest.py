"""The built site in a real browser. Nothing here is skipped: what is missing makes the tests fail and says so."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    WebError,
    expect,
    sync_playwright,
)

from tests.browser.interview import Interview
from tests.browser.serving import SUB_PATH, Site

PATIENCE = 120_000  # milliseconds: a busy machine of two cores takes its time to load Python
expect.set_options(timeout=PATIENCE)
ROOT = Path(__file__).resolve().parents[2]
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
NEEDED = ("index.html", "check/index.html", "spareway/app.mjs", "pyodide/pyodide.mjs", "pyodide/pyodide-lock.json")


@pytest.fixture(scope="session")
def site() -> Iterator[Site]:
    """The site of `make site`, or the folder that SPAREWAY_SITE names."""
    folder = Path(os.environ.get("SPAREWAY_SITE", ROOT / "site"))
    missing = [name for name in NEEDED if not (folder / name).is_file()]
    if missing:
        pytest.fail(f"the built site {folder} lacks {', '.join(missing)}: run `make site` first")
    with Site(folder) as serving:
        yield serving


@pytest.fixture(scope="session")
def chromium() -> str:
    named = os.environ.get("CHROMIUM")
    path = named or shutil.which("chromium") or shutil.which("chromium-browser")
    if not path or not Path(path).exists():
        pytest.fail("Chromium is missing: install it (Debian: apt-get install chromium) or name it in CHROMIUM")
    return path


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright, chromium: str) -> Iterator[Browser]:
    started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
    yield started
    started.close()


class Watch:
    """What a page must not do: complain, or ask another host. `forgive` takes a complaint a test provokes on purpose."""

    def __init__(self, context: BrowserContext, origin: str) -> None:
        self.complaints: list[str] = []
        self.asked: list[str] = []
        self.elsewhere: list[str] = []
        self._origin = origin
        self._context = context
        self._heard = {"console": self._said, "weberror": self._failed, "request": self._note}
        for event, listener in self._heard.items():
            context.on(event, listener)  # type: ignore[call-overload]  # the names are literals above

    def stop(self) -> None:
        for event, listener in self._heard.items():
            self._context.remove_listener(event, listener)

    def _said(self, message: ConsoleMessage) -> None:
        # What the driver says of its own doing is no complaint of the page.
        if message.type in ("error", "warning") and "blocked by Playwright" not in message.text:
            self.complaints.append(message.text)

    def _failed(self, error: WebError) -> None:
        self.complaints.append(str(error.error))

    def _note(self, request: Request) -> None:
        self.asked.append(request.url)
        if not request.url.startswith((self._origin, "blob:", "data:")):
            self.elsewhere.append(request.url)

    def forgive(self, part: str) -> None:
        self.complaints = [text for text in self.complaints if part not in text]


# 360 by 740: a small telephone. What works there works on a desk, and not the other way round.
PHONE: dict[str, Any] = {
    "viewport": {"width": 360, "height": 740}, "locale": "en-ZA", "timezone_id": "Africa/Johannesburg",
    # What is kept for use without a network is tested by itself; here it would fetch 12 MB for every test.
    "service_workers": "block",
}  # fmt: skip


def visitor(browser: Browser) -> BrowserContext:
    made = browser.new_context(**PHONE)
    made.set_default_timeout(PATIENCE)
    return made


# Whether Python's memory lies there whole: a cache of that name is there from the start, and what is put into it comes last.
KEPT = """async () => {
  const names = (await caches.keys()).filter((name) => name.startsWith('spareway-python-'));
  const held = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
  return held.some((entries) => entries.length > 0);
}"""


def until(said: Callable[[], bool], what: str) -> None:
    """Asks again and again until it is said: `wait_for_function` takes the promise of an answer for a yes."""
    end = time.monotonic() + PATIENCE / 1000
    while not said():
        assert time.monotonic() < end, f"still not after {PATIENCE // 1000} s: {what}"
        time.sleep(0.1)


def memory_is_kept(page: Page) -> None:
    until(lambda: page.evaluate(KEPT), "Python's memory is kept")


@pytest.fixture(scope="session")
def returning(browser: Browser, site: Site) -> Iterator[BrowserContext]:
    """Somebody who was here before: Python's memory is kept, so that a page is ready in a third of the time."""
    held = visitor(browser)
    first = held.new_page()
    first.goto(f"{site.url}check/")
    memory_is_kept(first)
    first.close()
    yield held
    held.close()


@pytest.fixture
def context(request: pytest.FixtureRequest, browser: Browser, site: Site) -> Iterator[BrowserContext]:
    """The visitor who was here before; with the mark `first_visit` one who never was, and whom nobody shares."""
    site.reset()
    if request.node.get_closest_marker("first_visit"):
        fresh = visitor(browser)
        yield fresh
        fresh.close()
        return
    shared: BrowserContext = request.getfixturevalue("returning")
    yield shared
    for left in shared.pages:
        # Not by a script of the page, which may stand at a place that has no storage.
        forget = {"origin": site.url.removesuffix(SUB_PATH), "storageTypes": "local_storage"}
        shared.new_cdp_session(left).send("Storage.clearDataForOrigin", forget)
        left.close()
    shared.clear_permissions()


@pytest.fixture
def watch(context: BrowserContext, site: Site) -> Iterator[Watch]:
    watching = Watch(context, site.url)
    yield watching
    watching.stop()
    assert watching.elsewhere == [], "a page asked another host"
    assert watching.complaints == [], "the browser's console complains"


@pytest.fixture
def page(context: BrowserContext, watch: Watch) -> Page:
    return context.new_page()


@pytest.fixture
def interview(page: Page, site: Site) -> Interview:
    return Interview(page, site.url)

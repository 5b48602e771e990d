"""What a browser will not keep: no room, no storage, no service worker, two pages at once. The check still works."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from checker.core.api import handle
from tests.browser.conftest import PATIENCE, memory_is_kept, until
from tests.browser.interview import WATER_HEATER, Interview
from tests.browser.serving import Site

pytestmark = [pytest.mark.browser, pytest.mark.first_visit]

# Put ahead of the worker's own text: what a private window or a full disk does to it.
NO_STORAGE = "Object.defineProperty(self, 'caches', { value: undefined });"
REFUSED = "CacheStorage.prototype.open = () => Promise.reject(new DOMException('refused', 'SecurityError'));"
FULL = "Cache.prototype.put = () => Promise.reject(new DOMException('full', 'QuotaExceededError'));"
NO_SERVICE_WORKER = "delete Navigator.prototype.serviceWorker;"
REGISTERING_REFUSED = (
    "ServiceWorkerContainer.prototype.register = () => Promise.reject(new DOMException('private', 'SecurityError'));"
)


@pytest.fixture
def visitor(browser: Browser, site: Site) -> Iterator[BrowserContext]:
    """A fresh browser that may keep what it can; no page of it may complain."""
    site.reset()
    context = browser.new_context(viewport={"width": 360, "height": 740})
    context.set_default_timeout(PATIENCE)
    faults: list[str] = []
    context.on("weberror", lambda error: faults.append(str(error.error)))
    yield context
    context.close()
    assert faults == []


def judged(page: Page, site: Site, pack: str = "iec") -> None:
    """A visit to `page`, with answers in the address: ready, none of them lost, and the report is the checker's own."""
    interview = Interview(page, site.url).open_report(WATER_HEATER, pack).wait_ready()
    assert json.loads(interview.saved("Save the report")) == json.loads(handle(interview.request(pack)))
    expect(page.locator("#sw-alert")).to_be_empty()


def in_worker(page: Page, text: str) -> None:
    def before(route) -> None:
        response = route.fetch()
        route.fulfill(response=response, body=text + response.text())

    page.route("**/spareway/worker.mjs", before)


def of_python(page: Page) -> list[str]:
    return page.evaluate("caches.keys().then((names) => names.filter((name) => name.startsWith('spareway-python-')))")


def wheels(page: Page) -> list[str]:
    """The wheels that `page` asks for from now on: one for each plain start of Python."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if request.url.endswith(".whl") else None)
    return asked


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize("fault", [NO_STORAGE, REFUSED, FULL], ids=["none", "refused", "full"])
def test_without_storage_python_starts_plainly_each_time_and_the_report_is_the_same(context, watch, site, fault):
    context.set_default_timeout(PATIENCE)
    for _visit in range(2):
        page = context.new_page()
        asked = wheels(page)
        in_worker(page, fault)
        judged(page, site)
        assert len(asked) == 1
        until(lambda page=page: of_python(page) == [], "half a copy is let go of")
        page.close()


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("fault", [NO_SERVICE_WORKER, REGISTERING_REFUSED], ids=["none", "refused"])
def test_without_a_service_worker_the_page_works_and_promises_nothing(visitor, site, fault):
    page = visitor.new_page()
    page.add_init_script(fault)
    judged(page, site)
    expect(page.locator("#sw-status")).not_to_contain_text("offline")


def test_without_room_the_page_works_promises_nothing_and_leaves_nothing_half_kept(visitor, site):
    page = visitor.new_page()
    devtools = visitor.new_cdp_session(page)
    origin = site.url.split("/some/")[0]
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 3_000_000})
    for _visit in range(2):
        judged(page, site)
        expect(page.locator("#sw-status")).not_to_contain_text("offline")
    page.wait_for_timeout(1000)  # in which something might still be put there
    until(lambda: page.evaluate("caches.keys()") == [], "nothing is left half kept")


def test_two_pages_opened_at_once_both_work_and_leave_a_sound_copy(visitor, site):
    pages = [visitor.new_page(), visitor.new_page()]
    for page in pages:
        page.goto(f"{site.url}check/", wait_until="commit")
    for page in pages:
        expect(page.locator("#sw-status")).to_contain_text("also works offline", timeout=PATIENCE)
    for page, pack in zip(pages, ("iec", "za"), strict=True):
        judged(page, site, pack)
    memory_is_kept(pages[0])
    third = visitor.new_page()
    asked = wheels(third)
    site.gone = True
    judged(third, site)
    assert asked == [], "the copy that the two left has to be one that can be put back"

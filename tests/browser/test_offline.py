"""Without a network: one whole release is kept, a damaged file is refused, a newer release waits until it is asked in."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from checker.core.api import handle
from checker.dev.site.finish import finish
from checker.dev.site.offline_files import packs_of
from tests.browser.conftest import PATIENCE, memory_is_kept
from tests.browser.interview import WATER_HEATER, Interview
from tests.browser.serving import Site

# Each begins with a first visit and a whole release put away, the dearest that a browser does here.
pytestmark = [pytest.mark.browser, pytest.mark.first_visit, pytest.mark.sampled(one_in=6, family="file")]


@pytest.fixture
def visitor(browser: Browser, site: Site) -> Iterator[Interview]:
    """Somebody whose browser keeps what a page gives it to keep, after a first visit."""
    site.reset()
    context = browser.new_context(viewport={"width": 360, "height": 740})
    context.set_default_timeout(PATIENCE)
    interview = Interview(context.new_page(), site.url)
    kept(interview.open().page)
    memory_is_kept(interview.page)  # which nothing on the page tells of
    yield interview
    context.close()
    site.serve_from(site.first_folder)


def kept(page: Page) -> None:
    expect(page.locator("#sw-status")).to_contain_text("also works offline")


def put(page: Page, cache: str, name: str, body: str) -> None:
    """Puts other bytes in the place of a kept file, as a failing disk would. `cache`: the start of the cache's name."""
    page.evaluate(
        """async ([start, name, body]) => {
          const python = (name) => name.includes("python");
          const names = (await caches.keys()).filter((one) => one.startsWith(start) && python(one) === python(start));
          const cache = await caches.open(names[0]);
          const [key] = (await cache.keys()).filter((one) => one.url.endsWith(name));
          const old = await cache.match(key);
          const whole = await old.arrayBuffer();
          await cache.put(key, new Response(body === "half" ? whole.slice(0, whole.byteLength / 2) : body, { headers: old.headers }));
        }""",
        [cache, name, body],
    )


def test_an_interview_is_finished_with_no_server_there(visitor, site):
    site.gone = True
    site.asked.clear()
    visitor.open().wait_ready()
    visitor.choose_pack("za").go_through(WATER_HEATER)
    assert json.loads(visitor.saved("Save the report")) == json.loads(handle(visitor.request("za")))


def test_a_page_that_is_not_kept_says_so_and_leads_back(visitor, site):
    site.gone = True
    visitor.page.goto(f"{site.url}reference/")
    expect(visitor.page.get_by_role("heading")).to_have_text("This page is not available offline")
    visitor.page.get_by_role("link", name="Check a circuit").click()
    expect(visitor.page.locator("#sw-start")).to_be_visible()


def test_a_damaged_file_is_fetched_again_while_there_is_a_network(visitor, site):
    put(visitor.page, "spareway-", "/spareway/app.mjs", "half")
    visitor.open().wait_ready()
    assert any(path.endswith("/spareway/app.mjs") for path in site.asked)
    site.gone = True
    visitor.open().wait_ready()


def test_a_damaged_wheel_gives_no_verdict_without_a_network(visitor, site):
    wheel = next(path.name for path in (Path(site.folder) / "pyodide").glob("*.whl"))
    put(visitor.page, "spareway-", f"/pyodide/{wheel}", "half")
    visitor.page.evaluate(
        "(async () => { for (const n of await caches.keys()) if (n.includes('python')) await caches.delete(n); })()"
    )
    site.gone = True
    visitor.open()
    expect(visitor.page.locator("#sw-alert")).to_contain_text("did not start")


def test_the_second_visit_puts_back_the_memory_of_the_first_and_answers_the_same(visitor, site):
    fetched = []
    visitor.page.on("request", lambda request: fetched.append(request.url))
    visitor.open().wait_ready()
    assert not [url for url in fetched if url.endswith(".whl")], "the wheel is not needed when the memory is put back"
    visitor.choose_pack("iec").go_through(WATER_HEATER)
    assert json.loads(visitor.saved("Save the report")) == json.loads(handle(visitor.request("iec")))


def test_a_damaged_memory_is_not_put_back(visitor):
    put(visitor.page, "spareway-python", "memory", "half")
    fetched = []
    visitor.page.on("request", lambda request: fetched.append(request.url))
    visitor.open().wait_ready()
    assert [url for url in fetched if url.endswith(".whl")], "Python has to start plainly"
    visitor.choose_pack("iec").go_through(WATER_HEATER)
    assert json.loads(visitor.saved("Save the report")) == json.loads(handle(visitor.request("iec")))


@pytest.fixture
def next_release(site, tmp_path) -> Path:
    """The same site with another sentence on its home page and a later version of one rule set."""
    folder = tmp_path / "site"
    shutil.copytree(site.folder, folder)
    home = folder / "index.html"
    home.write_text(home.read_text(encoding="utf-8").replace("</h1>", " (next)</h1>", 1), encoding="utf-8")
    packs = [{**pack, "version": "2027.1"} if pack["id"] == "za" else pack for pack in packs_of(handle)]
    finish(folder, packs)
    return folder


def test_new_rules_are_told_with_their_versions_and_come_only_when_asked_in(visitor, site, next_release):
    site.serve_from(next_release)
    visitor.open().wait_ready()
    notice = visitor.page.locator("#sw-update")
    expect(notice).to_contain_text("New rules are available")
    expect(notice.get_by_role("listitem")).to_have_count(1)
    expect(notice).to_contain_text("2027.1 (you have 2026.11)")
    # Not mixed: the old release goes on handing out the old page.
    visitor.page.goto(site.url)
    expect(visitor.page.locator("h1")).not_to_contain_text("(next)")
    visitor.open().wait_ready()
    notice.get_by_role("button", name="Use them now").click()
    kept(visitor.page)
    expect(notice).to_be_empty()
    site.gone = True
    visitor.page.goto(site.url)
    expect(visitor.page.locator("h1")).to_contain_text("(next)")


def test_a_release_with_a_damaged_file_is_not_taken(visitor, site, next_release):
    (next_release / "spareway" / "app.mjs").write_text("alert(1)", encoding="utf-8")
    site.serve_from(next_release)
    visitor.open().wait_ready()
    visitor.page.wait_for_timeout(1500)
    expect(visitor.page.locator("#sw-update")).to_be_empty()
    visitor.choose_pack("iec").arrives("isolation")


def test_a_report_warns_when_its_rules_are_past_their_review(visitor, site):
    site.gone = True
    visitor.open_report(WATER_HEATER, "iec", day="2040-01-01")
    expect(visitor.page.locator(".sw-notice")).to_contain_text("was due for review on")

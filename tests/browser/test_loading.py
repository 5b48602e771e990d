"""Before Python is there, when it does not come, and what is asked of the network."""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import pytest
from playwright.sync_api import expect

from checker.core.api import handle
from tests.browser.conftest import PATIENCE
from tests.browser.interview import DAY, WATER_HEATER

pytestmark = pytest.mark.browser


@pytest.mark.first_visit
def test_the_first_question_is_read_and_answered_before_python_is_there(interview, site):
    site.python_may_pass.clear()
    interview.open().choose_pack("za")
    assert interview.shown() == "isolation"
    interview.answer("whole-board")
    interview.arrives("worker")
    interview.answer("licensed")

    site.python_may_pass.set()
    interview.wait_ready()
    interview.go_through(WATER_HEATER)
    assert json.loads(interview.saved("Save the report"))["answers"]["isolation"] == "whole-board"


@pytest.mark.first_visit
def test_the_page_names_at_once_every_module_that_it_asks_for(interview, site):
    """On a slow line each module learnt of from another is one more journey before the first answer."""
    site.python_may_pass.clear()
    page = interview.open().page
    page.get_by_role("button", name="Answer every question").wait_for()
    asked = {path.rpartition("/spareway/")[2] for path in site.asked if "/spareway/" in path and path.endswith(".mjs")}
    named = page.eval_on_selector_all("link[rel=modulepreload]", "all => all.map((link) => link.href)")
    assert asked - {"worker.mjs", "boot.mjs", "memory.mjs"} == {link.rpartition("/spareway/")[2] for link in named}
    assert len(named) > 10


@pytest.mark.first_visit
@pytest.mark.parametrize(
    ("answers", "headline"),
    [({"isolation": "none"}, "stop"), ({"isolation": "whole-board", "worker": "unlicensed"}, "call")],
    ids=["stop", "call"],
)
def test_stop_and_call_are_said_before_python_is_there_and_stay_until_the_person_goes_on(
    interview, site, answers, headline
):
    site.python_may_pass.clear()
    interview.open().choose_pack("za")
    for question, answer in answers.items():
        assert interview.shown() == question
        interview.answer(answer)
    screen = interview.page.locator(".sw-early")
    expect(screen).to_have_attribute("data-headline", headline)
    expect(screen).to_contain_text("What to do:")
    expect(screen).to_contain_text("You will get the full report when the checker is ready")
    expect(interview.title).to_be_focused()

    site.python_may_pass.set()
    interview.wait_ready()
    expect(screen).to_have_attribute("data-headline", headline)
    report = screen.get_by_role("link", name="See the full report")
    expect(report).to_be_visible()
    interview.page.keyboard.press("Tab")
    expect(report).to_be_focused()
    report.press("Enter")
    expect(
        interview.page.locator(f".sw-report .sw-head-{headline}, .sw-report.sw-head-{headline}").first
    ).to_be_visible()


@pytest.mark.first_visit
def test_without_the_table_the_page_waits_for_python(interview, site, watch):
    site.python_may_pass.clear()
    site.refuse = "/early-verdict/"
    interview.open().choose_pack("za").answer("none")
    expect(interview.title).to_contain_text("loading")
    expect(interview.page.locator("#sw-view")).to_contain_text("Your answer is kept")
    watch.forgive("503")
    site.refuse = ""
    site.python_may_pass.set()
    interview.wait_ready()
    assert interview.shown() is not None


@pytest.mark.first_visit
def test_what_is_being_answered_is_not_drawn_again_when_python_arrives(interview, site):
    site.python_may_pass.clear()
    interview.open().choose_pack("za")
    interview.page.locator('input[value="circuit-only"]').check()
    site.python_may_pass.set()
    interview.wait_ready()
    expect(interview.page.locator('input[value="circuit-only"]')).to_be_checked()


@pytest.mark.first_visit
def test_python_that_takes_long_is_spoken_of_and_its_arrival_takes_the_notice_away(interview, site):
    site.python_may_pass.clear()
    interview.page.clock.install()
    interview.page.goto(interview.address)
    expect(interview.page.locator("#sw-status")).to_contain_text("Python")
    interview.page.clock.run_for(26_000)
    notice = interview.page.locator("#sw-alert")
    expect(notice).to_contain_text("Loading is slow")
    expect(notice.get_by_role("button", name="Try again")).to_be_visible()
    site.python_may_pass.set()
    interview.wait_ready()
    expect(notice).to_be_empty()


@pytest.mark.first_visit
def test_python_that_cannot_be_loaded_is_spoken_of_and_trying_again_loses_no_answer(interview, site, watch):
    site.refuse = "/pyodide/pyodide.mjs"
    interview.open().choose_pack("za").answer("whole-board")
    interview.arrives("worker")
    notice = interview.page.locator("#sw-alert")
    expect(notice).to_contain_text("did not start")
    watch.forgive("503")
    site.refuse = ""
    notice.get_by_role("button", name="Try again").click()
    expect(notice).to_be_empty()
    interview.wait_ready()  # until then a screen has no list of the answers given
    assert interview.shown() not in (None, "isolation")
    interview.answer("licensed")
    interview.page.get_by_text("Your answers so far (2)").click()
    expect(interview.page.locator(".sw-answers")).to_contain_text("Yes, the whole DB")


@pytest.mark.first_visit
def test_a_damaged_wheel_is_refused_and_gives_no_question(interview, site, watch):
    site.refuse = ".whl"
    interview.open().choose_pack("za").answer("whole-board")
    expect(interview.page.locator("#sw-alert")).to_contain_text("did not start")
    interview.page.close()  # nothing more may come
    watch.complaints.clear()  # what could not be fetched is said at length


def test_a_worker_that_falls_silent_is_spoken_of_and_replaced(interview):
    # The first worker says that it is ready and then nothing more; the one after it is real.
    interview.page.add_init_script("""
      const Real = Worker;
      let made = 0;
      window.Worker = function (...how) {
        if (!String(how[0]).endsWith('/spareway/worker.mjs') || made++) return new Real(...how);
        const dumb = new EventTarget();
        dumb.postMessage = dumb.terminate = () => {};
        setTimeout(() => dumb.dispatchEvent(new MessageEvent('message', { data: { ready: true } })));
        return dumb;
      };
    """)
    interview.page.clock.install()
    interview.page.goto(interview.address)
    interview.page.clock.run_for(100)
    interview.wait_ready()
    interview.choose_pack("za").page.clock.run_for(11_000)
    notice = interview.page.locator("#sw-alert")
    expect(notice).to_contain_text("does not answer")
    notice.get_by_role("button", name="Try again").click()
    assert interview.shown() == "isolation"
    expect(notice).to_be_empty()


def test_a_browser_without_webassembly_is_told_so(interview):
    interview.page.add_init_script("delete window.WebAssembly;")
    interview.open()
    expect(interview.page.locator("#sw-alert")).to_contain_text("cannot run WebAssembly")
    expect(interview.page.locator("#sw-alert").get_by_role("link", name="command line")).to_be_visible()


def test_without_javascript_the_page_says_what_else_there_is(browser, site):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site.url}check/")
    for name in ("command line", "tables and rules"):
        link = page.locator("noscript").get_by_role("link", name=name)
        link.click()
        assert page.title()
        assert "404" not in page.title()
        page.goto(f"{site.url}check/")
    context.close()


def test_without_javascript_the_plain_pages_lead_to_a_stop(browser, site):
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    answered = []
    page.on("response", lambda response: answered.append((response.status, response.url)))
    page.goto(f"{site.url}check/")
    page.locator("noscript").get_by_role("link", name="the questions on danger and law on plain pages").click()
    page.get_by_role("link", name="South Africa").click()
    page.get_by_role("link", name="Yes, the whole DB").click()
    for _ in range(12):
        damaged = page.get_by_role("link", name="Damaged", exact=False)
        if damaged.count():
            break
        page.locator(".answers a").first.click()
    damaged.first.click()
    report = json.loads(handle(json.dumps({"format": 1, "ask": "check", "pack": "za", "as_of": DAY,
                                           "answers": {"board_condition": "damaged"}})))  # fmt: skip
    expect(page.get_by_role("heading", level=1)).to_have_text(report["headline_text"])
    (failed,) = [one for one in report["findings"] if one["outcome"] == "failed" and one["part"] == "danger"]
    expect(page.locator("main")).to_contain_text(failed["message"])
    expect(page.locator(".word")).to_have_text("Stop")
    # The ways out lead somewhere too.
    page.get_by_role("link", name="Start again").click()
    page.get_by_role("link", name="Another rule set").click()
    for name in ("full check", "command line", "Spareway"):
        page.get_by_role("link", name=name).click()
        page.go_back()
    assert [url for status, url in answered if status >= 400] == []
    context.close()


@pytest.mark.first_visit
def test_nothing_is_asked_of_any_network_while_somebody_answers(interview, site, watch):
    interview.open().wait_ready()
    assert any("pyodide.asm.wasm" in path for path in site.asked), "the watch must see what a worker asks for"
    assert any("pyodide.asm.wasm" in url for url in watch.asked), "the watch must see what a worker asks for"
    site.asked.clear()
    watch.asked.clear()
    interview.choose_pack("za").go_through(WATER_HEATER)
    assert interview.given
    assert site.asked == []
    assert watch.asked == []


def test_the_worker_cannot_ask_the_network_any_more_once_it_is_ready(interview):
    with interview.page.expect_worker(lambda worker: worker.url.endswith("/spareway/worker.mjs")) as started:
        interview.open().wait_ready()
    ways = "['fetch', 'XMLHttpRequest', 'WebSocket', 'EventSource', 'importScripts']"
    assert started.value.evaluate(f"() => {ways}.filter(way => self[way] !== undefined)") == []


def test_the_check_page_goes_without_the_search_of_the_other_pages(interview, site):
    interview.open().wait_ready()
    assert not [path for path in site.asked if "search" in path or "assets/javascripts" in path]
    expect(interview.page.get_by_role("searchbox")).to_have_count(0)


def test_no_text_becomes_a_script_or_markup_of_the_check_page(interview, watch):
    interview.open().wait_ready()
    refused = interview.page.evaluate("""() => {
      const ways = {
        markup: () => { document.createElement("p").innerHTML = "<b>x</b>"; },
        "a worker's address": () => new Worker(new URL("../spareway/worker.mjs", location).href, { type: "module" }),
        "a policy of somebody else": () => trustedTypes.createPolicy("another", {}),
        "a second policy of ours": () => trustedTypes.createPolicy("spareway", {}),
      };
      const caught = (way) => { try { way(); return false; } catch (error) { return error instanceof TypeError; } };
      return Object.entries(ways).filter(([, way]) => caught(way)).map(([name]) => name);
    }""")
    watch.complaints.clear()  # the browser tells of each refusal
    assert refused == ["markup", "a worker's address", "a policy of somebody else", "a second policy of ours"]


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("wish", ["light", "dark"])
def test_the_colours_follow_the_system_until_somebody_chooses_and_the_choice_stays(interview, site, wish):
    site.python_may_pass.clear()  # no colour waits for Python
    page = interview.page
    page.emulate_media(color_scheme=wish)
    interview.open()
    schemes = {"light": "default", "dark": "slate"}
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", schemes[wish])
    page.emulate_media(color_scheme="dark" if wish == "light" else "light")
    other = schemes["dark" if wish == "light" else "light"]
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", other)
    page.get_by_title("Switch to light colours").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "default")
    page.get_by_title("Switch to dark colours").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    # The theme's own script on another page understands what was kept.
    page.goto(f"{interview.address}../")
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.goto(interview.address)
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")


def test_a_whole_visit_asks_no_other_host(page, site, watch):
    for place in ("", "check/", "reference/"):
        page.goto(site.url + place)
        page.wait_for_load_state("networkidle")
    assert watch.elsewhere == []
    assert watch.asked


def test_our_own_scripts_stay_small(site):
    root = Path(site.folder) / "spareway"
    sizes = {path: len(gzip.compress(path.read_bytes())) for path in root.rglob("*.mjs")}
    # Short run, schedule, job sheet, comparison, worksheet and the page's words, each script by itself: one small photograph.
    assert 0 < sum(sizes.values()) <= 82_000


def test_the_watch_itself_notices_another_host_and_a_complaint(page, site, watch):
    page.goto("about:blank")  # a page of the site would not even try
    # Port 9 of this machine: nobody listens, and it is not the site's own address.
    with page.expect_console_message(lambda message: "as it should be" in message.text):
        page.evaluate("fetch('http://127.0.0.1:9/').catch(() => console.error('as it should be'))")
    assert watch.elsewhere == ["http://127.0.0.1:9/"]
    assert "as it should be" in watch.complaints
    watch.elsewhere.clear()
    watch.complaints.clear()

"""For everybody: small screens, keyboards, paper, both palettes, and an outside checker of accessibility."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import expect

from tests.browser.interview import WATER_HEATER, Interview

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SIDEWAYS = "document.documentElement.scrollWidth - window.innerWidth"


def question_before_report(interview: Interview) -> str:
    """The last question answered, as the address holds it."""
    held = parse_qs(urlsplit(interview.page.url).fragment)
    return [name for name in held if name.startswith("a.")][-1].removeprefix("a.")


def report(interview: Interview) -> Interview:
    return interview.open_report(WATER_HEATER)


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize("width", [320, 360, 1280])
def test_no_screen_has_to_be_pushed_sideways(interview, width):
    interview.page.set_viewport_size({"width": width, "height": 740})
    interview.open()
    assert interview.page.evaluate(SIDEWAYS) <= 0
    interview.choose_pack("za")
    for _ in range(60):
        assert interview.page.evaluate(SIDEWAYS) <= 0, interview.shown()
        if interview.shown() is None:
            break
        interview.answer(WATER_HEATER.get(interview.shown(), "dont-know"))
    interview.page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    assert interview.page.evaluate(SIDEWAYS) <= 0


def test_whatever_is_chosen_or_pressed_is_at_least_44_pixels_high(interview):
    interview.open().choose_pack("za").wait_ready()
    for _ in range(14):
        small = interview.page.locator("#sw-view").evaluate(
            "view => [...view.querySelectorAll('.sw-choice, button, .sw-input, summary, .sw-back')]"
            ".filter(e => e.getBoundingClientRect().height < 44).map(e => e.textContent)"
        )
        assert small == [], interview.shown()
        interview.answer(WATER_HEATER.get(interview.shown(), "dont-know"))


def test_a_keyboard_is_enough(interview):
    # Ready first: what is shown before that is tested in test_loading.
    page = interview.open().wait_ready().page
    keys = page.keyboard
    page.locator("#sw-start input").first.focus()
    keys.press("ArrowDown")
    page.get_by_role("button", name="Answer every question").focus()
    keys.press("Enter")
    asked = 0
    while question := interview.shown():
        expect(interview.title).to_be_focused()
        keys.press("Tab")
        if page.locator("form[data-kind=number]").count() == 0:
            keys.press("Space")  # the first answer, whatever it is
        elif question in WATER_HEATER:
            keys.type(WATER_HEATER[question])
        else:
            keys.press("Tab")
            keys.press("Tab")
            expect(page.get_by_role("button", name="I don’t know")).to_be_focused()
        keys.press("Enter")
        page.locator(f'form[data-question="{question}"]').wait_for(state="detached")
        asked += 1
    assert asked > 15
    expect(interview.title).to_be_focused()
    # Back is reached backwards from the heading.
    keys.press("Shift+Tab")
    expect(page.get_by_role("link", name="Back")).to_be_focused()
    keys.press("Enter")
    interview.arrives(question_before_report(interview))
    # A fold opens by key, too.
    page.locator("summary", has_text="Why we ask").focus()
    keys.press("Enter")
    expect(page.locator("details", has_text="Why we ask").locator("p").first).to_be_visible()


def test_what_has_the_focus_can_be_seen_and_is_not_under_the_header(interview):
    page = report(interview).page
    for _ in range(25):
        page.keyboard.press("Tab")
        covered = page.evaluate("""() => {
          const it = document.activeElement, box = it.getBoundingClientRect();
          const header = document.querySelector('.md-header');
          if (it === document.body || header.contains(it) || it.classList.contains('md-skip')) return false;
          return box.bottom <= header.getBoundingClientRect().bottom;
        }""")
        assert not covered
        style = page.evaluate("() => { const s = getComputedStyle(document.activeElement); return s.outlineStyle; }")
        assert style != "none", page.evaluate("document.activeElement.outerHTML.slice(0, 200)")


def test_outcomes_differ_by_word_and_shape_not_by_colour_alone(interview):
    page = report(interview).page
    for place in (".sw-headline", ".sw-part .sw-outcome", ".sw-finding .sw-outcome"):
        for outcome in page.locator(place).all():
            assert outcome.locator("svg").count() == 1
            assert outcome.text_content().strip()


def test_paper_has_what_one_page_holds_and_on_demand_all_that_the_screen_folds_away(interview):
    page = report(interview).page
    # window.print() blocks without a printer; the two events around it are what the page listens to.
    page.evaluate("window.print = () => {}")
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator("#sw-view details:not([open])").count() == 0
    expect(page.get_by_role("button", name="Save the report")).to_be_hidden()
    expect(page.locator(".md-header")).to_be_hidden()
    expect(page.get_by_text("Prove 0 V")).to_be_visible()
    expect(page.locator(".sw-sources").first).to_be_hidden()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator("#sw-view details[open]").count() == 0
    page.emulate_media(media="screen")
    interview.unfold("Get this verdict again").get_by_role("button", name="Print everything").click()
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    expect(page.locator(".sw-sources").first).to_be_visible()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(page.locator(".sw-sources").first).to_be_hidden()


def test_paper_is_white_with_dark_letters_also_in_the_dark_palette(interview):
    page = interview.page
    page.emulate_media(color_scheme="dark")
    report(interview)
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.emulate_media(color_scheme="dark", media="print")
    # Waited for: links change their colour over an eighth of a second.
    page.wait_for_function("""() => {
      const seen = [...document.querySelectorAll('.sw-report *')].filter((e) => e.getClientRects().length && e.textContent.trim());
      const light = (e) => getComputedStyle(e).color.match(/[\\d.]+/g).slice(0, 3)
        .reduce((sum, part, place) => sum + part * [0.299, 0.587, 0.114][place], 0);
      const brightest = Math.max(...seen.map(light));
      return seen.length > 50 && brightest < 130;
    }""")


def test_all_of_a_report_on_paper_stays_a_thing_to_carry(interview):
    page = report(interview).page
    page.emulate_media(media="print")
    page.evaluate("document.documentElement.classList.add('sw-printing-all')")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    sheets = re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4"))
    # Every rule with its source, every figure, what was asked and answered.
    assert 10 < len(sheets) < 40
    expect(page.get_by_role("heading", name="When it should run")).to_be_hidden()  # an empty form is no news


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize(("pack", "folder"), [("za", "za"), ("gb@2018-A2", "gb-2018-a2")])
def test_every_look_up_link_of_a_report_leads_to_what_its_edition_says(interview, site, pack, folder):
    page = interview.open_report(WATER_HEATER, pack=pack).page
    places = page.locator("#sw-view a[href*='/reference/']").evaluate_all("all => [...new Set(all.map(a => a.href))]")
    assert places
    visited: dict[str, str] = {}
    for place in places:
        address, _, anchor = place.partition("#")
        path = Path(site.folder) / address.removeprefix(site.url) / "index.html"
        assert path.is_file(), place
        assert f"/reference/{folder}/" in address
        text = visited.setdefault(address, path.read_text(encoding="utf-8"))
        assert not anchor or f'id="{anchor}"' in text, place


@pytest.mark.sampled(one_in=8)
@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize("palette", ["light", "dark"])
@pytest.mark.parametrize("screen", ["home", "start", "choice", "number", "error", "report"])
def test_axe_finds_nothing(interview, site, palette, screen):
    page = interview.page
    page.emulate_media(color_scheme=palette, reduced_motion="reduce")
    # Tall enough that nothing lies under the header, where axe could not tell its colours.
    page.set_viewport_size({"width": 360, "height": 2000})
    if screen == "home":
        page.goto(site.url)
    elif screen == "report":
        report(interview)
        page.evaluate("document.querySelectorAll('#sw-view details').forEach(d => { d.open = true; })")
    else:
        interview.open().wait_ready()
        if screen != "start":
            interview.choose_pack("za").shown()
        while screen in ("number", "error") and page.locator("form[data-kind=number]").count() == 0:
            interview.answer(WATER_HEATER.get(interview.shown(), "dont-know"))
        if screen == "error":
            page.get_by_role("button", name="Continue").click()
    nothing_found(page)


def nothing_found(page):
    assert AXE.is_file(), "axe-core is not installed: run `make setup`"
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    page.evaluate("window.scrollTo(0, 0)")  # so that the header lies over nothing
    found = page.evaluate("tags => axe.run({ runOnly: tags })", TAGS)
    assert [(v["id"], [n["html"][:160] for n in v["nodes"]]) for v in found["violations"]] == []
    # What axe cannot decide counts as found. Letters in a drawing it never can: those are held against their ground here.
    left = [(v["id"], n) for v in found["incomplete"] for n in v["nodes"] if not _letters_of_a_drawing(n)]
    assert [(rule, n["html"][:160], [a["message"] for a in n["any"]]) for rule, n in left] == []
    assert page.evaluate(WEAK_LETTERS) == []


def _letters_of_a_drawing(node) -> bool:
    why = {a["data"]["messageKey"] for a in node["any"]}
    return node["html"].startswith("<text") and why <= {"imgNode", "shortTextContent", "bgOverlap"}


# Contrast by WCAG 2.2 (relative luminance) of every letter in a drawing against the nearest ground that lets nothing through.
WEAK_LETTERS = """() => {
  const parts = (text) => text.match(/[\\d.]+/g).map(Number);
  const bright = ([r, g, b]) => [r, g, b].map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
    .reduce((sum, v, place) => sum + v * [0.2126, 0.7152, 0.0722][place], 0);
  const ground = (e) => {
    for (; e; e = e.parentElement) {
      const colour = parts(getComputedStyle(e).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
    }
    return [255, 255, 255];
  };
  return [...document.querySelectorAll('#sw-view svg text')].filter((e) => e.getClientRects().length).map((e) => {
    const [a, b] = [bright(parts(getComputedStyle(e).fill)), bright(ground(e))].sort((x, y) => y - x);
    return [(a + 0.05) / (b + 0.05), e.outerHTML.slice(0, 120)];
  }).filter(([ratio]) => ratio < 4.5);
}"""


FITS = ROOT / "scenarios" / "bakery-proving-heater.toml"
# Answers that lead to each headline, and the states that a report or a question can be put into.
STATES = {
    "stop": {"isolation": "none"}, "call": {**WATER_HEATER, "worker": "unlicensed"}, "find-out": {},
    "change": {**WATER_HEATER, "cable_size": "1.5 mm2"}, "fits": None, "worksheet": WATER_HEATER, "picture": WATER_HEATER,
}  # fmt: skip


@pytest.mark.sampled(one_in=6)
@pytest.mark.parametrize("state", STATES)
def test_axe_finds_nothing_on_the_smallest_screen_nor_in_the_dark_with_letters_twice_as_large(interview, state):
    page = interview.page
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    page.set_viewport_size({"width": 320, "height": 2000})
    case = tomllib.loads(FITS.read_text(encoding="utf-8"))
    answers = {
        name: str(value).lower() if isinstance(value, bool) else str(value) for name, value in case["answers"].items()
    }
    interview.open_report(
        answers if STATES[state] is None else STATES[state], pack=case["pack"] if state == "fits" else "za"
    )
    if state in ("worksheet", "picture"):
        interview.page.goto(f"{page.url}&at={'worksheet' if state == 'worksheet' else 'method'}")
        page.locator(".sw-worksheet, form[data-question=method]").wait_for()
    else:
        assert page.locator(f".sw-headline.sw-head-{state}").count() == 1
    if state == "change":
        page.get_by_role("button", name="Show the job sheet").click()
        page.locator(".sw-sheet-title").wait_for()
        page.evaluate("document.querySelectorAll('#sw-view details').forEach(d => { d.open = true; })")
        page.get_by_role("checkbox").first.check()
        page.get_by_role("button", name="Compare", exact=True).click()
        page.get_by_role("region", name="Verdicts").wait_for()
        page.get_by_label("On", exact=True).fill("22:00")
        page.get_by_label("Off", exact=True).fill("02:00")
        page.get_by_role("button", name="Work out the schedule").click()
        page.locator(".sw-plan-week").wait_for()
    page.evaluate("document.querySelectorAll('#sw-view details').forEach(d => { d.open = true; })")
    assert page.evaluate(SIDEWAYS) <= 0
    nothing_found(page)
    # Letters twice as large: the theme's own are 125 % of the browser's.
    page.set_viewport_size({"width": 640, "height": 2000})
    page.evaluate("document.documentElement.style.fontSize = '250%'")
    page.evaluate("document.body.setAttribute('data-md-color-scheme', 'slate')")
    assert page.evaluate(SIDEWAYS) <= 0
    nothing_found(page)


@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("palette", ["light", "dark"])
def test_axe_finds_nothing_on_the_plain_pages(page, site, palette):
    page.emulate_media(color_scheme=palette)
    page.set_viewport_size({"width": 320, "height": 740})
    folder = Path(site.folder) / "plain" / "za"
    ends = {word: path.name for path in folder.glob("*.html") for word in ("stop", "call", "find-out")
            if f'class="end {word}"' in path.read_text(encoding="utf-8")}  # fmt: skip
    assert len(ends) == 3
    for place in ("", "za/", *(f"za/{name}" for name in ends.values())):
        page.goto(f"{site.url}plain/{place}")
        page.evaluate(AXE.read_text(encoding="utf-8"))
        found = page.evaluate("tags => axe.run(document, { runOnly: tags })", TAGS)
        assert [(one["id"], place) for one in (*found["violations"], *found["incomplete"])] == []
        assert page.evaluate(SIDEWAYS) <= 0
        small = "[...document.querySelectorAll('.answers a, summary')].filter(e => e.getBoundingClientRect().height < 44).length"
        assert page.evaluate(small) == 0, place

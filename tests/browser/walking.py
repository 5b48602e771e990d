"""Walking the short run as a person does: screen after screen, every tap and every word counted."""

from __future__ import annotations

from collections.abc import Mapping

from playwright.sync_api import Locator, Page

SCREEN = "form[data-screen]"
END = ".sw-report, .sw-short-page"
# What can be read without a tap. The print on a drawing is looked at, not read.
WORDS = """view => {
  const drawings = [...view.querySelectorAll('svg')];
  for (const drawing of drawings) drawing.style.display = 'none';
  const text = view.innerText;
  for (const drawing of drawings) drawing.style.display = '';
  return text;
}"""


class Walk:
    """One run on one page. `answers`: by question; what is not named is not known."""

    def __init__(self, page: Page, answers: Mapping[str, object]) -> None:
        self.page, self.answers = page, answers
        self.given: dict[str, str] = {}
        self.screens: list[str] = []
        self.places: list[str] = []
        self.taps = self.words = 0

    def begin(self, address: str, pack: str) -> Walk:
        self.page.goto(address)
        self.page.locator(f'input[name=pack][value="{pack}"]').check()
        self.page.get_by_role("button", name="Continue").click()
        self.taps += 2
        return self

    def to_the_end(self) -> Walk:
        """Until the short verdict or the report stands there, and nothing on it is known to be otherwise."""
        for _ in range(16):
            self.page.locator(f"{SCREEN}, {END}").first.wait_for()
            form = self.page.locator(SCREEN)
            if form.count():
                self._screen(form)
            elif not self._otherwise():
                return self
        raise AssertionError(f"twelve screens and no end: {self.screens}")

    def _screen(self, form: Locator) -> None:
        name = form.get_attribute("data-screen") or ""
        self.screens.append(name)
        self.places.append(self.page.locator(".sw-place").inner_text())
        left = self.page.locator(f"{SCREEN}[data-screen={name}]")
        self._read()
        while self._answer_one(left):
            if not left.count():
                return
        self._read(again=True)
        self.page.get_by_role("button", name="Next").click()
        self.taps += 1
        left.wait_for(state="detached")

    def _otherwise(self) -> bool:
        """Answers a line of the short verdict that the answers say is otherwise; whether there was one."""
        lines = self.page.locator(".sw-short-page li[data-question]")
        for question in lines.evaluate_all("all => all.map(li => li.dataset.question)"):
            if question in self.answers and question not in self.given:
                value = self.given[question] = str(self.answers[question])
                line = self.page.locator(f'.sw-short-page li[data-question="{question}"]')
                line.get_by_role("button", name="It is different").click()
                line.locator(f'[data-value="{value}"]').click()
                self.taps += 2
                line.wait_for(state="detached")
                return True
        return False

    def _answer_one(self, form: Locator) -> bool:
        """Answers the first question that has no answer; whether there was one."""
        self._settled()
        for ask in form.locator(".sw-ask").all():
            question = ask.get_attribute("data-question") or ""
            if question in self.given:
                continue
            value = str(self.answers.get(question, "dont-know"))
            value = {"True": "true", "False": "false"}.get(value, value)
            self.given[question] = value
            self.taps += 1
            if ask.get_attribute("data-kind") == "number" and value not in ("dont-know", "not-stated"):
                ask.locator("input").fill(value)
                ask.locator("input").press("Tab")
            else:
                ask.locator(f'[data-value="{value}"]').click()
            self._settled()
            return True
        return False

    def _settled(self) -> None:
        """Waits until the page has drawn what the last answer changed, or has gone on."""
        self.page.locator("#sw-view [aria-busy=true]").wait_for(state="detached")

    def tick_all(self) -> int:
        """Taps "It is so" at every line of the short verdict; how often."""
        page = self.page.locator(".sw-short-page")
        ticks = 0
        while page.count() and (open_ := page.locator("li:not(.sw-is-so) > .sw-picks > [aria-pressed=false]")).count():
            open_.first.click()
            ticks += 1
        self.taps += ticks
        return ticks

    def read_the_end(self) -> None:
        """Counts the words of the short verdict."""
        self._read()

    def _read(self, again: bool = False) -> None:
        """Counts the words on the screen; `again`: only those that have come since."""
        words = len(self.page.locator("#sw-view").evaluate(WORDS).split())
        self.words += max(0, words - self._seen) if again else words
        self._seen = words

    _seen = 0

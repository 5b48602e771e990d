"""The check page against a page that only boots bare Pyodide: bytes of the first load, and time until Python is ready.

    make bench

Same server, same browser, runs of the two taken in turn, each in a fresh profile. Read the ratio, not the seconds.
"""

from __future__ import annotations

import gzip
import statistics
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
RUNS = 5
BARE = """<!doctype html><meta charset="utf-8"><title>bare</title><p id="sw-status">loading</p>
<script type="module">
const { loadPyodide } = await import("./pyodide/pyodide.mjs");
const pyodide = await loadPyodide({ indexURL: "./pyodide/" });
pyodide.runPython("1 + 1");
document.getElementById("sw-status").textContent = "The checker is ready.";
</script>"""


def main() -> int:
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import FLAGS
    from tests.browser.serving import Site

    times: dict[str, list[float]] = {"check page": [], "bare Pyodide": []}
    question: list[float] = []
    fetched: dict[str, set[str]] = {name: set() for name in times}
    with Site(ROOT / "site") as site, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        for _ in range(RUNS):
            for name in times:
                context = browser.new_context()
                page = context.new_page()
                page.route("**/bare.html", lambda route: route.fulfill(body=BARE, content_type="text/html"))
                page.on("response", lambda response, name=name: fetched[name].add(response.url))
                begin = time.perf_counter()
                page.goto(site.url + ("check/" if name == "check page" else "bare.html"), wait_until="commit")
                if name == "check page":
                    page.wait_for_selector("#sw-title")
                    question.append(time.perf_counter() - begin)
                page.locator("#sw-status", has_text="ready").wait_for(state="attached")
                times[name].append(time.perf_counter() - begin)
                context.close()
        browser.close()
        sizes = {name: sum(packed(site.url, url) for url in urls) for name, urls in fetched.items()}
    print(f"{'':16}{'Python ready':>14}{'first load, gzip':>20}{'files':>8}")
    for name in times:
        print(f"{name:16}{statistics.median(times[name]):12.2f} s{sizes[name]:>18,} B{len(fetched[name]):8}")
    ready, bare = (statistics.median(times[name]) for name in times)
    print(f"ratio           {ready / bare:12.2f}  {sizes['check page'] / sizes['bare Pyodide']:>18.2f}")
    print(f"first question on screen after {statistics.median(question):.2f} s (median of {RUNS})")
    return 0


def packed(base: str, url: str) -> int:
    """Bytes of one fetched file as gzip would send them; pages by their folder's index."""
    path = ROOT / "site" / url.partition("?")[0].partition("#")[0].removeprefix(base)
    path = path / "index.html" if path.is_dir() else path
    return len(gzip.compress(path.read_bytes(), 9)) if path.is_file() else 0


if __name__ == "__main__":
    sys.exit(main())

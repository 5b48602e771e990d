"""The check page on a slow telephone: first and second visit, against a page that boots bare Pyodide as it comes.

    python benchmarks/phone.py [--runs 3] [--fast]

Same server (which packs with gzip), same browser, the pages taken in turn, each run in a fresh profile. The line is the
browser's own "slow 4G" (1.6 Mbit/s down, 0.75 up, 150 ms), the page's thread four times slower; the browser slows the
line of a worker too, but not its thread. So both boot Python in a worker, and their ratio is one of like with like.
Steps are timed inside the page, by a script that answers as soon as it can: what a person could have reached.

`--fast` leaves line and thread alone. Read the ratios; say the machine's load beside the seconds.
"""

from __future__ import annotations

import argparse
import contextlib
import gzip
import os
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import defaultdict
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
NPM = ROOT / "node_modules" / "pyodide"
TYPES = {".html": "text/html", ".mjs": "text/javascript", ".js": "text/javascript", ".json": "application/json",
         ".css": "text/css", ".wasm": "application/wasm", ".svg": "image/svg+xml"}  # fmt: skip
SLOW_4G = {"offline": False, "latency": 150, "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 0.75e6 / 8}
PATIENCE = 300_000  # milliseconds

WORKER_PAGE = """<!doctype html><meta charset="utf-8"><title>{name}</title><p id="sw-status">loading</p>
<script type="module">
const worker = new Worker("./{name}.mjs", {{ type: "module" }});
worker.onmessage = () => {{ document.getElementById("sw-status").textContent = "Python is ready."; }};
</script>"""
BARE = """import { loadPyodide } from "./bare/pyodide.mjs";
const pyodide = await loadPyodide({ indexURL: new URL("./bare/", import.meta.url).href });
pyodide.runPython("1 + 1");
postMessage("ready");"""
# What the page would be if the memory came from the server in place of the wheel.
SHIPPED = """import { loadPyodide } from "./pyodide/pyodide.mjs";
import { boot } from "./spareway/boot.mjs";
const HOME = new URL("./pyodide/", import.meta.url);
const [lock, memory] = await Promise.all([
  fetch(new URL("pyodide-lock.json", HOME)).then((response) => response.json()),
  fetch("./memory.bin").then((response) => response.arrayBuffer()),
]);
const options = { indexURL: HOME.href, lockFileContents: lock, _loadSnapshot: new Uint8Array(memory) };
const { handle } = await boot(loadPyodide, options);
JSON.parse(handle("")).error.where;
postMessage("ready");"""
MAKE_MEMORY = """
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
const [root, folder, out] = process.argv.slice(1);
const { boot } = await import(pathToFileURL(root + "/checker/web/spareway/boot.mjs").href);
const { loadPyodide } = await import(pathToFileURL(folder + "pyodide.mjs").href);
const lock = JSON.parse(readFileSync(folder + "pyodide-lock.json", "utf8"));
const wheel = readFileSync(folder + lock.packages.spareway.file_name);
writeFileSync(out, (await boot(loadPyodide, { indexURL: folder, _makeSnapshot: true }, wheel)).snapshot());
"""
# Runs before the page's own scripts: notes when what is on the screen, and answers without a moment's thought.
OBSERVE = """
const seen = window.seen = {};
const note = (what) => { seen[what] ??= performance.now(); };
const press = (form, value) => {
  const radio = form.querySelector(`input[value="${value}"]`);
  if (!radio || form.dataset.pressed) return;
  form.dataset.pressed = "yes";
  radio.checked = true;
  form.requestSubmit(form.querySelector("[type=submit]"));
};
new MutationObserver(() => {
  const start = document.getElementById("sw-start");
  if (start && document.getElementById("sw-lang")) { note("answerable"); press(start, "za"); }
  const asked = document.querySelector("form[data-question=isolation]");
  if (asked) { note("early question"); press(asked, "none"); }
  if (document.querySelector(".sw-early, .sw-report, .sw-settled")) note("stop");
  if (/ready/.test(document.getElementById("sw-status")?.textContent)) note("ready");
}).observe(document, { subtree: true, childList: true, characterData: true });
"""
CHANGE_WORKSHEET = """async (metres) => {
  const field = document.getElementById("sw-w-run_length_m");
  const old = document.querySelector(".sw-worksheet-verdict > p");
  const begin = performance.now();
  field.value = metres;
  field.dispatchEvent(new Event("change"));
  while (old.isConnected) await new Promise((done) => setTimeout(done));
  return performance.now() - begin;
}"""
CHANGE_REPORT = """async (address) => {
  const old = document.querySelector(".sw-report");
  const begin = performance.now();
  location.hash = address;
  while (old.isConnected || !document.querySelector(".sw-report")) await new Promise((done) => setTimeout(done));
  return performance.now() - begin;
}"""


class Server(ThreadingHTTPServer):
    """Serves the site and `extra` (path to bytes), packed as a host would; `sent` holds when a body went out, and its bytes."""

    daemon_threads = True

    def __init__(self, site: Path, extra: dict[str, bytes]) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.site, self.extra = site, extra
        self.url = f"http://127.0.0.1:{self.server_port}/"
        self.sent: list[tuple[float, int]] = []
        self.packed: dict[str, bytes] = {}
        threading.Thread(target=self.serve_forever, daemon=True).start()

    def body(self, path: str) -> bytes | None:
        if path not in self.packed:
            file = self.site / path
            file = file / "index.html" if file.is_dir() else file
            plain = self.extra.get(path) or (file.read_bytes() if file.is_file() else None)
            if plain is None:
                return None
            self.packed[path] = gzip.compress(plain, 9)
        return self.packed[path]


class Handler(BaseHTTPRequestHandler):
    server: Server
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        path = self.path.partition("?")[0].lstrip("/")
        body = self.server.body(path)
        self.send_response(404 if body is None else 200)
        self.send_header(
            "Content-Type",
            TYPES.get(Path(path).suffix, "application/octet-stream" if Path(path).suffix else "text/html"),
        )
        if body is not None:
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Cache-Control", "no-cache" if path == "sw.js" else "max-age=3600")
        self.send_header("Content-Length", str(len(body or b"")))
        self.end_headers()
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            self.wfile.write(body or b"")
            self.server.sent.append((time.time(), len(body or b"")))

    def log_message(self, format: str, *args: object) -> None:
        pass


def memory() -> bytes:
    """Python's memory after its start, made under Node as a build would."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "memory.bin"
        names = [str(ROOT), f"{ROOT}/site/pyodide/", str(out)]
        subprocess.run(["node", "--input-type=module", "--eval", MAKE_MEMORY, *names], check=True)
        return out.read_bytes()


def visit(context: Any, url: str, fast: bool) -> Any:
    """A page on its way to `url`, on a slow line and a slow machine unless `fast`."""
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    if not fast:
        devtools = context.new_cdp_session(page)
        devtools.send("Network.enable")
        devtools.send("Network.emulateNetworkConditions", SLOW_4G)
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    page.add_init_script(OBSERVE)
    page.goto(url, wait_until="commit")
    return page


def times(page: Any) -> dict[str, float]:
    """What was seen when, in seconds since the address was opened."""
    until(page, "() => seen.ready")
    seen = page.evaluate("seen")
    paints = page.evaluate("performance.getEntriesByName('first-contentful-paint').map((entry) => entry.startTime)")
    return {name: value / 1000 for name, value in {**seen, "first paint": paints[0] if paints else 0}.items()}


def wait_kept(page: Any) -> None:
    """Until the release and Python's memory are kept for the next visit."""
    until(
        page,
        """async () => {
          if (!/without a network/.test(document.getElementById("sw-status").textContent)) return false;
          const name = (await caches.keys()).find((one) => one.startsWith("spareway-python-"));
          return Boolean(name && await (await caches.open(name)).match(new URL("../spareway/memory", location)));
        }""",
    )


def until(page: Any, true: str) -> None:
    """Waits for a function of the page. Playwright's own waiting evaluates text in the page, which its policy forbids."""
    end = time.monotonic() + PATIENCE / 1000
    while not page.evaluate(true):
        if time.monotonic() > end:
            raise TimeoutError(f"not true after {PATIENCE / 1000:.0f} s: {true}")
        time.sleep(0.2)


def measure(browser: Any, server: Server, runs: int, fast: bool) -> tuple[dict, dict]:
    """`{page: {visit: {what: [seconds]}}}` and the bytes until Python is ready, by page and visit."""
    found: dict = defaultdict(lambda: defaultdict(lambda: defaultdict(list)))
    sent: dict = defaultdict(dict)

    def one(context: Any, name: str, path: str, which: str) -> Any:
        server.sent.clear()
        page = visit(context, server.url + path, fast)
        for what, seconds in times(page).items():
            found[name][which][what].append(seconds)
        # What is kept for later is asked for from then on, and is another figure.
        ready = page.evaluate("performance.timeOrigin + seen.ready") / 1000
        sent[name][which] = sum(size for at, size in server.sent if at <= ready)
        return page

    for _ in range(runs):
        for name, path in (("check page", "check/"), ("bare Pyodide", "bare.html")):
            context = browser.new_context(viewport={"width": 360, "height": 740})
            first = one(context, name, path, "first visit")
            if name == "check page":
                wait_kept(first)
                sent[name]["first visit and kept"] = sum(size for _, size in server.sent)
            first.close()
            one(context, name, path, "second visit")
            context.close()
        context = browser.new_context(viewport={"width": 360, "height": 740})
        one(context, "memory from the server", "shipped.html", "first visit")
        context.close()
    return found, sent


def rechecks(browser: Any, server: Server) -> dict[str, list[float]]:
    """Milliseconds from a changed answer to its new verdict on the screen; nothing is slowed."""
    from tests.browser.interview import WATER_HEATER

    fields = {"pack": "za", **{f"a.{name}": value for name, value in WATER_HEATER.items()}}
    lengths = [str(metres) for metres in range(10, 25)]
    context = browser.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(f"{server.url}check/#{urlencode(fields)}&at=worksheet")
    page.locator("#sw-w-run_length_m").wait_for()
    worksheet = [page.evaluate(CHANGE_WORKSHEET, metres) for metres in lengths]
    page.goto(f"{server.url}check/#{urlencode(fields)}&at=report")
    page.locator(".sw-report").wait_for()
    report = [
        page.evaluate(CHANGE_REPORT, "#" + urlencode({**fields, "a.run_length_m": metres, "at": "report"}))
        for metres in lengths
    ]
    context.close()
    return {"verdict on the worksheet": worksheet, "whole report, with what would make it fit": report}


def main() -> int:
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import FLAGS

    parser = argparse.ArgumentParser(prog="python benchmarks/phone.py", description=__doc__.partition("\n")[0])
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--fast", action="store_true", help="leave line and thread alone")
    options = parser.parse_args()
    kept = memory()
    extra = {"bare.html": WORKER_PAGE.format(name="bare").encode(), "bare.mjs": BARE.encode(),
             "shipped.html": WORKER_PAGE.format(name="shipped").encode(), "shipped.mjs": SHIPPED.encode(),
             "memory.bin": kept}  # fmt: skip
    for file in ("pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json"):
        extra[f"bare/{file}"] = (NPM / file).read_bytes()
    server = Server(ROOT / "site", extra)
    print(f"load at the start: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors, {time.strftime('%H:%M')}")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        found, sent = measure(browser, server, options.runs, options.fast)
        checks = rechecks(browser, server)
        browser.close()
    server.shutdown()
    show(found, sent, checks, kept, options.runs)
    print(f"load at the end: {os.getloadavg()[0]:.1f}, {time.strftime('%H:%M')}")
    return 0


def show(found: dict, sent: dict, checks: dict, kept: bytes, runs: int) -> None:
    steps = ("first paint", "answerable", "early question", "stop", "ready")
    print(f"\nmedian of {runs}, seconds{'':8}" + "".join(f"{step:>15}" for step in steps) + f"{'bytes':>13}")
    for name, visits in found.items():
        for which, whats in visits.items():
            row = "".join(
                f"{statistics.median(whats[step]):15.2f}" if whats.get(step) else f"{'':15}" for step in steps
            )
            print(f"{name + ', ' + which:36.36}{row}{sent[name][which]:13,}")
    page, bare = found["check page"], found["bare Pyodide"]

    def ready(visits: dict, which: str) -> float:
        return statistics.median(visits[which]["ready"])

    print(f"bytes until everything is kept too: {sent['check page']['first visit and kept']:,}")
    print(
        f"Python ready, second visit : bare first visit   {ready(page, 'second visit') / ready(bare, 'first visit'):.3f}"
    )
    print(
        f"Python ready, second visit : bare second visit  {ready(page, 'second visit') / ready(bare, 'second visit'):.3f}"
    )
    print(
        f"bytes of the first visit : bare  {sent['check page']['first visit'] / sent['bare Pyodide']['first visit']:.2f}"
    )
    packed = len(gzip.compress(kept, 9))
    wait = packed / SLOW_4G["downloadThroughput"]
    print(f"memory made under Node: {len(kept):,} bytes, {packed:,} with gzip, {wait:.0f} s on slow 4G")
    for what, took in checks.items():
        print(
            f"changed answer, {what}: {statistics.median(took):.0f} ms "
            f"(from {min(took):.0f} to {max(took):.0f}), nothing slowed"
        )


if __name__ == "__main__":
    sys.exit(main())

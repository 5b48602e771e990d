"""The whole interview in the two other engines that phones have: Gecko (Firefox ESR) and WebKit (WebKitGTK).

Chromium does it by clicks in tests/browser. Here a script in the page presses the buttons, so the page, the worker, Python
and the rules run for real, but touch and keyboard do not. What cannot run at all in CI: Safari on a telephone.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.support.wait import WebDriverWait
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

from checker.core.api import handle
from tests.browser.interview import WATER_HEATER
from tests.browser.serving import Site

# Selenium warns of itself.
OWN = "ignore:setting remote_server_addr:DeprecationWarning"
pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.filterwarnings(OWN)]

ROOT = Path(__file__).resolve().parents[2]
DRIVE = (ROOT / "tests" / "runtimes" / "drive.js").read_text(encoding="utf-8")
PACK = "iec"


@pytest.fixture(scope="module")
def site() -> Iterator[Site]:
    assert (ROOT / "site" / "check" / "index.html").is_file(), "the site is not built: run make site"
    with Site(ROOT / "site") as serving:
        yield serving


def program(*names: str) -> str:
    found = next((path for name in names if (path := shutil.which(name))), None)
    assert found, f"{names[0]} is missing: tools/system-packages names the Debian package"
    return found


def same_as_the_core(found: dict[str, Any]) -> None:
    """The report of the page, judged again here from the answers it says it was given: byte for byte the same."""
    report = json.loads(found["report"])
    assert found["asked"] > 15
    request = {"format": 1, "ask": "check", "pack": PACK, "edition": None, "as_of": report["as_of"], "confirmed": []}
    assert handle(json.dumps(request | {"answers": report["answers"]})) == found["report"]
    given = {key: value for key, value in report["answers"].items() if value not in ("dont-know", True, False)}
    assert given == {key: WATER_HEATER[key] for key in given}
    assert len(given) > 10


def test_firefox_holds_the_whole_interview(site):
    command = ["node", "tests/runtimes/firefox.mjs", program("firefox-esr", "firefox"), f"{site.url}check/", PACK]
    done = subprocess.run([*command, json.dumps(WATER_HEATER)], cwd=ROOT, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr[-2000:]
    same_as_the_core(json.loads(done.stdout))


@pytest.fixture
def screen(monkeypatch) -> Iterator[None]:
    """A screen of its own for a browser that has no mode without one."""
    command = [program("Xvfb"), "-displayfd", "1", "-screen", "0", "800x600x24"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as running:
        monkeypatch.setenv("DISPLAY", f":{running.stdout.readline().decode().strip()}")
        yield
        running.terminate()


@pytest.fixture
def webkit(monkeypatch, screen) -> Iterator[webdriver.WebKitGTK]:
    # Its sandbox needs rights that a container does not give.
    monkeypatch.setenv("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1")
    browsers = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    assert browsers, "MiniBrowser of WebKitGTK is missing: tools/system-packages names the Debian package"
    options = Options()
    options.binary_location = str(browsers[-1])
    options.add_argument("--automation")
    driver = webdriver.WebKitGTK(options=options, service=Service(program("WebKitWebDriver")))
    yield driver
    driver.quit()


def test_webkit_holds_the_whole_interview(site, webkit):
    webkit.set_script_timeout(600)
    webkit.get(f"{site.url}check/")
    WebDriverWait(webkit, 180).until(lambda driver: driver.find_elements(By.ID, "sw-start"))
    run = f"({DRIVE})(arguments[0], arguments[1]).then(done, (fault) => done({{ failed: String(fault) }}));"
    script = f"const done = arguments[arguments.length - 1]; {run}"
    found = webkit.execute_async_script(script, PACK, WATER_HEATER)
    assert "failed" not in found, found
    same_as_the_core(found)

"""Brings README up to date with what the program says.

python tools/readme.py             the verdict it shows
python tools/readme.py --picture   the picture too: the same verdict on the check page, from the built site (make site)
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import threading
import tomllib
from datetime import datetime
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parents[1]
README = ROOT / "README.md"
PICTURE = ROOT / "docs/assets/verdict.png"
SHOWN = re.compile(r"(`spareway (check (\S+))` begins:\n\n```\n)(.*?)(```)", re.DOTALL)
BLANK = "\n\n"
SCREEN = {"width": 360, "height": 740}
MARGIN = 12


def beginning(command: str) -> str:
    """What the command prints on a terminal of 80 columns, up to the step to take next."""
    said = subprocess.run(
        [sys.executable, "-m", "checker.cli", *command.split()],
        cwd=ROOT, env={**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"},
        capture_output=True, text=True, encoding="utf-8",
    )  # fmt: skip
    if said.returncode > 2:
        raise SystemExit(said.stderr)
    head, sizing, rest = said.stdout.partition("\n  Sizing: ")
    return f"{head}{sizing}{rest.partition(BLANK)[0]}\n"


def take_picture(case: Path) -> None:
    from playwright.sync_api import sync_playwright

    sys.path.insert(0, str(ROOT))
    from tools.serve import start

    held = tomllib.loads(case.read_text("utf-8"), parse_float=str)
    answers = {
        f"a.{name}": str(value).lower() if isinstance(value, bool) else value for name, value in held["answers"].items()
    }
    server = start(ROOT / "site", 0)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = (
        f"http://127.0.0.1:{server.server_port}/check/#{urlencode({'pack': held['pack'], **answers, 'at': 'report'})}"
    )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport=SCREEN, color_scheme="light")
        page.clock.set_fixed_time(datetime.fromisoformat(f"{held['as_of']}T12:00:00"))
        page.goto(address)
        page.locator(".sw-report").wait_for(timeout=120_000)
        # The verdict's box to the end of who and sizing, as on a phone.
        top, foot = page.locator(".sw-headline").bounding_box(), page.locator(".sw-parts").bounding_box()
        clip = {"x": 0, "y": top["y"] - MARGIN, "width": SCREEN["width"]}
        clip["height"] = foot["y"] + foot["height"] - clip["y"] + MARGIN
        page.screenshot(path=PICTURE, full_page=True, clip=clip)
        browser.close()
    server.shutdown()


def main(arguments: list[str]) -> int:
    text = README.read_text("utf-8")
    shown = SHOWN.search(text)
    if shown is None:
        raise SystemExit("README shows no command whose output begins below it.")
    README.write_text(SHOWN.sub(lambda found: f"{found[1]}{beginning(found[2])}{found[5]}", text), "utf-8")
    if "--picture" in arguments:
        take_picture(ROOT / shown[3])
        print(f"{PICTURE.name}: {PICTURE.stat().st_size} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

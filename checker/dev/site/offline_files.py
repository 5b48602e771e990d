"""Which files of the built site make one release for use without a network: `sw.js` gets their list, with fingerprints."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path

_RELEASE = re.compile(r"const RELEASE = .*;")
# Nothing of these is needed to judge a circuit; the plain pages are for browsers that keep nothing, as that takes a script.
_NOT_KEPT = (
    "reference/",
    "plain/",
    "spareway/plain.css",
    "search/",
    "assets/javascripts/lunr/",
    "404.html",
    "sitemap.xml",
    "_headers",
    "sw.js",
)


def packs_of(handle: Callable[[str], str]) -> list[dict[str, str]]:
    """What a release says of its packs."""
    listed = json.loads(handle(json.dumps({"format": 1, "ask": "describe"})))["packs"]
    return [{key: pack[key] for key in ("id", "title", "edition", "version", "review_by")} for pack in listed]


def write(site: Path, packs: list[dict[str, str]]) -> dict:
    """Writes the release into `sw.js` of `site`; the release. Doing it twice changes nothing."""
    release = _release(site, packs)
    worker = site / "sw.js"
    held = json.dumps(release, ensure_ascii=False, sort_keys=True)
    worker.write_text(_RELEASE.sub(lambda _: f"const RELEASE = {held};", worker.read_text("utf-8")), encoding="utf-8")
    return release


def _release(site: Path, packs: list[dict[str, str]]) -> dict:
    files = {}
    for path in sorted(site.rglob("*")):
        name = path.relative_to(site).as_posix()
        if path.is_file() and not name.startswith(_NOT_KEPT) and not name.endswith((".map", ".gz")):
            # A page is asked for by its folder.
            name = name.removesuffix("index.html") or "./" if name.endswith("index.html") else name
            files[name] = hashlib.sha256(path.read_bytes()).hexdigest()
    about = json.dumps({"files": files, "packs": packs}, sort_keys=True)
    return {"name": hashlib.sha256(about.encode()).hexdigest()[:16], "packs": packs, "files": files}

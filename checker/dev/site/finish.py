"""Seals the built site: what its pages may run, and which files make one release for use without a network.

    python -m checker.dev seal [--site site]

Every page gets a content security policy with the hashes of its own inline scripts; `_headers` carries the same for hosts
that read such a file, since only a header reaches a worker. `sw.js` gets the list of files with their fingerprints.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path

from checker.dev.checkout import ROOT

_INLINE = re.compile(r"<script(?P<how>[^>]*)>(?P<text>.*?)</script>", re.DOTALL)
_CHARSET = re.compile(r"<meta charset=[^>]*>")
_RELEASE = re.compile(r"const RELEASE = .*;")
# Python in the browser compiles WebAssembly; nothing else is evaluated, and nothing is asked of anybody else. Styles may
# be inline: a table says how a column is aligned.
_POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'{hashes}; worker-src 'self'; connect-src 'self'; "
    "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self'; manifest-src 'self'; "
    "base-uri 'none'; form-action 'none'; object-src 'none'"
)
# Where every script is ours: no text becomes markup, a script or its address but through the policy of `trusted.mjs`.
_TRUSTED = "; require-trusted-types-for 'script'; trusted-types spareway"
_THEME = re.compile(r'<script src="[^"]*assets/javascripts/')
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


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m checker.dev seal", description=__doc__.partition("\n")[0])
    parser.add_argument("--site", type=Path, default=ROOT / "site", help="the built site")
    options = parser.parse_args(arguments)
    from checker.core.api import handle

    release = seal(options.site, packs_of(handle))
    print(f"sealed release {release['name']}: {len(release['files'])} files for use without a network")
    return 0


def packs_of(handle: Callable[[str], str]) -> list[dict[str, str]]:
    """What a release says of its packs."""
    listed = json.loads(handle(json.dumps({"format": 1, "ask": "describe"})))["packs"]
    return [{key: pack[key] for key in ("id", "title", "edition", "version", "review_by")} for pack in listed]


def seal(site: Path, packs: list[dict[str, str]]) -> dict:
    """Writes policies, headers and the release into `site`; the release. Sealing twice changes nothing."""
    hashes: set[str] = set()
    for page in sorted(site.rglob("*.html")):
        hashes |= _bind(page)
    policy = _policy(hashes)
    lines = [policy + "; frame-ancestors 'none'", "nosniff", "no-referrer"]
    names = ("Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy")
    rows = [f"  {name}: {value}" for name, value in zip(names, lines, strict=True)]
    (site / "_headers").write_text("\n".join(["/*", *rows]) + "\n", encoding="utf-8")
    release = _release(site, packs)
    worker = site / "sw.js"
    held = json.dumps(release, ensure_ascii=False, sort_keys=True)
    worker.write_text(_RELEASE.sub(lambda _: f"const RELEASE = {held};", worker.read_text("utf-8")), encoding="utf-8")
    return release


def _bind(page: Path) -> set[str]:
    """Puts the page's own policy into its head; the hashes of its inline scripts."""
    text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page.read_text(encoding="utf-8"))
    hashes = {_hash(found["text"]) for found in _INLINE.finditer(text) if _runs(found["how"])}
    charset = _CHARSET.search(text)
    if charset is None:
        raise ValueError(f"{page} does not say its character set: there is no place for the policy")
    policy = _policy(hashes) + ("" if _THEME.search(text) else _TRUSTED)
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    page.write_text(text[: charset.end()] + meta + text[charset.end() :], encoding="utf-8")
    return hashes


def _runs(how: str) -> bool:
    """Whether a script element with these attributes is run from the page itself."""
    return "src=" not in how and "application/json" not in how


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _policy(hashes: set[str]) -> str:
    return _POLICY.format(hashes="".join(f" {one}" for one in sorted(hashes)))


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

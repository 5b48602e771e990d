"""What the pages of the built site may run: a content security policy for each, with the hashes of its own inline scripts.

`_headers` carries the same for hosts that read such a file, since only a header reaches a worker.
"""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path

_INLINE = re.compile(r"<script(?P<how>[^>]*)>(?P<text>.*?)</script>", re.DOTALL)
_CHARSET = re.compile(r"<meta charset=[^>]*>")
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


def write(site: Path) -> None:
    """Puts the policies into the pages of `site` and writes the headers. Doing it twice changes nothing."""
    hashes: set[str] = set()
    for page in sorted(site.rglob("*.html")):
        hashes |= _bind(page)
    lines = [_policy(hashes) + "; frame-ancestors 'none'", "nosniff", "no-referrer"]
    names = ("Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy")
    rows = [f"  {name}: {value}" for name, value in zip(names, lines, strict=True)]
    (site / "_headers").write_text("\n".join(["/*", *rows]) + "\n", encoding="utf-8")


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

"""The first screen of the check page, made at build time.

Python takes a few seconds to arrive in a browser. The choice of the rule set is therefore HTML, and each rule set's first
question travels with the page as data: both can be read and answered before any Python is there.

What it can say of danger and law before Python is there lies in tables beside it (see `gates`).

`python -m checker.dev.site.check_page` writes `first-screen.html` and `modules.html` into `checker/web/generated`, which
`checker/web/check.html` includes.
"""

from __future__ import annotations

from checker.dev import ROOT

import argparse
import json
import os
import re
from collections.abc import Callable
from datetime import UTC, datetime
from html import escape
from pathlib import Path

from checker.dev.site import early_verdict as gates
from checker.dev.site.markdown import reference_folder

WEB = ROOT / "checker" / "web"
OUTPUT = WEB / "generated" / "first-screen.html"
_IMPORT = re.compile(r'^(?:import|export)\b[^;]*?"(\./[^"]+\.mjs)";', re.MULTILINE)

# method="dialog": until the page's own script is there, Enter must not send the choice to the server.
PAGE = """\
{{% raw %}}\
<div id="sw-view">
<form class="sw-step" id="sw-start" method="dialog">
<fieldset class="sw-field">
<legend><h1 id="sw-title" tabindex="-1" data-say="start.question">Whose rules apply where the board is?</h1></legend>
<p class="sw-help" data-say="start.help">Limits and laws differ from country to country. If your country is not here, the base rules \
check the physics. You must look up the law yourself.</p>
<p class="sw-error" id="sw-error" hidden></p>
<div class="sw-choices">
{choices}
</div>
{others}</fieldset>
<p class="sw-buttons"><button type="submit" class="md-button md-button--primary" data-say="start.continue">Continue</button></p>
</form>
</div>
<script type="application/json" id="sw-first">{first}</script>
{{% endraw %}}
"""

OTHERS = """\
<details class="sw-fold"><summary data-say="start.other">Another edition</summary>
<p class="sw-help" data-say="start.other-help">For a place or date where another edition applies. \
The report warns you if it is not in force.</p>
<div class="sw-choices">
{choices}
</div>
</details>
"""

CHOICE = """\
<label class="sw-choice"><input type="radio" name="pack" value="{id}">\
<span><span class="sw-label">{title}</span><span class="sw-hint">{hint}</span></span></label>"""


def packs_in_force(packs: list[dict], as_of: str) -> list[dict]:
    """One entry a rule set, the edition in force on `as_of`, in the order given. Raises `ValueError` when none is."""
    chosen: dict[str, dict] = {}
    for pack in packs:
        if not pack["valid_from"] <= as_of <= (pack["valid_until"] or "9999-12-31"):
            continue
        held = chosen.get(pack["id"])
        if held is None or held["valid_from"] < pack["valid_from"]:
            chosen[pack["id"]] = pack
    if not chosen:
        raise ValueError(f"no rule set is in force on {as_of}, so the check page would be empty")
    return list(chosen.values())


def rule_sets(packs: list[dict], as_of: str) -> dict[str, dict]:
    """What can be chosen: those in force by their id, then every other edition as `id@edition`."""
    current = packs_in_force(packs, as_of)
    others = {f"{pack['id']}@{pack['edition']}": pack for pack in packs if pack not in current}
    return {pack["id"]: pack for pack in current} | others


def first_screen(packs: dict[str, dict], first: dict[str, dict]) -> str:
    """The HTML of the first screen.

    `packs`: as `rule_sets` gives them, entries as in the `packs` of a `describe` reply.
    `first`: by the same names, the reply to `next` with no answers: its `question`, `settled` and `remaining` are kept,
    with the folder of the reference pages of that edition.
    Raises `ValueError` for a rule set without a first question.
    """
    kept = {}
    for name in packs:
        reply = first[name]
        if not reply.get("question"):
            raise ValueError(f"rule set {name!r} has no first question: {reply.get('error', 'none is asked')}")
        kept[name] = {key: reply[key] for key in ("question", "settled", "remaining")}
        kept[name]["reference"] = reference_folder(packs[name], packs.values())
    choices, others = (
        "\n".join(_choice(name, pack) for name, pack in packs.items() if ("@" in name) is other)
        for other in (False, True)
    )
    data = json.dumps(kept, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    # A script element ends at the first "</script", whatever the quotes around it say.
    data = data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    if "{%" in choices + others + data:
        raise ValueError("a text contains '{%', which the page template would run")
    return PAGE.format(choices=choices, others=OTHERS.format(choices=others) if others else "", first=data)


def _choice(name: str, pack: dict) -> str:
    hint = f"Edition {pack['edition']}, rules of {pack['version']}{_preview(pack)}"
    title = f"{pack['title']} (preview)" if pack["preview"] else pack["title"]
    return CHOICE.format(id=escape(name), title=escape(title), hint=escape(hint))


def _preview(pack: dict) -> str:
    """What a thin rule set says of itself, behind its edition."""
    return f". Preview: {pack['preview']}" if pack["preview"] else ""


def ask(handle: Callable[[str], str], **request: object) -> dict:
    """One reply of the core. Raises `ValueError` when it is an error: a page must not be built from one."""
    reply = json.loads(handle(json.dumps({"format": 1, **request})))
    if "error" in reply:
        raise ValueError(f"{request}: {reply['error']}")
    return reply


def build(handle: Callable[[str], str], as_of: str) -> str:
    """The first screen as the core behind `handle` gives it on the day `as_of`."""
    packs = rule_sets(ask(handle, ask="describe", as_of=as_of)["packs"], as_of)
    asked = {"ask": "next", "as_of": as_of, "answers": {}}
    first = {name: ask(handle, pack=p["id"], edition=p["edition"], **asked) for name, p in packs.items()}
    return first_screen(packs, first)


def modules(start: Path) -> list[Path]:
    """Every module that `start` needs before it runs, itself first. Those asked for later, by `import()`, are not among them."""
    found = [start]
    for module in found:  # it grows while it is gone through
        needed = [module.parent / name for name in _IMPORT.findall(module.read_text(encoding="utf-8"))]
        found += [name for name in dict.fromkeys(needed) if name not in found]
    return found


def preloads() -> str:
    """Links by which a browser asks for all modules of the page at once.

    Without them it learns of each only from the one that imports it: five journeys, one after the other, on a slow line.
    """
    names = (module.relative_to(WEB).as_posix() for module in modules(WEB / "spareway" / "app.mjs"))
    return "".join(f"""<link rel="modulepreload" href="{{{{ '{name}' | url }}}}">\n""" for name in names)


def build_day() -> str:
    """The day of the build: of `SOURCE_DATE_EPOCH` where it is set, so that equal sources give equal pages."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    moment = datetime.fromtimestamp(int(epoch), UTC) if epoch else datetime.now(UTC)
    return moment.date().isoformat()


def main(arguments: list[str] | None = None) -> int:
    from checker.core.api import handle

    parser = argparse.ArgumentParser(prog="python -m checker.dev.site.check_page", description=__doc__.split("\n")[0])
    parser.add_argument("--output", type=Path, default=OUTPUT)
    parser.add_argument("--as-of", default=build_day(), help="day of judgement, YYYY-MM-DD")
    options = parser.parse_args(arguments)
    text = build(handle, options.as_of)
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(text, encoding="utf-8")
    (options.output.parent / "modules.html").write_text(preloads(), encoding="utf-8")
    packs = rule_sets(ask(handle, ask="describe", as_of=options.as_of)["packs"], options.as_of)
    gates.write(packs, options.as_of, options.output.parent / "gates")
    print(f"wrote {options.output}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

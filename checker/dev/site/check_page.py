"""The first screen of the check page, made at build time.

Python takes a few seconds to arrive in a browser. The choice of the rule set is therefore HTML, and each rule set's first
question travels with the page as data: both can be read and answered before any Python is there.

What it can say of danger and law before Python is there lies in tables beside it (see `early_verdict`).

`python -m checker.dev check-page` writes `first-screen.html`, `modules.html` and `home.html` (see `home_page`) into
`checker/web/generated`, where `checker/web/check.html` and `checker/web/home.html` find them.
"""

from __future__ import annotations

import argparse
import itertools
import json
import os
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from markupsafe import Markup

from checker.dev.checkout import ROOT
from checker.dev.site import early_verdict, home_page
from checker.dev.site.markdown import reference_folder
from checker.dev.site.plain_page import WORDS
from checker.dev.site.templates import render

WEB = ROOT / "checker" / "web"
OUTPUT = WEB / "generated" / "first-screen.html"
_IMPORT = re.compile(r'^(?:import|export)\b[^;]*?"(\./[^"]+\.mjs)";', re.MULTILINE)


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
    with the folder of the reference pages of that edition, and what `_run` says of the short run.
    Raises `ValueError` for a rule set without a first question.
    """
    kept = {}
    for name in packs:
        reply = first[name]
        if not reply.get("question"):
            raise ValueError(f"rule set {name!r} has no first question: {reply.get('error', 'none is asked')}")
        kept[name] = {key: reply[key] for key in ("question", "settled", "remaining", *_RUN) if key in reply}
        kept[name]["reference"] = reference_folder(packs[name], packs.values())
    current, others = (
        [_choice(name, pack) for name, pack in packs.items() if ("@" in name) is other] for other in (False, True)
    )
    data = json.dumps(kept, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    # A script element ends at the first "</script", whatever the quotes around it say.
    data = data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    if any("{%" in text for text in (data, *itertools.chain(*current, *others))):
        raise ValueError("a text contains '{%', which the page template would run")
    return render("check/first-screen.html", current=current, others=others, first=Markup(data), words=WORDS)


def _choice(name: str, pack: dict) -> tuple[str, str, str]:
    """An id, its title, and what is said below it."""
    # A thin rule set says so itself, behind its edition.
    preview = f". Preview: {pack['preview']}" if pack["preview"] else ""
    title = f"{pack['title']} (preview)" if pack["preview"] else pack["title"]
    return name, title, f"Edition {pack['edition']}, rules of {pack['version']}{preview}"


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
    first = {
        name: ask(handle, pack=p["id"], edition=p["edition"], **asked) | _run(handle, p, as_of)
        for name, p in packs.items()
    }
    return first_screen(packs, first)


_RUN = ("screens", "about")


def _run(handle: Callable[[str], str], pack: dict, as_of: str) -> dict:
    """Titles of the screens of the short run by their ids, and about how many screens there are."""
    which = {"pack": pack["id"], "edition": pack["edition"], "as_of": as_of}
    screens = ask(handle, ask="describe", **which)["screens"]
    begun = ask(handle, ask="next", answers={}, suppose=True, **which)
    return {"screens": {one["id"]: one["title"] for one in screens}, "about": begun["progress"]["about"]}


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
    names = [module.relative_to(WEB).as_posix() for module in modules(WEB / "spareway" / "app.mjs")]
    return render("check/modules.html", names=names)


def build_day() -> str:
    """The day of the build: of `SOURCE_DATE_EPOCH` where it is set, so that equal sources give equal pages."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    moment = datetime.fromtimestamp(int(epoch), UTC) if epoch else datetime.now(UTC)
    return moment.date().isoformat()


def main(arguments: list[str]) -> int:
    from checker.core.api import handle

    parser = argparse.ArgumentParser(prog="python -m checker.dev check-page", description=__doc__.split("\n")[0])
    parser.add_argument("--output", type=Path, default=OUTPUT)
    parser.add_argument("--as-of", default=build_day(), help="day of judgement, YYYY-MM-DD")
    options = parser.parse_args(arguments)
    text = build(handle, options.as_of)
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(text, encoding="utf-8")
    (options.output.parent / "modules.html").write_text(preloads(), encoding="utf-8")
    packs = rule_sets(ask(handle, ask="describe", as_of=options.as_of)["packs"], options.as_of)
    (options.output.parent / "home.html").write_text(home_page.home(list(packs)), encoding="utf-8")
    early_verdict.write(packs, options.as_of, options.output.parent / "early-verdict")
    print(f"wrote {options.output}")
    return 0

"""`python -m checker.dev compile|pins|lint|...`: the steps of the build, one at a time."""

from __future__ import annotations

import importlib
import sys

from checker.dev.rulebook.faults import RuleFaults, counted
from checker.dev.rulebook.fresh import refresh

# Each step is a module with `main(arguments)`, imported only when it is asked for: compiling needs no site libraries.
# The two without a module are below.
STEPS = {
    "compile": "",
    "pins": "",
    "lint": "rulebook.lint",
    "newly-passing": "maintain.newly_passing",
    "pages": "site.pages",
    "check-page": "site.check_page",
    "browser-files": "site.browser_files",
    "plain-pages": "site.plain_pages",
    "finish": "site.finish",
    "zones": "maintain.zones",
}


def compile_step(arguments: list[str]) -> None:
    from checker.dev.rulebook.compile import write_packs

    for path in write_packs():
        print(f"compiled {path.name} ({path.stat().st_size} bytes)")


def pins_step(arguments: list[str]) -> None:
    """Prints the pin of every base item a region overrides, or of the ids given."""
    from checker.dev.rulebook.resolve import region_folders
    from checker.dev.rulebook.rulefiles import pin, read_folder

    base, *regions = [read_folder(path) for path in region_folders()]
    wanted = set(arguments)
    for (kind, item_id), item in base.items.items():
        if item_id in wanted or (not wanted and any((kind, item_id) in region.items for region in regions)):
            print(f"{pin(item)}  {kind} {item_id}")


def main(arguments: list[str]) -> int:
    if not arguments or arguments[0] not in STEPS:
        print(f"usage: python -m checker.dev {'|'.join(STEPS)}", file=sys.stderr)
        return 64
    step, *rest = arguments
    try:
        if step == "compile":
            compile_step(rest)
        elif step == "pins":
            pins_step(rest)
        else:
            if STEPS[step].startswith("site."):
                refresh()  # pages tell what the checker says
            return importlib.import_module(f"checker.dev.{STEPS[step]}").main(rest) or 0
    except RuleFaults as wrong:
        print(wrong, file=sys.stderr)
        print(f"{counted(len(wrong.faults), 'fault')} in the rule files. Nothing was written.", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

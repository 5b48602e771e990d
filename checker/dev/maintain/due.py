"""`spareway rules due`: which figures must be looked at again, and by when."""

from __future__ import annotations

from argparse import Namespace
from collections import Counter

from checker.dev.maintain import day
from checker.dev.rulebook import rulefiles
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import counted
from checker.dev.rulebook.resolve import heads
from checker.dev.rulebook.rulefiles import read_folder, read_once
from checker.terminal import output
from checker.terminal.problem import Problem


def run(options: Namespace) -> int:
    """One line a table, parameter or rule and day, the most urgent first; figures of a region's own files only."""
    by = day(options.by) if options.by else "9999-12-31"
    found: Counter[tuple[str, str, str, str, str, str]] = Counter()
    here = heads(rulefiles.RULES)
    known = {head.id for head in here.values()}
    if options.pack and options.pack not in known:
        raise Problem(
            "--pack",
            f"There is no rule set {options.pack!r}.",
            "Nothing was listed.",
            f"Name one of: {', '.join(sorted(known))}.",
        )
    with read_once():
        for path in (head.path for head in here.values() if options.pack in (None, head.id)):
            content, own = compile_pack(path, rulefiles.RULES), read_folder(path).items
            about = content["pack"]
            entries = [("rule", rule["id"], rule) for rule in content["rules"]]
            entries += [("parameter", entry["id"], entry) for entry in content["parameters"]]
            entries += [("table", table["id"], cell) for table in content["tables"] for cell in table["cells"]]
            for kind, item_id, entry in entries:
                if (kind, item_id) in own and entry["stale_after"] <= by:
                    name = f"{about['id']}@{about['edition']}"
                    found[entry["stale_after"], name, kind, item_id, entry["source"], entry["status"]] += 1
    rows = [
        f"{when}  {pack}  {kind} {item_id}{_cells(count) if kind == 'table' else ''}: {source}, {status}"
        for (when, pack, kind, item_id, source, status), count in sorted(found.items())
    ]
    number = sum(found.values())
    output.write("\n".join([*rows, f"{number} {'entry' if number == 1 else 'entries'} to look at again"]) + "\n")
    return 0


def _cells(count: int) -> str:
    return f" ({counted(count, 'cell')})"

"""What a maintainer should see and the build does not refuse: figures grown stale, rule sets with few worked cases.

Both change without anybody touching a rule file, so they must not stop the build of somebody else's change.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import Fault, RuleFaults, counted, place
from checker.dev.rulebook.resolve import is_edition, region_folders
from checker.dev.rulebook.rulefiles import RULES, read_folder, read_once

FEWEST_CASES = 3


def notices(as_of: str, rules: Path = RULES) -> list[Fault]:
    """What stands to be looked at on the day `as_of`. Packs with faults are left out: the lint tells of those."""
    found: list[Fault] = []
    cases = Counter(tomllib.loads(path.read_text(encoding="utf-8")).get("pack") for path in _cases(rules))
    with read_once():
        for path in region_folders(rules):
            try:
                content = compile_pack(path, rules)
            except RuleFaults:
                continue
            found += _stale(path, content, as_of, rules)
            if not is_edition(path) and cases[content["pack"]["id"]] < FEWEST_CASES:
                found.append(
                    Fault(
                        place(path / "pack.toml", rules),
                        f"only {counted(cases[content['pack']['id']], 'worked case')} in scenarios/ for this rule set, "
                        f"fewer than {FEWEST_CASES}",
                        "Without cases, changes go unnoticed.",
                        f'Write cases with pack = "{content["pack"]["id"]}" into scenarios/.',
                    )
                )
    return found


def _cases(rules: Path) -> Iterator[Path]:
    yield from sorted((rules.parent / "scenarios").glob("*.toml"))


def _stale(path: Path, content: dict, as_of: str, rules: Path) -> Iterator[Fault]:
    """Own figures not looked at for longer than the pack's `review_days`, one notice a file and day."""
    own = read_folder(path).items
    why = "A stale figure cannot give a pass until the reader confirms it."
    for table in content["tables"]:
        if ("table", table["id"]) not in own:
            continue
        sheet = place(own["table", table["id"]].path.with_suffix(".csv"), rules)
        lines = [raw["line"] for raw in own["table", table["id"]].data["cells"]]
        late: dict[str, list[int]] = {}
        printed = [cell for cell in table["cells"] if "most" not in cell]  # a bound is as old as the cell it comes from
        for cell, line in zip(printed, lines, strict=True):
            if cell["stale_after"] < as_of:
                late.setdefault(cell["checked"], []).append(line)
        for checked, where in late.items():
            what = f"stale from here on: {counted(len(where), 'cell')} last looked at on {checked}"
            yield Fault(f"{sheet}:{where[0]}", what, why, "Check again, then write the day under `checked`.")
    for kind in ("parameter", "rule"):
        for entry in content[f"{kind}s"]:
            if (kind, entry["id"]) in own and entry["stale_after"] < as_of:
                file = f"{place(own[kind, entry['id']].path, rules)} ({entry['id']})"
                what = f"stale: last looked at on {entry['checked']}"
                yield Fault(file, what, why, "Check again, then write the day under `checked`.")

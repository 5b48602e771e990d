"""`python -m tests.mutation [pack ...]`: every mutant of the data, who notices it, and who nobody notices."""

from __future__ import annotations

import sys
from collections import Counter
from functools import cache

from checker.core import pack as packs
from checker.core.pack import Pack
from tests.mutation.killers import Bench, in_force
from tests.mutation.mutants import Mutant, mutants

STRICT = ("law", "standard")
# No answer can tell these from the truth.
EQUIVALENT = {
    "parameter minimum_copper_mm2: 1.5 -> 1.4 (last digit down)": "no size lies between 1 and 1.5 mm2",
}


def harmless(mutant: Mutant) -> str | None:
    """Why a mutant that nobody notices takes nothing from anybody, or None."""
    if mutant.id in EQUIVALENT:
        return EQUIVALENT[mutant.id]
    if mutant.kind == "parameter":
        return _unconfirmed(mutant.changed)
    if mutant.kind == "cell":
        cell = next((cell for cell in mutant.changed["cells"] if tuple(cell["keys"]) == mutant.at), {})
        return _unconfirmed(cell)
    return None


def _unconfirmed(figure: dict) -> str | None:
    weak = figure.get("status") in ("memory", "conflict")
    return "recalled: it gives no pass until the reader confirms it" if weak else None


def every(pack: Pack) -> list[Mutant]:
    held = {p.id: p for p in packs.every() if in_force(p)}
    extended, sibling = pack.about["extends"], held[pack.id]
    return list(
        mutants(
            pack.content,
            held[extended].content if extended else None,
            None if sibling is pack else sibling.content,
        )
    )


def main(wanted: list[str]) -> int:
    strict = 0
    for pack in packs.every():
        if wanted and pack.id not in wanted:
            continue
        bench, made = Bench(pack), every(pack)
        weights = cache(bench.weights)
        killed, survivors = Counter(), []
        for mutant in made:
            killer = bench.killer(mutant)
            killed[killer or "nobody"] += 1
            if killer is None:
                survivors.append(mutant)
        print(f"## {pack.id} {pack.about['edition']}: {len(made)} mutants, {len(survivors)} survive")
        print(*(f"- {who}: {count}" for who, count in killed.most_common()), sep="\n")
        for mutant in sorted(survivors, key=lambda m: (weights(m.item)[:1] not in [["law"], ["standard"]], m.id)):
            weight = next(iter(weights(mutant.item)), "no rule")
            why = harmless(mutant)
            strict += weight in STRICT and why is None
            print(f"  {weight:9} {mutant.id}{f' [{why}]' if why else ''}")
    print(f"{strict} survive in what rules of weight {' or '.join(STRICT)} rest on")
    return 1 if strict else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

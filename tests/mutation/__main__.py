"""`python -m tests.mutation [--write] [pack ...]`: makes every mistake in the data, and says who notices it.

`--write` runs all packs and keeps the result in `checker/dev/site/data/mutation.json`, from which the site's page is made.
"""

from __future__ import annotations

import datetime
import json
import sys
from collections import Counter
from functools import cache
from typing import NamedTuple

from checker.core import pack as packs
from checker.core.pack import Pack
from checker.dev.site.mutation_page import RECORD
from tests.mutation.harmless import harmless
from tests.mutation.killers import Bench, in_force
from tests.mutation.mutants import Mutant, mutants
from tests.mutation.record import record

STRICT = ("law", "standard")


class Survivor(NamedTuple):
    weight: str  # of the strictest rule that rests on it; empty: no rule does
    mutant: Mutant
    why: str | None


class Result(NamedTuple):
    pack: Pack
    made: int
    killed: Counter
    survivors: list[Survivor]


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


def judged(pack: Pack) -> Result:
    bench, made = Bench(pack), every(pack)
    weights = cache(bench.weights)
    killed, survivors = Counter(), []
    for mutant in made:
        killer = bench.killer(mutant)
        if killer is None:
            survivors.append(Survivor(next(iter(weights(mutant.item)), ""), mutant, harmless(pack, mutant)))
        else:
            killed[killer] += 1
    return Result(pack, len(made), killed, survivors)


def missed(result: Result) -> list[Survivor]:
    """Those that must not survive."""
    return [survivor for survivor in result.survivors if survivor.weight in STRICT and survivor.why is None]


def main(arguments: list[str]) -> int:
    write, wanted = "--write" in arguments, [name for name in arguments if name != "--write"]
    results = []
    for pack in packs.every():
        if not wanted or pack.id in wanted or write:
            result = judged(pack)
            results.append(result)
            print(
                f"## {pack.id} {pack.about['edition']}: {result.made} mutants, {len(result.survivors)} survive, "
                f"{len(missed(result))} of them must not"
            )
            for who, count in result.killed.most_common():
                print(f"- {who}: {count}")
            for weight, mutant, why in sorted(result.survivors, key=lambda s: (s.weight not in STRICT, s.mutant.id)):
                print(f"  {weight or 'no rule':9} {mutant.id}{f' [{why}]' if why else ''}", flush=True)
    if write:
        held = record(results, datetime.datetime.now(datetime.UTC).date().isoformat())
        RECORD.write_text(json.dumps(held, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return 1 if any(missed(result) for result in results) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""What `make test` takes of the large families of tests; `make prove` takes all of it.

A family is one parametrised test with the mark `sampled(one_in=N)`: a run takes one case in N. Which ones goes by the
time of the last commit, so a commit is tested alike everywhere, and the next commit turns to other cases. Tests that draw
or loop by themselves ask `share` and `examples`.

`DEEP=1` takes everything. `SAMPLE=<number>`, which each run prints, repeats the sample of another run.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import time
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import HealthCheck, settings

One = TypeVar("One")
# What a run took of each family: (cases taken, cases there are).
TAKEN = pytest.StashKey[dict[str, tuple[int, int]]]()


def deep() -> bool:
    return os.environ.get("DEEP", "") not in ("", "0")


def settle_seed() -> None:
    """Fixes the seed before the workers start, which take it over with the environment."""
    if not os.environ.get("SAMPLE"):
        os.environ["SAMPLE"] = os.environ.get("SOURCE_DATE_EPOCH") or _last_commit() or str(int(time.time()) // 86400)


def _last_commit() -> str:
    command = ["git", "log", "-1", "--format=%ct"]
    try:
        done = subprocess.run(command, cwd=Path(__file__).parent, capture_output=True, text=True, check=False)
    except OSError:
        return ""
    return done.stdout.strip()


def seed() -> int:
    settle_seed()
    return int(os.environ["SAMPLE"])


def share(all_of_them: Iterable[One], one_in: int) -> list[One]:
    """One in so many, at least one, in the order they came; all of them when the run is deep.

    The order in which they take their turn goes by what they are called, so neighbours do not come together. Whoever
    takes `one_in` seeds in a row has had every one.
    """
    them = list(all_of_them)
    if deep() or not them:
        return them
    turns = sorted(range(len(them)), key=lambda place: hashlib.sha256(str(them[place]).encode()).digest())
    step = min(one_in, len(them))
    return [them[place] for place in sorted(turns[seed() % step :: step])]


# Of the examples that a property is tried with.
EXAMPLES_ONE_IN = 8
# No limit of time: how long an example takes says how busy the machine is. Which ones are drawn goes by the seed.
_ALWAYS = {"deadline": None, "database": None, "suppress_health_check": [HealthCheck.too_slow]}


def examples(full: int) -> settings:
    """As many examples when the run is deep, else a share of them."""
    return settings(max_examples=full if deep() else -(-full // EXAMPLES_ONE_IN), **_ALWAYS)


settings.register_profile("spareway", examples(100))
settings.load_profile("spareway")

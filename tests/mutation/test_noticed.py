"""A share of the mistakes that could be made in the data, each noticed. All of them: `python -m tests.mutation`."""

from __future__ import annotations

import pytest

from checker.core import pack as packs
from tests.mutation.__main__ import STRICT, every, harmless
from tests.mutation.killers import Bench, in_force

pytestmark = pytest.mark.slow
# One in so many, evenly over the pack: the same ones in every run.
SHARE = 23
PACKS = {f"{pack.id}@{pack.about['edition']}": pack for pack in packs.every()}


@pytest.fixture(scope="module")
def benches():
    held = {}
    return lambda name: held.setdefault(name, Bench(PACKS[name]))


@pytest.mark.parametrize("name", PACKS)
def test_the_sound_pack_meets_every_case(name, benches):
    """Else a case would be left out below, and notice nothing."""
    bench = benches(name)
    assert bench.probes or not in_force(bench.pack)
    assert not [(probe.killer, probe.only) for probe in bench.unfit]


@pytest.mark.parametrize("name", PACKS)
def test_a_mistake_in_what_a_rule_of_law_or_standard_rests_on_is_noticed(name, benches):
    bench = benches(name)
    missed = [m for m in every(PACKS[name])[::SHARE] if bench.killer(m) is None and harmless(m) is None]
    assert not [m.id for m in missed if (bench.weights(m.item) or [""])[0] in STRICT]

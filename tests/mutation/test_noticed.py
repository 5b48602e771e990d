"""The mistakes that could be made in the data, each noticed: a share of them, or all when the run is deep."""

from __future__ import annotations

import pytest

from checker.core import pack as packs
from checker.dev.site.mutation_page import recorded
from tests import sampling
from tests.mutation.__main__ import STRICT, every
from tests.mutation.harmless import EQUIVALENT, harmless
from tests.mutation.killers import Bench, in_force
from tests.rules.test_cases import OLDER

pytestmark = pytest.mark.slow
# A pack's cases are all judged once before its first mistake is made, so a run takes few packs and one mistake in so many.
ONE_IN = 23
of_some_packs = pytest.mark.sampled(one_in=6)
PACKS = {f"{pack.id}@{pack.about['edition']}": pack for pack in packs.every()}


@pytest.fixture(scope="module")
def benches():
    held = {}
    return lambda name: held.setdefault(name, Bench(PACKS[name]))


@of_some_packs
@pytest.mark.parametrize("name", PACKS)
def test_the_sound_pack_meets_every_case(name, benches):
    """Else a case would be left out below, and notice nothing."""
    bench = benches(name)
    assert bench.probes or not (in_force(bench.pack) or any(case.pack == name for case in OLDER))
    assert not [(probe.killer, probe.only) for probe in bench.unfit]


@of_some_packs
@pytest.mark.parametrize("name", PACKS)
def test_a_mistake_in_what_a_rule_of_law_or_standard_rests_on_is_noticed(name, benches):
    bench, pack = benches(name), PACKS[name]
    made = every(pack)
    tried = [made[place] for place in sampling.share(range(len(made)), ONE_IN)]
    missed = [m for m in tried if bench.killer(m) is None and (bench.weights(m.item) or [""])[0] in STRICT]
    assert not [m.id for m in missed if harmless(pack, m) is None]


@pytest.mark.parametrize("name", PACKS)
def test_the_last_whole_run_left_nothing_in_law_or_standard_without_a_reason(name):
    (held,) = (pack for pack in recorded()["packs"] if f"{pack['pack']}@{pack['edition']}" == name)
    assert not [entry for entry in held["unnoticed"] if entry["class"] in STRICT]


def test_what_is_said_to_be_equivalent_is_a_mistake_that_can_be_made():
    """An entry for a mistake that the rules no longer allow would excuse another one some day."""
    made = {f"{pack.id} {mutant.id}" for pack in PACKS.values() for mutant in every(pack)}
    assert set(EQUIVALENT) <= made

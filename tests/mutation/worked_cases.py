"""What `make mutants` asks before any other test: every worked case of one rule set, in one go."""

from __future__ import annotations

from checker.core import pack as packs
from tests.core import asking
from tests.mutation.killers import probes, run


def test_every_worked_case_comes_out_as_known():
    pack = packs.choose("iec", None, asking.AS_OF)
    assert all(probe.holds(run(probe, pack)) for probe in probes(pack))

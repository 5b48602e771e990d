"""Twelve everyday jobs in three ways of laying cable fit in every rule set, with no standard on the desk.

The jobs are made up (`benchmarks/known.toml`). That work like this is done every day is common practice, no source.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

import known

from tests.core import asking

JOBS = [(pack, job) for pack in known.PACKS for job in known.everyday(pack)]


def test_there_are_twelve_jobs_in_three_layouts_for_each_whole_rule_set():
    whole = {name for name, content in asking.contents().items() if not content["pack"].get("preview")}
    assert set(known.PACKS) == whole
    assert len(known.JOBS["job"]) == 12
    assert all(len(laid) == 3 for laid in known.JOBS["laid"].values())


@pytest.mark.parametrize(("pack", "job"), JOBS, ids=[f"{pack}-{job.laid}-{job.name}" for pack, job in JOBS])
def test_an_everyday_job_fits(pack, job):
    report = known.check(pack, job.answers)
    assert report["sizing"]["outcome"] == "fits", known.open_reasons(report)


@pytest.mark.parametrize("pack", known.PACKS)
def test_no_everyday_verdict_rests_on_a_figure_from_memory_or_on_one_of_your_own(pack):
    for job in known.everyday(pack):
        report = known.check(pack, job.answers)
        passed = [finding for finding in report["findings"] if finding["rule"] in report["sizing"]["because"]]
        cells = [cell for finding in passed for cell in finding["cells"]]
        assert cells
        assert {cell["status"] for cell in cells} <= set(known.FIRM), (pack, job.name)
        assert job.answers.get("code_current_a", "not-stated") == "not-stated"

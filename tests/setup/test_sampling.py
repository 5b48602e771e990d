"""`make test` takes a share of the large families: none is left out, and over the commits every case comes to its turn."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest

from tests import sampling

CASES = [f"case {number}" for number in range(10)]
FAMILIES = """
import pytest

@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("case", range(8))
def test_many(case): pass

@pytest.mark.sampled(one_in=4)
@pytest.mark.parametrize("case", range(2))
def test_few(case): pass

@pytest.mark.sampled(one_in=2, by="pack")
@pytest.mark.parametrize("case", range(3))
@pytest.mark.parametrize("pack", ["a", "b"])
def test_by_pack(pack, case): pass

@pytest.mark.parametrize("case", range(5))
def test_all(case): pass
"""


FILE = """
import pytest

pytestmark = pytest.mark.sampled(one_in=3, family="file")

def test_one(): pass
def test_two(): pass
def test_three(): pass
"""


@pytest.fixture
def run(tmp_path, root):
    """run(arguments, variables): the ids of the tests that the run took, and what it printed."""
    shutil.copy(root / "tests" / "conftest.py", tmp_path)
    (tmp_path / "test_families.py").write_text(FAMILIES, "utf-8")
    (tmp_path / "test_file.py").write_text(FILE, "utf-8")
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-W", "ignore", "-v"]

    def take(*arguments: str, **variables: str) -> tuple[list[str], str]:
        environ = {**os.environ, "PYTHONPATH": str(root), "DEEP": "", **variables}
        done = subprocess.run(
            [*command, *arguments], cwd=tmp_path, env=environ, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return [
            line.split()[0].partition("::")[2] for line in done.stdout.splitlines() if " PASSED" in line
        ], done.stdout

    return take


@pytest.fixture
def shallow(monkeypatch):
    monkeypatch.delenv("DEEP", raising=False)


def test_seeds_in_a_row_take_every_case_once(monkeypatch, shallow):
    taken = []
    for seed in range(1000, 1003):
        monkeypatch.setenv("SAMPLE", str(seed))
        taken += sampling.share(CASES, 3)
    assert sorted(taken) == sorted(CASES)


@pytest.mark.parametrize("seed", ["0", "7", "1796044748"])
@pytest.mark.parametrize("cases", [CASES[:1], CASES[:2], CASES])
def test_no_family_is_left_without_a_case(monkeypatch, shallow, seed, cases):
    monkeypatch.setenv("SAMPLE", seed)
    assert sampling.share(cases, 23)


def test_a_deep_run_takes_all_in_the_order_they_came(monkeypatch):
    monkeypatch.setenv("DEEP", "1")
    assert sampling.share(CASES, 3) == CASES


def test_the_seed_is_the_time_of_the_last_commit_unless_it_is_given(monkeypatch):
    monkeypatch.delenv("SAMPLE", raising=False)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert sampling.seed() == 86400
    monkeypatch.setenv("SAMPLE", "5")
    assert sampling.seed() == 5


def test_a_run_takes_its_share_of_each_family_and_says_so(run):
    taken, said = run(SAMPLE="1")
    assert sum(test.startswith("test_many") for test in taken) == 2
    assert sum(test.startswith("test_few") for test in taken) == 1
    assert sum(test.startswith("test_all") for test in taken) == 5
    assert sum(test in ("test_one", "test_two", "test_three") for test in taken) == 1
    assert "2 of      8 cases  test_families.py::test_many" in said
    assert "SAMPLE=1" in said


def test_cases_of_one_value_are_taken_together(run):
    taken = [test for test in run(SAMPLE="1")[0] if test.startswith("test_by_pack")]
    assert len(taken) == 3
    assert len({test.partition("[")[2][0] for test in taken}) == 1


def test_two_workers_take_the_same_and_the_summary_tells_of_it_once(run):
    _, said = run("-n", "2", SAMPLE="1")
    assert f"{2 + 1 + 3 + 5 + 1} passed" in said
    assert said.count("cases  test_families.py::test_many") == 1


def test_a_deep_run_takes_every_case(run):
    assert len(run(DEEP="1")[0]) == 8 + 2 + 6 + 5 + 3


def test_a_case_that_is_asked_for_by_its_name_is_not_left_out(run):
    assert len(run(*(f"test_families.py::test_many[{case}]" for case in range(8)), SAMPLE="1")[0]) == 8


def test_a_run_that_is_narrowed_by_a_word_takes_every_case_with_that_word(run):
    assert len(run("-k", "many", SAMPLE="1")[0]) == 8


def test_every_family_of_this_run_has_a_case_in_it(request):
    assert not [family for family, (taken, _) in request.config.stash[sampling.TAKEN].items() if not taken]

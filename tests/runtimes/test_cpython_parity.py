"""Every CPython the core promises to run on, against the one that runs the tests."""

from __future__ import annotations

import subprocess

import pytest

from tests.runtimes import batch


@pytest.mark.slow
@pytest.mark.parametrize("version", ["3.11", "3.12", "3.14"])
def test_replies_are_equal_byte_for_byte(version, requests, replies):
    found = subprocess.run(
        ["tools/find-python", version], cwd=batch.ROOT, capture_output=True, text=True, check=False
    ).stdout.strip()
    if not found:
        pytest.skip(f"no Python {version} on this machine")
    there = batch.ask([found, "-B", "tests/runtimes/handle.py"], requests)
    assert not (apart := batch.differences(requests, replies, there)), apart

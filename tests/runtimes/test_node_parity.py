"""The browser's checker against CPython: Pyodide under Node.js, with the very folder that the site carries."""

from __future__ import annotations

import json
import sys

import pytest

from tests.runtimes import batch

pytestmark = pytest.mark.node

FOLDER = batch.ROOT / "build" / "browser" / "pyodide"
COMMAND = ["node", "tests/runtimes/handle.mjs"]


@pytest.fixture(scope="module", autouse=True)
def built() -> None:
    assert (FOLDER / "pyodide-lock.json").is_file(), "the browser folder is not built: run make browser"


@pytest.mark.sampled(one_in=2)
@pytest.mark.parametrize("visit", [[], ["--restored"]], ids=["first visit", "memory put back"])
def test_replies_are_equal_byte_for_byte(requests, replies, visit):
    # The same modules answer on both visits: what was put back is asked every other request. Not every third, for a worked
    # case is asked in three ways, one after the other, and it would always be the same one.
    asked = dict(list(requests.items())[::2]) if visit else requests
    there = batch.ask([*COMMAND, str(FOLDER), *visit], asked)
    assert not (found := batch.differences(asked, replies, there)), (
        f"CPython (here) and Pyodide (there) differ; an old build does that too, then run make browser:\n{found}"
    )


def test_a_raise_in_handle_would_be_seen(tmp_path):
    script = tmp_path / "raises.py"
    script.write_text("import json, sys\nfor line in sys.stdin: print(json.dumps({'raised': 'KeyError: 1'}))\n")
    with pytest.raises(AssertionError, match="handle raised"):
        batch.ask([sys.executable, str(script)], {"one": json.dumps({})})

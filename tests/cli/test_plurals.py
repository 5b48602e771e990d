"""One of a thing is told in the singular, everything else in the plural."""

from __future__ import annotations

import io

import pytest

from checker.cli import compare
from checker.cli.client import Client, Inputs
from checker.cli.interview import Interview
from checker.cli.talk import Talk
from checker.terminal import report, schedule
from checker.terminal.display import Display
from checker.terminal.references import References

ONE_AND_MORE = pytest.mark.parametrize("n", [1, 2, 11])


def said(blocks) -> str:
    return " ".join(block.text for block in blocks if hasattr(block, "text"))


@ONE_AND_MORE
@pytest.mark.parametrize("passed", [report._passed, schedule._passed])
def test_rules_that_do_not_apply_are_counted_in_good_english(passed, n):
    words = "1 more rule does not apply" if n == 1 else f"{n} more rules do not apply"
    assert words in said(passed([], n, References([])).blocks)


@ONE_AND_MORE
def test_rules_alike_everywhere_are_counted_in_good_english(n):
    rows = [{"differs": "same"}] * n
    words = "1 rule gives the same result" if n == 1 else f"{n} rules give the same result"
    assert words in said(compare._findings(rows, [])[-1].blocks)


@ONE_AND_MORE
def test_questions_beyond_the_verdict_are_counted_in_good_english(n):
    shown = io.StringIO()
    talk = Talk(io.StringIO("\n"), shown, Display(), patient=True)
    Interview(Client(str), Inputs("xx", ""), talk)._last_chance({"beyond": {"question": {"id": "lock"}, "at_most": n}})
    words = "at most 1 more question," if n == 1 else f"at most {n} more questions,"
    assert words in " ".join(shown.getvalue().split())

"""Quick tests first: whoever breaks something learns it in seconds. Of large families a share (tests/sampling.py)."""

from __future__ import annotations

import decimal
from collections.abc import Generator
from typing import Any

import pytest

from checker.core.values import CONTEXT
from checker.dev.rulebook.fresh import refresh
from checker.dev.rulebook.rulefiles import read_once
from tests import sampling
from tests.sampling import TAKEN

# Tests of a part of the core compute as `api.handle` does.
decimal.setcontext(CONTEXT.copy())

# Most of the time of a run goes into pages: of each file of them a share takes its turn.
_A_BROWSER_TAKES_LONG = pytest.mark.sampled(one_in=5, family="file")
_WAITS = ("slow", "node", "browser")  # from quick to slow


def pytest_sessionstart() -> None:
    refresh()  # tests judge by the rule files as they are now; some ask for the packs while they are collected


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Many files of tests read the same rule files to know their cases."""
    with read_once():
        return (yield)


@pytest.hookimpl(tryfirst=True)  # before hypothesis looks for its seed
def pytest_configure(config: pytest.Config) -> None:
    if config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = sampling.seed()
    config.stash[TAKEN] = {}


def _wait(item: pytest.Item) -> tuple[int, bool]:
    """How late its turn comes; of the last the slow ones first, so that no worker is left alone with them."""
    marks = [place for place, mark in enumerate(_WAITS, 1) if item.get_closest_marker(mark)]
    return max(marks, default=0), 1 not in marks


@pytest.hookimpl(tryfirst=True)  # before pytest-xdist looks for the groups
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    families: dict[str, list[pytest.Item]] = {}
    # What is asked for by its name is not left out: a case by its id, all cases of a rule by `-k`.
    named = tuple(argument for argument in config.args if "[" in argument)
    for item in () if config.option.keyword else items:
        if item.get_closest_marker("browser") and not item.get_closest_marker("sampled"):
            item.add_marker(_A_BROWSER_TAKES_LONG)
        if item.get_closest_marker("sampled") and not (named and item.nodeid.startswith(named)):
            families.setdefault(_family(item), []).append(item)
    left_out: set[str] = set()
    for family, cases in families.items():
        turns = [_turn(case) for case in cases]
        mark = cases[0].get_closest_marker("sampled")
        taken = set(sampling.share(dict.fromkeys(turns), mark.kwargs["one_in"] if mark else 1))
        left_out.update(case.nodeid for case, turn in zip(cases, turns, strict=True) if turn not in taken)
        config.stash[TAKEN][family] = (sum(turn in taken for turn in turns), len(cases))
    config.hook.pytest_deselected(items=[item for item in items if item.nodeid in left_out])
    for item in items:
        if not item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0]))
    # A stable sort: within each kind the order of the files stays.
    items[:] = sorted((item for item in items if item.nodeid not in left_out), key=_wait)


def _family(item: pytest.Item) -> str:
    """The test without its parameters, or the file where the mark says `family="file"`."""
    mark = item.get_closest_marker("sampled")
    of_file = mark is not None and mark.kwargs.get("family") == "file"
    return item.nodeid.partition("::")[0] if of_file else item.nodeid.partition("[")[0]


def _turn(item: pytest.Item) -> str:
    """What decides when it is a case's turn: its id, or one of its parameters, which the mark names with `by`.

    It is not the family: families over the same cases take the same ones, and share the work that goes before.
    """
    mark = item.get_closest_marker("sampled")
    if mark and mark.kwargs.get("family") == "file":
        return item.nodeid
    case = item.nodeid.partition("[")[2]
    return str(item.callspec.params[mark.kwargs["by"]]) if case and mark and "by" in mark.kwargs else case


def pytest_sessionfinish(session: pytest.Session) -> None:
    if hasattr(session.config, "workeroutput"):  # a worker of pytest-xdist tells the one that reports
        session.config.workeroutput["taken"] = session.config.stash[TAKEN]


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    node.config.stash[TAKEN].update(getattr(node, "workeroutput", {}).get("taken", {}))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if sampling.deep():
        terminalreporter.write_line("DEEP: every case of every family was taken")
        return
    for family, (taken, there_are) in sorted(config.stash[TAKEN].items()):
        terminalreporter.write_line(f"{taken:6} of {there_are:6} cases  {family}")
    terminalreporter.write_line(f"The sample is SAMPLE={sampling.seed()}; make prove takes every case.")

"""`spareway check` loads what it needs and no more: it starts in the blink of an eye."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.cli.conftest import ROOT

LOADED = """
import contextlib, io, json, sys
before = set(sys.modules)
from checker.cli.main import main
with contextlib.redirect_stdout(io.StringIO()):
    code = main(sys.argv[1:])
print(json.dumps([code, sorted(set(sys.modules) - before)]))
"""
# Big, or none of a checker's business; each of these has crept into the start of some command somewhere.
HEAVY = {
    "asyncio", "concurrent", "dataclasses", "difflib", "email", "html", "http", "importlib.metadata",
    "importlib.resources", "inspect", "jsonschema", "logging", "mkdocs", "multiprocessing", "pathlib", "pydoc",
    "random", "shutil", "socket", "ssl", "statistics", "subprocess", "tempfile", "threading", "unittest", "urllib",
    "uuid", "zipfile",
}  # fmt: skip


@pytest.fixture
def loaded(python, write, fits, spareway):
    """The modules that a command has loaded."""

    def run(*arguments: str) -> set[str]:
        spareway("packs")  # in a checkout, this builds the packs if they are old
        done = python(LOADED, *arguments)
        code, modules = json.loads(done.stdout)
        assert code == 0, done.stderr
        return set(modules)

    return run


@pytest.fixture
def installed(tmp_path_factory):
    """A folder to import from that holds what a wheel does: everything but the build tools and the site's parts."""
    folder = tmp_path_factory.mktemp("installed")
    shutil.copytree(ROOT / "checker", folder / "checker", ignore=shutil.ignore_patterns("dev", "web", "__pycache__"))
    return folder


@pytest.mark.parametrize("form", [[], ["--json"], ["--markdown"]])
def test_check_loads_nothing_heavy(loaded, write, fits, form):
    modules = loaded("check", write(fits()), *form)
    assert {module for module in modules if module.partition(".")[0] in HEAVY or module in HEAVY} == set()


def test_in_a_checkout_check_only_looks_whether_the_packs_are_new(loaded, write, fits):
    found = {module for module in loaded("check", write(fits())) if module.startswith("checker.dev")}
    assert found == {"checker.dev", "checker.dev.rulebook", "checker.dev.rulebook.fresh"}


def test_an_installed_copy_loads_nothing_of_the_build_tools(installed, python, write, fits):
    done = python(LOADED, "check", write(fits()), PYTHONPATH=str(installed))
    code, modules = json.loads(done.stdout)
    assert code == 0, done.stderr
    assert [module for module in modules if module.startswith("checker.dev")] == []


def test_check_loads_nothing_of_the_interview(loaded, write, fits):
    modules = loaded("check", write(fits()))
    assert modules.isdisjoint({"checker.cli.interview", "checker.cli.ask", "checker.cli.saving"})
    assert "checker.terminal.text" in modules


def test_json_answers_need_no_toml_reader(loaded, write, answers):
    text = json.dumps({"pack": "iec", "as_of": "2026-11-25", "answers": answers})
    assert "tomllib" not in loaded("check", write(text))


def test_a_json_report_needs_no_layout(loaded, write, fits):
    assert loaded("check", "--json", write(fits())).isdisjoint({"checker.terminal.report", "checker.terminal.text"})

"""The wheel holds what a computer or a phone needs to judge, and nothing else."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from email import message_from_bytes

import pytest

import checker
from checker import packs


@pytest.fixture(scope="module")
def members(wheel) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_it_carries_every_compiled_pack_byte_for_byte(members):
    assert packs.names()
    carried = {name for name in members if name.startswith("checker/packs/") and name.endswith(".json")}
    assert carried == {f"checker/packs/{name}.json" for name in packs.names()}
    for name in packs.names():
        assert members[f"checker/packs/{name}.json"] == packs.read(name)


def test_it_leaves_the_tools_and_the_pages_at_home(members):
    tops = {name.split("/")[1] for name in members if name.startswith("checker/")}
    assert tops == {"__init__.py", "core", "packs", "terminal", "cli"}


def test_it_needs_nothing_but_python(members):
    (text,) = (content for name, content in members.items() if name.endswith(".dist-info/METADATA"))
    about = message_from_bytes(text)
    assert about.get_all("Requires-Dist") is None
    assert about["Requires-Python"] == ">=3.11"
    assert (about["Name"], about["Version"]) == ("spareway", checker.__version__)
    assert about["License-Expression"] == "Apache-2.0"
    assert any(name.endswith("/licenses/LICENSE") for name in members)


def test_it_judges_far_from_the_checkout(wheel, tmp_path):
    """Unpacked elsewhere, with no other package in reach, it lists the packs it carries."""
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "lib")
    program = (
        "import sys; sys.path.append(sys.argv[1])\nfrom checker.core.api import handle\nprint(handle(sys.argv[2]))\n"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-X", "utf8", "-c", program, str(tmp_path / "lib"), '{"format": 1, "ask": "describe"}'],
        cwd=tmp_path, capture_output=True, text=True, encoding="utf-8", check=True,
    )  # fmt: skip
    listed = json.loads(done.stdout)["packs"]
    assert sorted(f"{pack['id']}@{pack['edition']}" for pack in listed) == sorted(packs.names())


def test_the_command_it_installs_exists(members):
    (text,) = (content for name, content in members.items() if name.endswith("entry_points.txt"))
    assert "spareway = checker.cli.main:main" in text.decode()
    assert "checker/cli/main.py" in members

"""Everything that is installed is pinned by version and hash, and the locks are those of what is asked for."""

from __future__ import annotations

import json
import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


@pytest.fixture(scope="module")
def pinned(root) -> dict[str, str]:
    text = (root / "requirements" / "dev.txt").read_text(encoding="utf-8")
    return dict(re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE))


@pytest.fixture(scope="module")
def asked(root) -> list[Requirement]:
    lines = (root / "requirements" / "dev.in").read_text(encoding="utf-8").splitlines()
    return [Requirement(line) for line in lines if line and not line.startswith("#")]


def test_every_package_is_pinned_with_hashes(root, pinned):
    text = (root / "requirements" / "dev.txt").read_text(encoding="utf-8")
    entries = re.split(r"\n(?=\S)", text.strip())
    assert len(entries) == len(pinned) > 20
    for entry in entries:
        assert re.match(r"[\w.-]+==\S+", entry), entry[:60]
        assert "--hash=sha256:" in entry, entry[:60]


def test_no_lock_names_a_host_or_a_path(root):
    assert "://" not in (root / "requirements" / "dev.txt").read_text(encoding="utf-8")
    packages = json.loads((root / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    for name, entry in packages.items():
        assert "resolved" not in entry, name
        assert not name or entry["integrity"].startswith("sha512-"), name


def test_what_is_asked_for_is_what_is_pinned(asked, pinned):
    """Fails when dev.in was edited and `make lock` forgotten."""
    assert asked
    for wish in asked:
        version = pinned[canonicalize_name(wish.name)]
        assert wish.specifier.contains(version), f"{wish} but {version} is pinned: run make lock"


def test_a_wheel_can_be_built_without_fetching_anything(root, pinned):
    build = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["build-system"]["requires"]
    for wish in map(Requirement, build):
        assert wish.specifier.contains(pinned[canonicalize_name(wish.name)]), wish


def test_the_runtime_of_the_browser_is_pinned_exactly(root):
    wished = json.loads((root / "package.json").read_text(encoding="utf-8"))["devDependencies"]
    locked = json.loads((root / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    for name, version in wished.items():
        assert locked[f"node_modules/{name}"]["version"] == version

"""What the site carries for the browser: exact, relative, the same from the same source."""

from __future__ import annotations

import hashlib
import json
import re
import zipfile

import pytest

from checker.dev.site import browser_files as browser


def digests(folder) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.iterdir()}


def test_it_holds_these_files_and_no_other(browser_folder, wheel):
    ours = wheel.name.replace("-py3-", "-cp313-")
    assert {path.name for path in browser_folder.iterdir()} == {*browser.RUNTIME_FILES, browser.LOCK_FILE, ours}


def test_the_lock_offers_our_wheel_alone_with_its_hash(browser_folder):
    text = (browser_folder / browser.LOCK_FILE).read_text(encoding="utf-8")
    assert "://" not in text
    (entry,) = json.loads(text)["packages"].values()
    assert entry["name"] == "spareway"
    assert entry["depends"] == []
    assert entry["imports"] == ["checker"]
    assert re.fullmatch(r"[\w.-]+\.whl", entry["file_name"]), "the address must be relative"
    assert entry["sha256"] == digests(browser_folder)[entry["file_name"]]


def test_its_wheel_differs_from_the_installed_one_in_byte_code_alone(browser_folder, wheel):
    (compiled,) = browser_folder.glob("*.whl")
    with zipfile.ZipFile(compiled) as small, zipfile.ZipFile(wheel) as full:
        expected = {re.sub(r"\.py$", ".pyc", name) for name in full.namelist()}
        assert set(small.namelist()) == expected
        for name in full.namelist():
            if not name.endswith(".py"):
                assert small.read(name) == full.read(name), name


def test_building_again_gives_the_same_bytes(browser_folder, tmp_path, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    (tmp_path / "pyodide").mkdir()
    (tmp_path / "pyodide" / "left-over.txt").touch()
    browser.build_browser(tmp_path)
    assert digests(tmp_path / "pyodide") == digests(browser_folder)
    assert [path.name for path in tmp_path.iterdir()] == ["pyodide"]


def test_without_pyodide_it_says_what_to_install(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(browser, "PYODIDE", tmp_path / "nowhere")
    assert browser.main(["--out", str(tmp_path / "out")]) == 1
    assert "npm ci" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_another_python_is_refused_by_name():
    with pytest.raises(browser.BuildFault, match=r"Pyodide runs Python 2\.7\."):
        browser._same_python("2.7.18")

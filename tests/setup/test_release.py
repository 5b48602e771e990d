"""A release is the same bytes whoever builds it: nothing of the machine, the hour or the order of the disk gets in."""

from __future__ import annotations

import gzip
import importlib.util
import io
import os
import tarfile

import pytest


@pytest.fixture
def release(root, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    spec = importlib.util.spec_from_file_location("release", root / "tools" / "release.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def folder(path, names):
    for name in names:
        file = path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(f"<p>{name}</p>", encoding="utf-8")
    return path


def test_the_site_is_packed_the_same_whatever_order_mode_and_hour_its_files_have(release, tmp_path):
    names = ["index.html", "a/b.html", "a/a.html"]
    one = folder(tmp_path / "one", names)
    two = folder(tmp_path / "two", reversed(names))
    os.utime(two / "index.html", (1, 1))
    (two / "a/b.html").chmod(0o600)
    assert release.packed(one, "site") == release.packed(two, "site")


def test_what_is_packed_can_be_read_again_and_carries_the_date_of_the_commit(release, tmp_path):
    content = gzip.decompress(release.packed(folder(tmp_path / "one", ["a/b.html"]), "site"))
    with tarfile.open(fileobj=io.BytesIO(content)) as archive:
        (entry,) = archive.getmembers()
        assert archive.extractfile(entry).read() == b"<p>a/b.html</p>"
    assert (entry.name, entry.mtime, entry.uid, entry.uname) == ("site/a/b.html", 1_700_000_000, 0, "")


def test_one_byte_that_differs_between_two_builds_stops_the_release(release, tmp_path, monkeypatch):
    made = iter(({"x.whl": b"1"}, {"x.whl": b"2"}))
    monkeypatch.setattr(release, "done", lambda *command, cwd: type("Done", (), {"stdout": ""}))
    monkeypatch.setattr(release, "built", lambda path, commit: next(made))
    monkeypatch.setattr(release, "ROOT", tmp_path)
    with pytest.raises(SystemExit, match=r"differ in x\.whl; nothing was written"):
        release.main()
    assert not (tmp_path / "dist").exists()


def test_what_changed_goes_with_the_release(release, tmp_path, monkeypatch):
    monkeypatch.setattr(
        release, "done", lambda *c, cwd: type("Done", (), {"stdout": "newly passing" if "newly-passing" in c else ""})
    )
    monkeypatch.setattr(release, "built", lambda path, commit: {"x.whl": b"abc"})
    monkeypatch.setattr(release, "ROOT", tmp_path)
    assert release.main() == 0
    assert (tmp_path / "dist/RELEASE-NOTES.md").read_text("utf-8") == "newly passing"


def test_the_sums_are_those_of_the_files(release, tmp_path, monkeypatch):
    monkeypatch.setattr(release, "done", lambda *command, cwd: type("Done", (), {"stdout": ""}))
    monkeypatch.setattr(release, "built", lambda path, commit: {"x.whl": b"abc"})
    monkeypatch.setattr(release, "ROOT", tmp_path)
    assert release.main() == 0
    # FIPS 180-4 example: SHA-256 of "abc".
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert f"{known}  x.whl" in (tmp_path / "dist/SHA256SUMS").read_text("utf-8").splitlines()
    assert (tmp_path / "dist/x.whl").read_bytes() == b"abc"

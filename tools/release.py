"""`make release`: wheel, source archive and site, built twice from the last commit, equal byte for byte, with their sums.

Both builds are made from `git archive`, in folders of their own, so that nothing that is not committed gets in.
"""

from __future__ import annotations

import gzip
import hashlib
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOOLS = Path(sys.executable).parents[1]  # the virtual environment; its tools are named by the lock file


def main() -> int:
    if done("git", "status", "--porcelain", cwd=ROOT).stdout.strip():
        sys.exit("release: there are changes that are not committed; a release is one commit. Commit or stash them.")
    with tempfile.TemporaryDirectory() as folder:
        commit = done("git", "rev-parse", "HEAD", cwd=ROOT).stdout.strip()  # once: it may move while we build
        first, second = (built(Path(folder) / name, commit) for name in ("one", "two"))
        differ = [name for name in sorted(first.keys() | second.keys()) if first.get(name) != second.get(name)]
        # What changed since the last release; it stops here when something newly passes on nobody's word.
        notes = done(sys.executable, "-m", "checker.dev", "newly-passing", "--notes", cwd=ROOT).stdout
        if differ:
            sys.exit(f"release: two builds of one commit differ in {', '.join(differ)}; nothing was written.")
    out = ROOT / "dist"
    shutil.rmtree(out, ignore_errors=True)
    out.mkdir()
    first["RELEASE-NOTES.md"] = notes.encode()
    for name, content in first.items():
        (out / name).write_bytes(content)
    sums = "".join(f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(first.items()))
    (out / "SHA256SUMS").write_text(sums, encoding="utf-8")
    print(sums, end="")
    return 0


def built(folder: Path, commit: str) -> dict[str, bytes]:
    """Every file of a release by name, built in `folder`."""
    folder.mkdir()
    archive = subprocess.run(["git", "archive", commit], cwd=ROOT, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=BytesIO(archive)) as held:
        held.extractall(folder, filter="data")
    (folder / "node_modules").symlink_to(ROOT / "node_modules")
    installed = [f"--old-file={path}" for path in (TOOLS / ".installed", "node_modules/.installed")]
    done("make", *installed, f"VENV={TOOLS}", "site", cwd=folder)
    done(sys.executable, "-m", "build", "--no-isolation", "--outdir", "dist", cwd=folder)
    made = {path.name: path.read_bytes() for path in (folder / "dist").iterdir()}
    version = next(name for name in made if name.endswith(".tar.gz")).removeprefix("spareway-").removesuffix(".tar.gz")
    return {**made, f"spareway-site-{version}.tar.gz": packed(folder / "site", f"spareway-site-{version}")}


def packed(folder: Path, top: str) -> bytes:
    """A folder as a tar archive in which only names and contents count: no owner, no order of the disk, one date."""
    date = int(os.environ["SOURCE_DATE_EPOCH"])
    plain = BytesIO()
    with tarfile.open(fileobj=plain, mode="w", format=tarfile.USTAR_FORMAT) as archive:
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            entry = tarfile.TarInfo(f"{top}/{path.relative_to(folder).as_posix()}")
            entry.size, entry.mtime, entry.mode = path.stat().st_size, date, 0o644
            with path.open("rb") as content:
                archive.addfile(entry, content)
    return gzip.compress(plain.getvalue(), mtime=date)


def done(*command: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Runs a step on the code of `cwd`; its output is shown only when it fails."""
    result = subprocess.run(
        command, cwd=cwd, env={**os.environ, "PYTHONPATH": str(cwd)}, capture_output=True, text=True, encoding="utf-8"
    )
    if result.returncode:
        sys.exit(f"release: {' '.join(command)} failed\n{result.stdout}{result.stderr}")
    return result


if __name__ == "__main__":
    sys.exit(main())

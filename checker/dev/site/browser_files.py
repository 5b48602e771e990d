"""Builds the folder that a page needs to run the core in a browser.

    python -m checker.dev browser-files [--out build/browser]

`<out>/pyodide/` then holds exactly the loader and the interpreter of Pyodide (from the npm package that
package-lock.json pins), of its standard library what Pyodide and the core import, our own wheel with byte code in it,
and `pyodide-lock.json`, which names that wheel alone. All addresses in it are relative: the folder works under any path, without network.
"""

from __future__ import annotations

import argparse
import ast
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

from checker.dev.checkout import ROOT

PYODIDE = ROOT / "node_modules" / "pyodide"
STANDARD_LIBRARY = "python_stdlib.zip"
RUNTIME_FILES = ("pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm", STANDARD_LIBRARY)
LOCK_FILE = "pyodide-lock.json"
COUNTED = (".wasm", ".zip", ".whl")  # what the worker fetches itself; the loader comes as a module
PACKAGE = "spareway"
FIRST_ZIP_DATE = 315532800  # 1980-01-01, the earliest a zip archive can write


class BuildFault(Exception):
    """The folder cannot be built; the message says what is missing and how to get it."""


def build_browser(out: Path) -> None:
    """Build `<out>/pyodide/`, replacing what stood there.

    Raises BuildFault when Pyodide is not installed, when this Python is not the version Pyodide runs, or when a tool
    fails; the old folder is then still in place.
    """
    lock = _pyodide_lock()
    _same_python(lock["info"]["python"])
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out, prefix=".building-") as name:
        work = Path(name)
        wheel = build_wheel(work / "wheel")
        folder = work / "pyodide"
        folder.mkdir()
        _lock_wheel(wheel, lock, folder)
        for file in RUNTIME_FILES:
            shutil.copyfile(PYODIDE / file, folder / file)
        _trim(folder / STANDARD_LIBRARY, _imported(folder, wheel))
        _tell_sizes(folder)
        _replace(out / "pyodide", folder, work / "old")


def build_wheel(folder: Path) -> Path:
    """Build the wheel that is also installed on computers (the build compiles the packs first) and return its path."""
    _run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT)
    (wheel,) = folder.glob("*.whl")
    return wheel


def _pyodide_lock() -> dict:
    missing = [file for file in (*RUNTIME_FILES, LOCK_FILE) if not (PYODIDE / file).is_file()]
    if missing:
        raise BuildFault(
            f"Pyodide is not installed: {', '.join(missing)} not found in node_modules/pyodide. "
            "Without it the site cannot run the checks. Fix: npm ci --ignore-scripts (or make setup)."
        )
    return json.loads((PYODIDE / LOCK_FILE).read_text(encoding="utf-8"))


def _same_python(version: str) -> None:
    needed = version.rpartition(".")[0]
    have = f"{sys.version_info.major}.{sys.version_info.minor}"
    if have != needed:
        raise BuildFault(
            f"This is Python {have}, and Pyodide runs Python {needed}. Byte code of one does not load in the other. "
            f"Fix: run this with Python {needed} (make setup finds one)."
        )


def _lock_wheel(wheel: Path, lock: dict, folder: Path) -> None:
    """Put the byte-compiled wheel and a lock file that names only it into `folder`."""
    # No other package is offered: a wheel that asks for one stops the build here instead of failing on a phone.
    bare = wheel.parent / "bare-lock.json"
    bare.write_text(json.dumps(lock | {"packages": {}}), encoding="utf-8")
    plain = shutil.copy(wheel, folder)
    locked = folder / LOCK_FILE
    _run("pyodide", "lockfile", "add-wheels", "--input", bare, "--output", locked, plain)
    _run("pyodide", "py-compile", "--silent", "--no-keep", folder)

    lock = json.loads(locked.read_text(encoding="utf-8"))
    entry = lock["packages"][PACKAGE]
    compiled = folder / entry["file_name"]
    _fix_dates(compiled)
    entry["sha256"] = hashlib.sha256(compiled.read_bytes()).hexdigest()
    # The lock names Python's version, not its own; a memory of one release must never be put back into another.
    lock["info"]["version"] = json.loads((PYODIDE / "package.json").read_text(encoding="utf-8"))["version"]
    locked.write_text(json.dumps(lock, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def _tell_sizes(folder: Path) -> None:
    """Into the lock file: how many bytes the worker fetches, so that the page can say how much of them is there."""
    locked = folder / LOCK_FILE
    lock = json.loads(locked.read_text(encoding="utf-8"))
    lock["tool"]["sizes"] = {path.name: path.stat().st_size for path in folder.iterdir() if path.suffix in COUNTED}
    locked.write_text(json.dumps(lock, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def _fix_dates(archive: Path) -> None:
    """Write the archive again with names in order and one date: the same source gives the same bytes."""
    with zipfile.ZipFile(archive) as old:
        members = sorted((info.filename, old.read(info)) for info in old.infolist())
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as new:
        for name, content in members:
            info = zipfile.ZipInfo(name)  # dated 1980-01-01
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            new.writestr(info, content)


def _imported(folder: Path, wheel: Path) -> set[str]:
    """The modules of the standard library that are imported when Pyodide starts and all of the core is imported."""
    return set(json.loads(_run("node", Path(__file__).with_name("imported.mjs"), folder, *sorted(_named_in(wheel)))))


def _named_in(wheel: Path) -> set[str]:
    """Every module that a file of the core names in an import, wherever in it: one imported late must be there too."""
    names: set[str] = set()
    with zipfile.ZipFile(wheel) as archive:
        for file in archive.namelist():
            if file.startswith(("checker/core/", "checker/packs/")) and file.endswith(".py"):
                names.add(file.removesuffix(".py").removesuffix("/__init__").replace("/", "."))
                for node in ast.walk(ast.parse(archive.read(file))):
                    if isinstance(node, ast.Import):
                        names |= {alias.name for alias in node.names}
                    elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                        names.add(node.module)
    return {name for name in names if not name.startswith("checker.dev")}


def _trim(library: Path, wanted: set[str]) -> None:
    """Leave in the zip of the standard library only `wanted`: the other three quarters are tools that no page asks for.

    Source, not byte code: it packs to half of it, and what it costs in time is paid on the first visit only.
    """
    with zipfile.ZipFile(library) as whole:
        files = [f"{name.replace('.', '/')}{end}" for name in wanted for end in (".py", "/__init__.py")]
        kept = {file: whole.read(file) for file in sorted({*files} & {*whole.namelist()})}
    library.unlink()
    with zipfile.ZipFile(library, "w") as archive:
        for file, content in kept.items():
            archive.writestr(file, content)
    _fix_dates(library)


def _replace(target: Path, new: Path, aside: Path) -> None:
    if target.exists():
        target.rename(aside)
    new.rename(target)


def _run(command: str, *arguments: str | Path) -> str:
    # The tools stand beside this Python, also when its folder is not on PATH. SOURCE_DATE_EPOCH makes byte code carry
    # a hash of its source; without it, it would carry the time of a scratch file.
    beside = Path(sys.executable).parent / command
    full = [str(beside if beside.exists() else command), *map(str, arguments)]
    environment = {"SOURCE_DATE_EPOCH": str(FIRST_ZIP_DATE)} | os.environ
    done = subprocess.run(full, env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        raise BuildFault(f"{' '.join(full)} failed with exit code {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m checker.dev browser-files", description=__doc__.partition("\n")[0])
    parser.add_argument("--out", type=Path, default=ROOT / "build" / "browser", help="folder to build in")
    out = parser.parse_args(argv).out
    try:
        build_browser(out)
    except BuildFault as fault:
        print(fault, file=sys.stderr)
        return 1
    return 0

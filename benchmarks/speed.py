"""How fast the checker is, in CPython and in Pyodide, and how big what the browser fetches.

    make bench

Times are the best of several runs: the machine's own noise only ever adds.
"""

from __future__ import annotations

import gzip
import json
import resource
import subprocess
import sys
import tempfile
import time
import venv
import zipfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from checker.dev.site.browser_files import build_wheel  # noqa: E402

BROWSER = ROOT / "build" / "browser" / "pyodide"


def best(work: Callable[[], object], runs: int = 5) -> float:
    """The shortest of `runs` runs, in seconds."""
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def process(command: list[str], lines: str = "") -> Callable[[], object]:
    return lambda: subprocess.run(command, input=lines, cwd=ROOT, capture_output=True, text=True, check=True)


def computing(command: list[str], folder: str) -> float:
    """Seconds of computing that a command run in `folder` takes; it must end as a judgement does."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    ended = subprocess.run(command, cwd=folder, capture_output=True, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if ended.returncode not in (0, 1, 2) or ended.stderr:
        raise SystemExit(f"{command} ended with {ended.returncode}: {ended.stderr}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def starts() -> None:
    """The command as it is installed from the wheel, which does not look whether a rule file is newer than its pack."""
    with tempfile.TemporaryDirectory() as folder:
        made = build_wheel(Path(folder))
        venv.create(Path(folder) / "env")
        python = Path(folder) / "env" / "bin" / "python"
        (packages,) = (Path(folder) / "env" / "lib").glob("python*/site-packages")
        with zipfile.ZipFile(made) as wheel:
            wheel.extractall(packages)
        subprocess.run([python, "-m", "compileall", "-q", packages], check=True)  # as an installer does
        case = str(ROOT / "scenarios" / "allotment-pump.toml")
        command = [str(python), "-c", "import sys; from checker.cli.main import main; sys.exit(main())", "check"]
        commands = {
            "Python, and what any command needs": [str(python), "-c", "import json, decimal, argparse"],
            "spareway check --help": [*command, "--help"],
            "spareway check --json FILE": [*command, "--json", case],
            "spareway check FILE": [*command, case],
        }
        least = dict.fromkeys(commands, float("inf"))
        for _ in range(11):  # in turns: a slow moment of the machine is slow for all
            least = {name: min(least[name], computing(command, folder)) for name, command in commands.items()}
    first = next(iter(least.values()))
    for name, seconds in least.items():
        print(f"CPython  {name:36} {seconds * 1000:6.1f} ms of computing   {seconds / first:5.2f}")


def speed(requests: list[str]) -> None:
    from checker.core.api import handle

    def all_once() -> None:
        for request in requests:
            handle(request)

    all_once()  # the packs are read once, and that is not what is measured
    count = len(requests)
    each = best(all_once) / count
    starts()
    print(f"CPython  one check              {each * 1000:8.2f} ms   ({1 / each:,.0f} a second, {count} scenarios)")

    node = ["node", "tests/runtimes/handle.mjs", str(BROWSER)]
    first = json.dumps(requests[0]) + "\n"
    rounds = 1 + 500 // count  # enough checks that the start, which varies, does not drown them
    many = "".join(json.dumps(request) + "\n" for request in requests) * rounds
    start = best(process(node, first), runs=3)
    each = (best(process(node, first + many), runs=3) - start) / (rounds * count)
    print(f"Pyodide  start and first check  {start * 1000:8.1f} ms   (under Node.js)")
    print(f"Pyodide  one check              {each * 1000:8.2f} ms   ({1 / each:,.0f} a second)")


def sizes() -> None:
    print(f"\n{'what the browser fetches':40} {'bytes':>10} {'gzip':>10}")
    total = total_packed = 0
    for path in sorted(BROWSER.iterdir()):
        content = path.read_bytes()
        packed = len(gzip.compress(content, 9))
        total, total_packed = total + len(content), total_packed + packed
        print(f"{path.name:40} {len(content):10,} {packed:10,}")
    print(f"{'together':40} {total:10,} {total_packed:10,}")


def main() -> int:
    from tests.runtimes import batch

    requests = [text for name, text in batch.scenarios().items() if name.endswith(": check")]
    if not requests:
        print("No scenario to measure with: scenarios/ holds no .toml file.", file=sys.stderr)
        return 1
    speed(requests)
    sizes()
    return 0


if __name__ == "__main__":
    sys.exit(main())

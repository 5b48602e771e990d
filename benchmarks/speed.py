"""How fast the checker is, in CPython and in Pyodide, and how big what the browser fetches.

    make bench

Times are the best of several runs: the machine's own noise only ever adds.
"""

from __future__ import annotations

import gzip
import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
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


def speed(requests: list[str]) -> None:
    from checker.core.api import handle

    def all_once() -> None:
        for request in requests:
            handle(request)

    all_once()  # the packs are read once, and that is not what is measured
    count = len(requests)
    each = best(all_once) / count
    python = [sys.executable, "-m", "checker.cli.main", "--help"]
    print(f"CPython  start of the command   {best(process(python)) * 1000:8.1f} ms")
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

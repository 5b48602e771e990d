"""The last step of the site: what its pages may run, and which files a browser keeps for use without a network.

    python -m checker.dev finish [--site site]

Both rest on the bytes of the finished pages, so nothing may change them afterwards.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from checker.core.api import handle
from checker.dev.checkout import ROOT
from checker.dev.site import offline_files, policy


def finish(site: Path, packs: list[dict[str, str]]) -> dict:
    """Writes policies, headers and the release into `site`; the release. Finishing twice changes nothing."""
    policy.write(site)
    return offline_files.write(site, packs)


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m checker.dev finish", description=__doc__.partition("\n")[0])
    parser.add_argument("--site", type=Path, default=ROOT / "site", help="the built site")
    options = parser.parse_args(arguments)
    release = finish(options.site, offline_files.packs_of(handle))
    print(f"release {release['name']}: {len(release['files'])} files for use without a network")
    return 0

"""`spareway packs` and `spareway --version`: what there is to judge by."""

from __future__ import annotations

import sys

from checker import __version__
from checker.cli.client import Client
from checker.terminal import output
from checker.terminal.display import display_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace


def run(options: Namespace) -> int:
    """List the packs, as text or as the JSON that the core gave."""
    client = Client()
    if options.json:
        import json

        output.write_json(json.dumps(client.packs()["packs"], ensure_ascii=False))
        return 0
    display = display_of(sys.stdout)
    lines = []
    for pack in client.packs()["packs"]:
        preview = " (preview)" if pack["preview"] else ""
        lines += display.wrap(f"{pack['title']}, edition {pack['edition']}{preview}", f"{pack['id']:<6}")
        until = f" until {pack['valid_until']}" if pack.get("valid_until") else ""
        lines += display.wrap(
            f"version {pack['version']}; in force from {pack['valid_from']}{until}; review by {pack['review_by']}",
            " " * 6,
        )
        if pack["preview"]:
            lines += display.wrap(f"Preview: {pack['preview']}", " " * 6)
    output.write("\n".join(lines) + "\n")
    return 0


def run_version(options: Namespace) -> int:
    """The version of the program, and one line a pack."""
    output.write(f"spareway {__version__}\n")
    display = display_of(sys.stdout)
    for pack in Client().packs()["packs"]:
        output.write(display.plain(f"pack {pack['id']} {pack['version']}, edition {pack['edition']}") + "\n")
    return 0

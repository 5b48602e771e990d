"""Serves the built site on this machine, for this machine only.

    python tools/serve.py [folder] [--port 8000]

At a terminal it serves until Ctrl-C. Without one (or with CI set) it proves that the address answers, and stops.
"""

from __future__ import annotations

import argparse
import functools
import os
import sys
import threading
import urllib.request
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path


class Handler(SimpleHTTPRequestHandler):
    # Named here because the tables of some systems lack them, and a browser refuses a module of the wrong type.
    extensions_map = SimpleHTTPRequestHandler.extensions_map | {
        ".js": "text/javascript",
        ".mjs": "text/javascript",
        ".json": "application/json",
        ".wasm": "application/wasm",
        ".webmanifest": "application/manifest+json",
    }

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")  # a rebuilt site shows at once
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        pass


def start(folder: Path, port: int) -> ThreadingHTTPServer:
    """Listen on `port`, or on any free one when it is taken."""
    handler = functools.partial(Handler, directory=str(folder))
    try:
        return ThreadingHTTPServer(("127.0.0.1", port), handler)
    except OSError:
        return ThreadingHTTPServer(("127.0.0.1", 0), handler)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, default=Path("site"))
    parser.add_argument("--port", type=int, default=8000)
    arguments = parser.parse_args()
    if not (arguments.folder / "index.html").is_file():
        print(f"No site in {arguments.folder}/: there is no index.html. Fix: make site", file=sys.stderr)
        return 1

    server = start(arguments.folder, arguments.port)
    address = f"http://127.0.0.1:{server.server_port}/"
    at_terminal = sys.stdin is not None and sys.stdin.isatty() and not os.environ.get("CI")
    if at_terminal:
        print(f"The site is at {address} (Ctrl-C stops it)", flush=True)
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            print()
        return 0

    threading.Thread(target=server.serve_forever, daemon=True).start()
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with direct.open(address, timeout=10) as reply:
        size = len(reply.read())
    server.shutdown()
    print(f"The site answered at {address} ({size} bytes); no terminal here, so the server has stopped.")
    return 0


if __name__ == "__main__":
    sys.exit(main())

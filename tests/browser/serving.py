"""A server for the built site, under a sub-path, that remembers what was asked and can hold back or refuse a part of it."""

from __future__ import annotations

import contextlib
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

# Not the root: the site must work wherever it is put.
SUB_PATH = "/some/place/"


class Site(ThreadingHTTPServer):
    """Serves `folder` under SUB_PATH of a free port of this machine. Use as a context manager."""

    daemon_threads = True

    def __init__(self, folder: Path) -> None:
        super().__init__(("127.0.0.1", 0), partial(_Handler, directory=str(folder)))
        self.folder = folder
        self.url = f"http://127.0.0.1:{self.server_port}{SUB_PATH}"
        self.asked: list[str] = []
        self.python_may_pass = threading.Event()
        self.refuse = ""  # a part of a path that is answered with 503
        self.reset()

    def reset(self) -> None:
        self.asked.clear()
        self.refuse = ""
        self.python_may_pass.set()

    def __enter__(self) -> Site:
        threading.Thread(target=self.serve_forever, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self.python_may_pass.set()
        self.shutdown()
        super().__exit__(*_)


class _Handler(SimpleHTTPRequestHandler):
    # Some systems call .mjs plain text, which a browser refuses to run.
    extensions_map = SimpleHTTPRequestHandler.extensions_map | {".mjs": "text/javascript", ".wasm": "application/wasm"}
    server: Site

    def do_GET(self) -> None:
        self.server.asked.append(self.path)
        if "/pyodide/" in self.path:
            self.server.python_may_pass.wait(60)
        if self.server.refuse and self.server.refuse in self.path:
            self.send_error(503)
            return
        if not self.path.startswith(SUB_PATH):
            self.send_error(404)
            return
        self.path = self.path.removeprefix(SUB_PATH.rstrip("/"))
        # A page may be left while a file is under way.
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            super().do_GET()

    def log_message(self, format: str, *args: object) -> None:
        pass

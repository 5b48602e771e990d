"""A server for the built site, under a sub-path, that remembers what was asked and can hold back or refuse a part of it."""

from __future__ import annotations

import contextlib
import threading
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

# Not the root: the site must work wherever it is put.
SUB_PATH = "/some/place/"


def headers_of(folder: Path) -> dict[str, str]:
    """The headers that the site asks its host to send with every file (`_headers`)."""
    file = folder / "_headers"
    lines = file.read_text(encoding="utf-8").splitlines()[1:] if file.is_file() else []
    return dict(line.strip().split(": ", 1) for line in lines)


class Site(ThreadingHTTPServer):
    """Serves `folder` under SUB_PATH of a free port of this machine. Use as a context manager."""

    daemon_threads = True

    def __init__(self, folder: Path) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.first_folder = folder
        self.serve_from(folder)
        self.url = f"http://127.0.0.1:{self.server_port}{SUB_PATH}"
        self.asked: list[str] = []
        self.python_may_pass = threading.Event()
        self.refuse = ""  # a part of a path that is answered with 503
        self.gone = False  # takes no more notice of anybody, as when the network is not there
        self.reset()

    def serve_from(self, folder: Path) -> None:
        """Another folder under the same address: what a host does when a new release is put there."""
        self.folder = folder
        self.headers = headers_of(folder)

    def reset(self) -> None:
        self.asked.clear()
        self.refuse = ""
        self.gone = False
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

    def translate_path(self, path: str) -> str:
        self.directory = str(self.server.folder)
        return super().translate_path(path)

    def do_GET(self) -> None:
        self.server.asked.append(self.path)
        if "/pyodide/" in self.path:
            self.server.python_may_pass.wait()  # `reset` and the end let it pass
        if self.server.gone:
            self.close_connection = True
            return
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

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")  # what the browser holds is asked about, and not there without us
        for name, value in self.server.headers.items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        pass

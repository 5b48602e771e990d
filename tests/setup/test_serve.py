"""The small server: it proves its address where nobody watches, and says what to do when there is no site."""

from __future__ import annotations

import http.client
import subprocess
import sys
import threading

import pytest

from tools import serve


def run(root, *arguments: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "tools/serve.py", *arguments],
        cwd=root, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip


def test_without_a_terminal_it_answers_once_and_stops(root, tmp_path):
    (tmp_path / "index.html").write_text("twelve bytes")
    done = run(root, str(tmp_path), "--port", "0")
    assert done.returncode == 0, done.stderr
    assert "answered at http://127.0.0.1:" in done.stdout
    assert "12 bytes" in done.stdout


def test_without_a_site_it_says_how_to_build_one(root, tmp_path):
    done = run(root, str(tmp_path))
    assert done.returncode == 1
    assert "make site" in done.stderr


@pytest.mark.parametrize(
    ("name", "kind"),
    [("a.mjs", "text/javascript"), ("a.wasm", "application/wasm"), ("a.json", "application/json")],
)
def test_a_browser_accepts_the_types(name, kind, tmp_path):
    (tmp_path / name).write_bytes(b"x")
    with serve.start(tmp_path, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        link = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=60)
        link.request("GET", f"/{name}")
        reply = link.getresponse()
        assert reply.headers["Content-Type"] == kind
        reply.read()
        link.close()
        server.shutdown()


def test_a_port_in_use_gives_way_to_a_free_one(tmp_path):
    with serve.start(tmp_path, 0) as first, serve.start(tmp_path, first.server_port) as second:
        assert second.server_port != first.server_port

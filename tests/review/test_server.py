"""The page on this machine: follows the records, shows them to nobody else, takes nothing."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path

import pytest

from dossier.errors import InputError
from dossier.review.server import Made, Watched, server, watch
from tests.trial import CLEAN, read, written

Served = tuple[Watched, int]


def made(folder: Path, mark: str) -> Made:
    text = (folder / "records.txt").read_text(encoding="utf-8")
    if text == "broken":
        raise InputError("records", found="broken", expected="whole ones")
    return Made(f"{text} {mark}".encode(), {"D/1": folder / "paper.pdf", "D-2": folder / "a.html"})


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    (tmp_path / "records.txt").write_text("first", encoding="utf-8")
    (tmp_path / "paper.pdf").write_bytes(b"%PDF-1.7 paper")
    (tmp_path / "a.html").write_text("<script>1</script>", encoding="utf-8")
    (tmp_path / "secret.pdf").write_bytes(b"%PDF-1.7 secret")
    watched = Watched(tmp_path, lambda mark: made(tmp_path, mark))
    listening = server(watched, 0)
    thread = threading.Thread(target=listening.serve_forever, args=(0.05,))
    thread.start()
    yield watched, listening.server_address[1]
    listening.shutdown()
    thread.join()
    listening.server_close()


def asked(
    port: int, path: str = "/", method: str = "GET", host: str = ""
) -> tuple[int, bytes, str]:
    connection = HTTPConnection("127.0.0.1", port, timeout=5)
    connection.request(method, path, headers={"Host": host} if host else {})
    reply = connection.getresponse()
    told = reply.status, reply.read(), reply.headers["Content-Type"] or ""
    connection.close()
    return told


def test_the_page_and_its_state_are_answered(served: Served) -> None:
    watched, port = served
    assert asked(port) == (200, f"first {watched.mark}".encode(), "text/html; charset=utf-8")
    assert json.loads(asked(port, "/state")[1]) == {"mark": watched.mark, "fault": ""}
    assert asked(port, method="HEAD")[:2] == (200, b"")


@pytest.mark.parametrize("host", ["harm.invalid", "127.0.0.1", "127.0.0.1:1", "[::1]:80"])
def test_another_host_is_refused(served: Served, host: str) -> None:
    assert asked(served[1], host=host)[:2] == (421, b"")


def test_localhost_is_this_machine_too(served: Served) -> None:
    assert asked(served[1], host=f"localhost:{served[1]}")[0] == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS"])
def test_other_methods_are_refused(served: Served, method: str) -> None:
    assert asked(served[1], method=method)[0] == 501


def test_evidence_of_the_register_alone_is_shown(served: Served) -> None:
    port = served[1]
    assert asked(port, "/evidence/D%2F1") == (200, b"%PDF-1.7 paper", "application/pdf")
    assert asked(port, "/evidence/D-2")[2] == "application/octet-stream"
    for path in ("/evidence/secret.pdf", "/evidence/../secret.pdf", "/secret.pdf", "//secret.pdf"):
        assert asked(port, path)[0] == 404, path


def test_a_change_makes_a_new_page_and_a_fault_keeps_the_last(served: Served) -> None:
    watched, port = served
    records = watched.folder / "records.txt"
    before = watched.mark
    assert not watched.renew()
    records.write_text("second", encoding="utf-8")
    assert watched.renew()
    assert watched.mark != before
    assert asked(port)[1] == f"second {watched.mark}".encode()
    records.write_text("broken", encoding="utf-8")
    assert not watched.renew()
    told = json.loads(asked(port, "/state")[1])
    assert told["mark"] == watched.mark
    assert "found broken" in told["fault"]
    assert asked(port)[1].startswith(b"second")
    records.write_text("third", encoding="utf-8")
    assert watched.renew()
    assert json.loads(asked(port, "/state")[1])["fault"] == ""


def test_hidden_files_do_not_count(served: Served) -> None:
    watched, _ = served
    (watched.folder / ".editor-lock").write_text("x", encoding="utf-8")
    assert not watched.renew()


def test_the_folder_is_looked_at_until_stopped(served: Served) -> None:
    watched, _ = served
    stopped, before = threading.Event(), watched.mark
    thread = threading.Thread(target=watch, args=(watched, stopped, 0.01))
    thread.start()
    (watched.folder / "records.txt").write_text("later", encoding="utf-8")
    for _ in range(500):
        if watched.mark != before:
            break
        stopped.wait(0.01)
    stopped.set()
    thread.join()
    assert watched.made.page.startswith(b"later")


def test_the_command_serves_a_project(tmp_path: Path) -> None:
    written(read(CLEAN), tmp_path)
    command = [sys.executable, "-m", "dossier.cli", "serve", str(tmp_path), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                          env={**os.environ, "PYTHONUNBUFFERED": "1"}) as running:  # fmt: skip
        try:
            assert running.stdout is not None
            address = running.stdout.readline().strip()
            status, body, _ = asked(int(address.rstrip("/").rpartition(":")[2]))
        finally:
            running.kill()
    assert address.startswith("http://127.0.0.1:")
    assert status == 200
    assert b'<meta name="live" content="' in body

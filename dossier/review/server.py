"""The review page on this machine alone: made again when a record changes, and never written to.

It listens on the loopback address, answers GET and HEAD only, and only to a browser that asked
for this very address, so that no page of another site can read the records through it.
"""

from __future__ import annotations

import hashlib
import json
import mimetypes
import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote, urlsplit

from dossier.errors import DossierError

ADDRESS: Final = "127.0.0.1"
_HEADERS: Final = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
_SHOWN: Final = ("application/pdf", "image/png", "image/jpeg", "image/tiff")  # else: to be saved


@dataclass(frozen=True, slots=True)
class Made:
    """One state of the page: its bytes, and the evidence files that it links to."""

    page: bytes
    evidence: Mapping[str, Path]


@dataclass(slots=True)
class Watched:
    """A project folder, and the page of the last state of it that could be read.

    `make` reads the project and makes the page; it is given the mark of the state.
    """

    folder: Path
    make: Callable[[str], Made]
    made: Made = field(init=False)
    mark: str = field(init=False, default="")
    seen: str = field(init=False, default="")
    fault: str = field(init=False, default="")

    def __post_init__(self) -> None:
        self.mark = self.seen = state_of(self.folder)
        self.made = self.make(self.mark)

    def renew(self) -> bool:
        """Make the page again if a file has changed; whether there is a new one.

        Records that cannot be read leave the last good page in place and say so in `fault`.
        """
        now = state_of(self.folder)
        if now == self.seen:
            return False
        self.seen = now
        try:
            self.made = self.make(now)
        except (DossierError, OSError) as error:
            told = str(error).splitlines()[0]
            self.fault = f"The records have changed and cannot be read: {told}"
            return False
        self.mark, self.fault = now, ""
        return True


def state_of(folder: Path) -> str:
    """A mark that changes when any file below the folder does; hidden files are left aside."""
    digest = hashlib.sha256()
    for path in _files(folder):
        try:
            told = path.stat()
        except FileNotFoundError:
            continue  # gone between listing and looking: the next look tells
        digest.update(f"{path}|{told.st_mtime_ns}|{told.st_size}\n".encode())
    return digest.hexdigest()[:16]


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if not hidden and path.is_file():
            yield path


def server(watched: Watched, port: int) -> ThreadingHTTPServer:
    """A server of the page on the loopback address; `port` 0 takes a free one.

    Raises OSError: the port is taken.
    """

    class Handler(_Handler):
        of = watched

    made = ThreadingHTTPServer((ADDRESS, port), Handler)
    made.daemon_threads = True
    return made


def watch(watched: Watched, stopped: threading.Event, every_s: float = 1.0) -> None:
    """Look at the folder again and again until `stopped`."""
    while not stopped.wait(every_s):
        watched.renew()


class _Handler(BaseHTTPRequestHandler):
    """Page, state and evidence; anything else is refused."""

    of: Watched
    server_version = "dossier"
    sys_version = ""

    def do_GET(self) -> None:
        self._answer(body=True)

    def do_HEAD(self) -> None:
        self._answer(body=False)

    def _answer(self, *, body: bool) -> None:
        if not self._own_host():
            self._send(HTTPStatus.MISDIRECTED_REQUEST, "text/plain", b"", body=body)
            return
        path = urlsplit(self.path).path
        if path == "/":
            self._send(HTTPStatus.OK, "text/html; charset=utf-8", self.of.made.page, body=body)
        elif path == "/state":
            told = json.dumps({"mark": self.of.mark, "fault": self.of.fault}).encode()
            self._send(HTTPStatus.OK, "application/json", told, body=body)
        else:
            self._evidence(unquote(path.removeprefix("/evidence/")), body=body)

    def _own_host(self) -> bool:
        port = self.connection.getsockname()[1]
        return self.headers.get("Host", "") in (f"{ADDRESS}:{port}", f"localhost:{port}")

    def _evidence(self, number: str, *, body: bool) -> None:
        path = self.of.made.evidence.get(number)
        if path is None or not path.is_file():
            self._send(HTTPStatus.NOT_FOUND, "text/plain", b"", body=body)
            return
        kind = mimetypes.guess_type(path.name)[0] or ""
        shown = kind if kind in _SHOWN else "application/octet-stream"
        self._send(HTTPStatus.OK, shown, path.read_bytes(), body=body)

    def _send(self, status: HTTPStatus, kind: str, data: bytes, *, body: bool) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        for name, value in _HEADERS.items():
            self.send_header(name, value)
        self.end_headers()
        if body:
            self.wfile.write(data)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - name of the library
        """Say nothing: what is looked at is nobody's business, and stdout is data."""

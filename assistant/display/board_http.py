"""How the glance page's server answers: two addresses, read only, within limits of size, time and number.

Crosses the border: sockets in, HTTP out.  What may be seen, and by whom, is asked of a `Source`.
"""

from __future__ import annotations

import io
import json
import secrets
import socket
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import asdict
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Protocol
from urllib.parse import parse_qs

from assistant.display.board_page import page
from assistant.display.view import View

COOKIE = "board"
MOST_BYTES = 8192
"""Of a request; a browser sends a tenth of it."""

MOST_SECONDS = 5.0
"""For a request to arrive in, and for a client to take what it is sent."""

MOST_CLIENTS = 16

RETRY_MS = 500
"""How soon a page that lost its connection tries again."""

_HEADERS = {
    "Cache-Control": "no-store",
    "Connection": "close",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}


class Source(Protocol):
    """Whoever knows what may be seen."""

    def hosts(self) -> set[str]:
        """The names (host:port) this server answers to."""

    def admits(self, device: str) -> bool:
        """Whether a device with this pass may look."""

    def redeem(self, code: str) -> str | None:
        """The pass for a code, which is then used up; None for a wrong one."""

    def after(self, version: int) -> tuple[int, View] | None:
        """The view once newer than `version`, or again after a while; None at the end."""


class Server(ThreadingHTTPServer):
    """One thread a client, and only so many."""

    daemon_threads = True
    # On Windows this option would let another program take a port that is in use.
    allow_reuse_address = sys.platform != "win32"

    def __init__(self, address: tuple[str, int], source: Source) -> None:
        self.source = source
        self._free = threading.BoundedSemaphore(MOST_CLIENTS)
        super().__init__(address, Handler)

    def process_request(self, request: Any, client_address: Any) -> None:
        """Give the client a thread, or turn it away."""
        if self._free.acquire(blocking=False):
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """In the client's own thread."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._free.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A client that goes away in the middle is nothing to report."""


class Handler(BaseHTTPRequestHandler):
    """One request, one answer, then the connection ends."""

    server: Server
    protocol_version = "HTTP/1.1"

    def handle(self) -> None:
        """Take in the head of one request, and answer it."""
        head = _head(self.connection)
        self.connection.settimeout(MOST_SECONDS)
        self.close_connection = True
        if len(head) > MOST_BYTES:
            self.request_version = self.protocol_version
            self.send_error(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE)
            return
        self.rfile = io.BufferedReader(io.BytesIO(head))
        self.handle_one_request()

    def do_GET(self) -> None:
        """The page, its events, or the exchange of a code for a pass."""
        path, _, query = self.path.partition("?")
        source = self.server.source
        if not self._asked_by_own_page():
            self.send_error(HTTPStatus.FORBIDDEN)
        elif path == "/" and query:
            self._exchange(parse_qs(query).get("code", [""])[0])
        elif path not in ("/", "/events"):
            self.send_error(HTTPStatus.NOT_FOUND)
        elif not source.admits(self._device()):
            self.send_error(HTTPStatus.FORBIDDEN)
        elif path == "/":
            self._page()
        else:
            self._events()

    def _asked_by_own_page(self) -> bool:
        """Whether the request names this server and does not come from some other site's page."""
        host = self.headers.get("Host", "")
        return (
            host in self.server.source.hosts()
            and self.headers.get("Origin", f"http://{host}") == f"http://{host}"
            and self.headers.get("Sec-Fetch-Site", "none") in ("none", "same-origin")
        )

    def _device(self) -> str:
        pairs = (pair.strip().partition("=") for pair in self.headers.get("Cookie", "").split(";"))
        return next((value for name, _, value in pairs if name == COOKIE), "")

    def _exchange(self, code: str) -> None:
        device = self.server.source.redeem(code)
        if device is None:
            self.send_error(HTTPStatus.FORBIDDEN)
            return
        self._start(HTTPStatus.SEE_OTHER, {
            "Location": "/", "Content-Length": "0", "Set-Cookie": f"{COOKIE}={device}; HttpOnly; SameSite=Strict; Path=/",
        })

    def _page(self) -> None:
        nonce = secrets.token_urlsafe(16)
        body = page(nonce).encode()
        policy = (
            f"default-src 'none'; script-src 'nonce-{nonce}'; style-src 'nonce-{nonce}'; connect-src 'self'; "
            "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        )
        self._start(HTTPStatus.OK, {
            "Content-Type": "text/html; charset=utf-8",
            "Content-Length": str(len(body)),
            "Content-Security-Policy": policy,
        })
        self.wfile.write(body)

    def _events(self) -> None:
        self._start(HTTPStatus.OK, {"Content-Type": "text/event-stream"})
        self.wfile.write(f"retry: {RETRY_MS}\n\n".encode())
        for view in self._views():
            self.wfile.write(f"data: {json.dumps(asdict(view))}\n\n".encode())

    def _views(self) -> Iterator[View]:
        version = -1
        while (found := self.server.source.after(version)) is not None:
            version, view = found
            yield view

    def _start(self, status: HTTPStatus, headers: dict[str, str]) -> None:
        self.send_response_only(status)
        for name, value in {**_HEADERS, **headers}.items():
            self.send_header(name, value)
        self.end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """A refusal says its number and nothing of what was asked; called by the library too."""
        body = f"{int(code)}\n".encode()
        self._start(HTTPStatus(code), {"Content-Type": "text/plain", "Content-Length": str(len(body))})
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:
        """Nothing is logged: the console belongs to the job."""


def _head(connection: socket.socket) -> bytes:
    """A request up to its empty line; longer than allowed where it is, and empty where it does not come in time."""
    head, end = b"", time.monotonic() + MOST_SECONDS
    while b"\r\n\r\n" not in head and len(head) <= MOST_BYTES:
        left = end - time.monotonic()
        if left <= 0:
            return b""
        connection.settimeout(left)
        try:
            more = connection.recv(MOST_BYTES)
        except OSError:
            return b""
        if not more:
            return b""
        head += more
    return head

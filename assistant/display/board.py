"""The glance page's server: the current mark, live, on this machine or by choice on the local network.

Crosses the border: a `View` in, HTTP out.  It answers two addresses and nothing else, reads no file, takes no input, and
knows only what `show` was given.  On the local network a code, good for one use, has to be brought from the console.
"""

from __future__ import annotations

import hmac
import io
import secrets
import socket
import threading
from types import TracebackType

import segno

from assistant.display.board_http import Server
from assistant.display.view import View
from assistant.errors import RecordError

LOOPBACK = "127.0.0.1"
BEAT = 2.0
"""Seconds between signs of life, by which a page knows that its mark is not an old one."""


class Board:
    """The server, running from construction to `close`."""

    def __init__(self, port: int = 0, lan: bool = False) -> None:
        """Raises RecordError when the port is taken, or there is no network to serve."""
        self._host = _lan_address() if lan else LOOPBACK
        self._lan = lan
        self._changed = threading.Condition()
        self._view = View("site-assistant")
        self._version = 0
        self._closed = False
        self._code = secrets.token_urlsafe(16) if lan else ""
        self._devices: list[str] = []
        try:
            self._server = Server((self._host, port), self)
        except OSError as error:
            raise RecordError(
                f"The page cannot be served on port {port}: {error.strerror or error}. Choose another port."
            ) from error
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.1,), name="board", daemon=True)
        self._thread.start()

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self._server.server_address[1])

    @property
    def url(self) -> str:
        """The address to open; on the local network with a code that one device can use once, then a new one."""
        plain = f"http://{self._host}:{self.port}/"
        return f"{plain}?code={self._code}" if self._lan else plain

    def qr(self) -> str:
        """The address as a QR code for the terminal."""
        text = io.StringIO()
        segno.make(self.url, micro=False).terminal(text, compact=True)
        return text.getvalue()

    def show(self, view: View) -> None:
        """What the page shows from now on; never waits for anyone who looks."""
        with self._changed:
            self._view = view
            self._version += 1
            self._changed.notify_all()

    def close(self) -> None:
        """End the server and every page's connection."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    # For the handlers ----------------------------------------------------------------------------------------------

    def after(self, version: int) -> tuple[int, View] | None:
        """The view once it is newer than `version`, or again after a beat; None when the board closes."""
        with self._changed:
            self._changed.wait_for(lambda: self._closed or self._version != version, timeout=BEAT)
            return None if self._closed else (self._version, self._view)

    def hosts(self) -> set[str]:
        """The names this server answers to: no other, so that no web page can point its own name here."""
        names = {self._host} if self._lan else {LOOPBACK, "localhost"}
        return {f"{name}:{self.port}" for name in names}

    def admits(self, device: str) -> bool:
        """Whether a device may look: anyone on this machine, or one with the pass it got for a code."""
        return not self._lan or any(_same(known, device) for known in self._devices)

    def redeem(self, code: str) -> str | None:
        """The pass of a new device for the present code, which is then used up; None for any other."""
        with self._changed:
            if not self._lan or not _same(self._code, code):
                return None
            self._code = secrets.token_urlsafe(16)
            self._devices.append(secrets.token_urlsafe(16))
            return self._devices[-1]

    def __enter__(self) -> Board:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def _same(secret: str, given: str) -> bool:
    return hmac.compare_digest(secret.encode(), given.encode("utf-8", "replace"))


def _lan_address() -> str:
    """This machine's address on the local network; asking for a route sends nothing.  Raises RecordError without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # An address kept for documentation (RFC 5737): it only has to lie beyond this machine.
            probe.connect(("192.0.2.1", 9))
        except OSError as error:
            raise RecordError(
                "This machine is on no network. Join one first, or leave the page to this machine alone."
            ) from error
        return str(probe.getsockname()[0])

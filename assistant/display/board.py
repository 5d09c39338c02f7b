"""The glance page's server: the current mark, live, on this machine or by choice on the local network.

Crosses the border: a `View` in, HTTP out.  It answers two addresses and nothing else, reads no file, takes no input, and
knows only what `show` was given.  On the local network a code, good for one use, has to be brought from the console.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from dataclasses import asdict
from types import TracebackType

from aiohttp import web

from assistant.display.board_page import PAGE, POLICY
from assistant.display.terminal_code import terminal_code
from assistant.display.view import View
from assistant.serving import LOOPBACK, Place, Serving, lan_address, same_secret

COOKIE = "board"
BEAT = 2.0
"""Seconds between signs of life, by which a page knows that its mark is not an old one."""
TICK = 0.05
"""Seconds between two looks whether there is something new to show."""
RETRY_MS = 500
"""How soon a page that lost its connection tries again."""

MOST_STREAMS = 32
"""Pages that follow at a time; one more takes the place of the oldest, so that nobody who forgets his pages open shuts out the next."""


class Board:
    """The server, running from construction to `close`."""

    def __init__(self, port: int = 0, lan: bool = False) -> None:
        """Raises RecordError when the port is taken, or there is no network to serve."""
        self._lan = lan
        self._view, self._version, self._closed = View("site-assistant"), 0, False
        self._code = secrets.token_urlsafe(16) if lan else ""
        self._devices: list[str] = []
        self._streams: list[asyncio.Task[None]] = []
        routes = [web.get("/", self._page, allow_head=False), web.get("/events", self._events, allow_head=False)]
        self._serving = Serving(Place(lan_address() if lan else LOOPBACK, port), routes, POLICY)

    @property
    def port(self) -> int:
        """Where it listens."""
        return self._serving.port

    @property
    def url(self) -> str:
        """The address to open; on the local network with a code that one device can use once, then a new one."""
        plain = f"{self._serving.origin}/"
        return f"{plain}?code={self._code}" if self._lan else plain

    def qr(self) -> str:
        """The address as a QR code for the terminal."""
        return terminal_code(self.url)

    def where(self) -> str:
        """What the console says of it: the address, and for other devices its code to scan."""
        return f"The mark is shown at {self.url}" + (f"\n{self.qr()}" if self._lan else "")

    def show(self, view: View) -> None:
        """What the page shows from now on; never waits for anyone who looks."""
        self._view = view
        self._version += 1

    def close(self) -> None:
        """End the server and every page's connection."""
        self._closed = True
        self._serving.close()

    def __enter__(self) -> Board:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    async def _page(self, request: web.Request) -> web.StreamResponse:
        """The page, or the exchange of a code for a pass."""
        if request.query_string:
            return self._exchanged(request.query.get("code", ""))
        self._admit(request)
        return web.Response(text=PAGE, content_type="text/html")

    def _exchanged(self, code: str) -> web.Response:
        if not self._lan or not same_secret(self._code, code):
            raise web.HTTPForbidden(text="403\n")
        self._code = secrets.token_urlsafe(16)
        self._devices.append(secrets.token_urlsafe(16))
        answer = web.Response(status=303, headers={"Location": "/"})
        answer.set_cookie(COOKIE, self._devices[-1], path="/", httponly=True, samesite="Strict")
        return answer

    def _admit(self, request: web.Request) -> None:
        """Anyone on this machine, or a device with the pass it got for a code.  Raises HTTPForbidden."""
        given = request.cookies.get(COOKIE, "")
        if self._lan and not any(same_secret(known, given) for known in self._devices):
            raise web.HTTPForbidden(text="403\n")

    async def _events(self, request: web.Request) -> web.StreamResponse:
        self._admit(request)
        answer = web.StreamResponse(headers={"Content-Type": "text/event-stream"})
        await answer.prepare(request)
        stream = asyncio.ensure_future(self._follow(answer))
        self._streams.append(stream)
        if len(self._streams) > MOST_STREAMS:
            self._streams[0].cancel()
        try:
            await asyncio.wait([stream])
        finally:
            stream.cancel()
            self._streams.remove(stream)
        return answer

    async def _follow(self, answer: web.StreamResponse) -> None:
        """Tells one page what is shown, until either is gone."""
        loop = asyncio.get_running_loop()
        version, told = -1, 0.0
        try:
            await answer.write(f"retry: {RETRY_MS}\n\n".encode())
            while not self._closed:
                if version != self._version or loop.time() - told > BEAT:
                    version, told = self._version, loop.time()
                    await answer.write(f"data: {json.dumps(asdict(self._view))}\n\n".encode())
                await asyncio.sleep(TICK)
        except ConnectionError:  # who looked has gone
            pass

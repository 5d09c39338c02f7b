"""A small web server in a thread of its own: who may ask, in what time, and what every answer says.

Crosses the border: sockets in, HTTP and WebSocket out.  What is served is the routes' business; here a request that names another host, or
comes from another site's page, is refused before it reaches one, and a client that connects and says nothing is let go.
"""

from __future__ import annotations

import asyncio
import errno
import hmac
import logging
import socket
import ssl
import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from aiohttp import web
from aiohttp.typedefs import Handler
from aiohttp.web_protocol import RequestHandler

from assistant.errors import AssistantError, RecordError

LOOPBACK: Final = "127.0.0.1"
MOST_CLIENTS: Final = 512
"""Connections at a time; one more is turned away."""
IDLE_S: Final = 5.0
"""In which the head of a request has to arrive, and a handshake to end."""
MOST_BODY: Final = 1024
"""Bytes of a request's body."""
_START_S: Final = 10.0
_HEADERS: Final = {
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
_NOTHING_ELSE: Final = "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a server listens; port 0 takes any that is free."""

    host: str = LOOPBACK
    port: int = 0
    tls: ssl.SSLContext | None = None


class Serving:
    """A server, running from construction to `close`."""

    def __init__(self, place: Place, routes: Iterable[web.AbstractRouteDef], policy: str, headers: Mapping[str, str] | None = None) -> None:
        """`policy` is the Content-Security-Policy of every answer, to which nothing else is added but what no page here needs; `$own` in it
        stands for this server's host and port.  Raises RecordError when the port is taken.
        """
        self._place, self._more = place, dict(headers or {})
        self._policy = policy
        self._server: web.Server | None = None
        self._silent: set[RequestHandler] = set()
        """Connections on which no request has come yet."""
        self._app = web.Application(middlewares=[self._guard], client_max_size=MOST_BODY)
        self._app.add_routes(routes)
        self._app.on_response_prepare.append(self._dress)
        self.loop = asyncio.new_event_loop()
        self._ended = asyncio.Event()
        try:
            self._socket = socket.create_server((place.host, place.port), backlog=MOST_CLIENTS)
        except OSError as error:
            self.loop.close()
            why = "another program has it" if error.errno == errno.EADDRINUSE else error.strerror or str(error)
            raise RecordError(f"The page cannot be served on port {place.port}: {why}. Choose another port.") from error
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, name="serving", daemon=True)
        self._thread.start()
        if not self._ready.wait(_START_S):
            raise AssistantError("The page's server does not start. Try again.")

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self._socket.getsockname()[1])

    @property
    def origin(self) -> str:
        """Scheme, host and port, as browsers name where a page comes from."""
        return f"http{'s' if self._place.tls else ''}://{self._place.host}:{self.port}"

    def close(self) -> None:
        """Ends every connection, then the server."""
        if not self.loop.is_closed():
            self.loop.call_soon_threadsafe(self._ended.set)
            self._thread.join()

    def _run(self) -> None:
        try:
            self.loop.run_until_complete(self._serve())
        finally:
            self.loop.close()

    async def _serve(self) -> None:
        quiet = logging.getLogger(f"{__name__}.quiet")  # the console belongs to the job
        quiet.addHandler(logging.NullHandler())
        quiet.propagate = False
        runner = web.AppRunner(self._app, access_log=None, logger=quiet, keepalive_timeout=IDLE_S, shutdown_timeout=1.0)
        await runner.setup()
        made = self._server = runner.server
        assert made is not None

        def client() -> RequestHandler:
            handler = made()
            self._silent.add(handler)
            self.loop.call_later(IDLE_S, self._let_go, handler)
            return handler

        tls = self._place.tls
        server = await self.loop.create_server(client, sock=self._socket, ssl=tls, ssl_handshake_timeout=IDLE_S if tls else None)
        self.loop.set_exception_handler(lambda loop, context: None)  # a client that breaks off is nothing to report
        self._ready.set()
        await self._ended.wait()
        server.close()
        await runner.cleanup()

    def _let_go(self, client: RequestHandler) -> None:
        """Ends a connection on which no request has come."""
        if client in self._silent:
            self._silent.discard(client)
            if isinstance(client.transport, asyncio.Transport):
                client.transport.abort()

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        self._silent.discard(request.protocol)
        if self._server is not None and len(self._server.connections) > MOST_CLIENTS:
            raise web.HTTPServiceUnavailable(text="503\n")
        if not self._asked_by_own_page(request):
            raise web.HTTPForbidden(text="Refused: open the address that the console shows.\n")
        try:
            return await handler(request)
        except (web.HTTPNotFound, web.HTTPMethodNotAllowed) as refused:
            refused.text = f"{refused.status}\n"  # nothing of what was asked
            raise

    def _asked_by_own_page(self, request: web.Request) -> bool:
        """Whether the request names this server and does not come from some other site's page."""
        host = request.headers.get("Host", "")
        return (
            host in self._hosts()
            and request.headers.get("Origin", own := f"{self._scheme}://{host}") == own
            and request.headers.get("Sec-Fetch-Site", "none") in ("none", "same-origin")
        )

    @property
    def _scheme(self) -> str:
        return "https" if self._place.tls else "http"

    def _hosts(self) -> set[str]:
        """The names this server answers to: no other, so that no web page can point its own name here."""
        names = {LOOPBACK, "localhost"} if self._place.host == LOOPBACK else {self._place.host}
        return {f"{name}:{self.port}" for name in names}

    async def _dress(self, request: web.Request, response: web.StreamResponse) -> None:
        host = request.headers.get("Host", "")
        policy = self._policy.replace("$own", host if host in self._hosts() else "")
        response.headers.update({**_HEADERS, **self._more, "Content-Security-Policy": f"default-src 'none'; {policy}; {_NOTHING_ELSE}"})
        response.headers.pop("Server", None)
        if not isinstance(response, web.WebSocketResponse):
            response.headers["Connection"] = "close"
            response.force_close()  # pages are few and small: a connection kept open would only stand in others' way


def same_secret(secret: str, given: str) -> bool:
    """Whether somebody brought the secret; the time it takes tells nothing of it."""
    return hmac.compare_digest(secret.encode(), given.encode("utf-8", "replace"))


def lan_address() -> str:
    """This machine's address on the local network; asking for a route sends nothing.  Raises RecordError without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # An address kept for documentation (RFC 5737): it only has to lie beyond this machine.
            probe.connect(("192.0.2.1", 9))
        except OSError as error:
            raise RecordError("This machine is on no network. Join one first, or leave the page to this machine alone.") from error
        return str(probe.getsockname()[0])

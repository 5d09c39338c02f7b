"""The phone's page and its one connection: who may open it, and what goes over it.

Crosses the border: HTTP and WebSocket frames in and out; sound goes to the card and comes from it, what is shown comes from the session.
"""

from __future__ import annotations

import asyncio
import base64
import json
from dataclasses import asdict
from pathlib import Path
from types import TracebackType
from typing import Final

from aiohttp import WSCloseCode, WSMsgType, web

from assistant.display import board_page
from assistant.display.terminal_code import terminal_code
from assistant.display.view import View
from assistant.phone.certificate import Credentials, context, fingerprint
from assistant.phone.frames import (
    BURST,
    FRAMES_A_SECOND,
    JITTER_MS,
    NOTES_A_SECOND,
    NOTES_BURST,
    BreachError,
    Pace,
    read_frame,
    read_note,
)
from assistant.phone.pairing import Pairing
from assistant.phone.phone_card import PhoneCard
from assistant.serving import Place, Serving
from assistant.speech.wav import SAMPLE_RATE, Samples

COOKIE: Final = "phone"
COOKIE_S: Final = 24 * 3600
TICK_S: Final = 0.02
BEAT_S: Final = 1.0
"""Seconds between signs of life, by which the page knows that its mark is not an old one."""
MOST_MESSAGE: Final = 2048
"""Bytes of a message of the phone."""
PONG_S: Final = 4.0
_FOLDER: Final = Path(__file__).parent / "page"
PAGE: Final = {
    "/": ("text/html", (_FOLDER / "index.html").read_text(encoding="utf-8").replace("<!-- mark -->\n", board_page.BODY)),
    "/mark.css": ("text/css", board_page.STYLE),
    "/mark.js": ("text/javascript", board_page.SCRIPT),
    "/phone.css": ("text/css", (_FOLDER / "phone.css").read_text(encoding="utf-8")),
    "/phone.js": ("text/javascript", (_FOLDER / "phone.js").read_text(encoding="utf-8")),
    "/sound.js": ("text/javascript", (_FOLDER / "sound.js").read_text(encoding="utf-8")),
}
"""Everything that is served: kind and text."""
POLICY: Final = "script-src 'self'; style-src 'self'; connect-src 'self' wss://$own"
_LENT = "This job has its phone already. To change it, stop and resume the job, and scan the new code."
_WRONG = "This code is not the one on the console. Scan it once more."


class PhoneServer:
    """Serves the page to one phone, from construction to `close`."""

    def __init__(self, card: PhoneCard, host: str, credentials: Credentials, port: int = 0) -> None:
        """Raises RecordError when the port is taken, PhoneError when the credentials cannot be used."""
        self._card, self._view, self._gone = card, View("site assistant"), b""
        self._changed = 0
        self._socket: web.WebSocketResponse | None = None
        self.pairing = Pairing()
        self.fingerprint = fingerprint(credentials.certificate)
        routes = [web.get(path, self._page) for path in PAGE]
        routes += [web.post("/pair", self._pair), web.get("/sound", self._talk)]
        self._serving = Serving(
            Place(host, port, context(credentials)), routes, POLICY, {"Permissions-Policy": "microphone=(self), screen-wake-lock=(self)"}
        )

    @property
    def origin(self) -> str:
        """Scheme, host and port."""
        return self._serving.origin

    @property
    def link(self) -> str:
        """The address with the code behind it, in a part that browsers do not send along."""
        return f"{self.origin}/#{self.pairing.code}"

    def qr(self) -> str:
        """The link as a QR code for the terminal."""
        return terminal_code(self.link)

    def show(self, view: View) -> None:
        """What the page shows from now on; never waits for the phone."""
        self._view = view
        self._changed += 1

    def say_when_gone(self, samples: Samples) -> None:
        """What the page itself says aloud when the connection is lost."""
        self._gone = samples.astype("<i2").tobytes()

    def close(self) -> None:
        """Ends the connection and the server."""
        self._serving.close()

    def __enter__(self) -> PhoneServer:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    async def _page(self, request: web.Request) -> web.StreamResponse:
        kind, text = PAGE[request.path]
        return web.Response(text=text, content_type=kind)

    async def _pair(self, request: web.Request) -> web.StreamResponse:
        if "Origin" not in request.headers:
            raise web.HTTPForbidden(text="Refused: only this page may pair.\n")
        if self.pairing.admits(request.cookies.get(COOKIE, "")):
            return web.Response()
        given = self.pairing.redeem((await request.text()).strip())
        if given is None:
            raise web.HTTPForbidden(text=_LENT if self.pairing.paired else _WRONG)
        answer = web.Response()
        answer.set_cookie(COOKIE, given, max_age=COOKIE_S, path="/", secure=True, httponly=True, samesite="Strict")
        return answer

    async def _talk(self, request: web.Request) -> web.StreamResponse:
        if "Origin" not in request.headers or not self.pairing.admits(request.cookies.get(COOKIE, "")):
            raise web.HTTPForbidden(text=_LENT if self.pairing.paired else _WRONG)
        opened = web.WebSocketResponse(heartbeat=PONG_S, max_msg_size=MOST_MESSAGE, compress=False)
        await opened.prepare(request)
        before, self._socket = self._socket, opened
        if before is not None:  # the same phone, back before its old connection was known to be dead
            await before.close(code=WSCloseCode.SERVICE_RESTART)
        self._card.connected()
        sending = asyncio.ensure_future(self._send(opened))
        try:
            await self._receive(opened)
        finally:
            sending.cancel()
            if self._socket is opened:
                self._socket = None
                self._card.disconnected()
        return opened

    async def _receive(self, opened: web.WebSocketResponse) -> None:
        """Takes what the phone sends until it leaves; a breach ends the connection."""
        now = asyncio.get_running_loop().time
        frames, notes = Pace(FRAMES_A_SECOND, BURST, now()), Pace(NOTES_A_SECOND, NOTES_BURST, now())
        try:
            async for message in opened:
                if message.type is WSMsgType.BINARY:
                    frames.take(now())
                    samples = read_frame(message.data)
                    if self._socket is opened:
                        self._card.take(samples)
                elif message.type is WSMsgType.TEXT:
                    notes.take(now())
                    self._card.played(read_note(message.data))
                else:
                    raise BreachError("another kind")
        except BreachError as breach:
            await opened.close(code=WSCloseCode.POLICY_VIOLATION, message=str(breach).encode())

    async def _send(self, opened: web.WebSocketResponse) -> None:
        """Sound as it is due, the view as it changes, and a sign of life."""
        loop = asyncio.get_running_loop()
        try:
            hello = {"jitter_ms": JITTER_MS, "rate": SAMPLE_RATE, "gone": base64.b64encode(self._gone).decode()}
            await opened.send_str(json.dumps(hello))
            shown, beat = -1, 0.0
            while True:
                piece = self._card.give()
                if piece is not None and piece.forget:
                    await opened.send_str(json.dumps({"forget": True}))
                if piece is not None and len(piece.samples):
                    await opened.send_bytes(piece.samples.astype("<i2").tobytes())
                if shown != self._changed:
                    shown = self._changed
                    await opened.send_str(json.dumps({"view": asdict(self._view)}))
                if loop.time() - beat > BEAT_S:
                    beat = loop.time()
                    await opened.send_str(json.dumps({"beat": True}))
                await asyncio.sleep(TICK_S)
        except ConnectionError:  # the phone has left: whoever receives sees it too
            return

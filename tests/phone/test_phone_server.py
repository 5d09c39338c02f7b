"""Who may open the phone's page and its connection, and what breaks the connection."""

from __future__ import annotations

import asyncio
import contextlib
import json
import random
import socket
import ssl
import time
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import aiohttp
import numpy as np
import pytest

from assistant import serving
from assistant.display.view import View
from assistant.errors import RecordError
from assistant.phone.certificate import Credentials, own
from assistant.phone.frames import FRAME_BYTES, JITTER_MS
from assistant.phone.phone_card import PhoneCard
from assistant.phone.phone_server import PAGE, PhoneServer
from assistant.serving import LOOPBACK
from assistant.speech.player import Player

# Clients here break off on purpose, and what they leave open is theirs, not the server's.
pytestmark = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")

VIEW = View("yard", "Bay 1, bottom rail", "660", "mm", "mark 4 of 11", "next 848", "listening", 4, 11)
QUIET = bytes(FRAME_BYTES)


class Served:
    """A server, its card and its player."""

    def __init__(self, credentials: Credentials) -> None:
        self.player = Player()
        self.card = PhoneCard(self.player)
        self.server = PhoneServer(self.card, LOOPBACK, credentials)

    @property
    def port(self) -> int:
        return int(self.server.origin.rsplit(":", 1)[1])


@pytest.fixture(scope="module")
def credentials(tmp_path_factory: pytest.TempPathFactory) -> Credentials:
    return own(tmp_path_factory.mktemp("certificate"), LOOPBACK)


@pytest.fixture
def served(credentials: Credentials) -> Iterator[Served]:
    made = Served(credentials)
    yield made
    made.server.close()


class Client:
    """A browser's part: cookies kept, the certificate trusted, Origin as the page's own."""

    def __init__(self, served: Served) -> None:
        self.served, self.own = served, {"Origin": served.server.origin, "Sec-Fetch-Site": "same-origin"}
        self.session = aiohttp.ClientSession(
            connector=aiohttp.TCPConnector(ssl=False), cookie_jar=aiohttp.CookieJar(unsafe=True), timeout=aiohttp.ClientTimeout(10)
        )

    async def get(self, path: str, **headers: str) -> aiohttp.ClientResponse:
        answer = await self.session.get(self.served.server.origin + path, headers={**self.own, **headers}, allow_redirects=False)
        await answer.read()
        return answer

    async def pair(self, code: str | None = None, **headers: str) -> aiohttp.ClientResponse:
        code = self.served.server.pairing.code if code is None else code
        answer = await self.session.post(self.served.server.origin + "/pair", data=code, headers={**self.own, **headers})
        await answer.read()
        return answer

    async def join(self, **headers: str) -> aiohttp.ClientWebSocketResponse:
        return await self.session.ws_connect(self.served.server.origin.replace("https", "wss") + "/sound", headers={**self.own, **headers})


def run(served: Served, act: Callable[[Client], Awaitable[Any]]) -> Any:
    """Does something as a client."""

    async def whole() -> Any:
        client = Client(served)
        try:
            return await act(client)
        finally:
            await client.session.close()
            await asyncio.sleep(0.1)  # TLS takes a moment to end

    return asyncio.run(whole())


async def closing_code(opened: aiohttp.ClientWebSocketResponse) -> int:
    """The code with which the server closes."""
    while (message := await opened.receive()).type is not aiohttp.WSMsgType.CLOSE:
        assert message.type in (aiohttp.WSMsgType.TEXT, aiohttp.WSMsgType.BINARY), message
    return int(message.data)


def until(happened: Callable[[], bool], seconds: float = 5.0) -> bool:
    end = time.monotonic() + seconds
    while not happened():
        if time.monotonic() > end:
            return False
        time.sleep(0.01)
    return True


# Who may ask ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("headers", [
    {"Host": "evil.example"}, {"Host": ""}, {"Origin": "https://evil.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
])  # fmt: skip
def test_another_name_or_site_is_refused_everywhere(served: Served, headers: dict[str, str]) -> None:
    async def act(client: Client) -> None:
        assert (await client.pair()).status == 200
        for path in (*PAGE, "/nothing"):
            assert (await client.get(path, **headers)).status == 403
        assert (await client.pair(**headers)).status == 403
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.join(**headers)
        assert refused.value.status == 403

    run(served, act)
    assert served.card.microphone_lost


def test_pairing_and_the_connection_need_an_origin(served: Served) -> None:
    async def act(client: Client) -> None:
        del client.own["Origin"]
        assert (await client.pair()).status == 403
        client.own["Origin"] = served.server.origin
        assert (await client.pair()).status == 200
        del client.own["Origin"]
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await client.join()

    run(served, act)


def test_every_answer_forbids_keeping_framing_and_foreign_scripts(served: Served) -> None:
    async def act(client: Client) -> None:
        for answer in (await client.get("/"), await client.get("/sound.js"), await client.get("/no"), await client.pair("wrong")):
            told = answer.headers
            assert told["Cache-Control"] == "no-store" and told["X-Frame-Options"] == "DENY" and told["X-Content-Type-Options"] == "nosniff"
            policy = dict(part.strip().partition(" ")[::2] for part in told["Content-Security-Policy"].split(";"))
            assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == policy["frame-ancestors"] == "'none'"
            assert policy["script-src"] == policy["style-src"] == "'self'"
            assert policy["connect-src"] == f"'self' wss://127.0.0.1:{served.port}"
            assert "microphone=(self)" in told["Permissions-Policy"] and "Server" not in told

    run(served, act)


def test_it_speaks_tls_alone(served: Served) -> None:
    with socket.create_connection((LOOPBACK, served.port), timeout=30) as plain:
        plain.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n\r\n".encode())
        try:
            answer = plain.recv(4096)
        except ConnectionError:
            answer = b""
    assert b"200" not in answer and b"html" not in answer


def test_a_wrong_code_is_refused_in_words_and_the_right_one_still_holds(served: Served) -> None:
    async def act(client: Client) -> None:
        wrong = await client.pair("x" * 43)
        assert wrong.status == 403 and "Scan it once more" in await wrong.text()
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await client.join()
        assert (await client.pair()).status == 200

    run(served, act)


def test_the_pass_is_a_cookie_that_no_script_and_no_other_site_sees(served: Served) -> None:
    async def act(client: Client) -> str:
        return (await client.pair()).headers["Set-Cookie"]

    cookie = run(served, act)
    for part in ("Secure", "HttpOnly", "SameSite=Strict", "Path=/"):
        assert part in cookie
    assert served.server.pairing.code not in cookie


def test_a_second_phone_is_refused_in_words_even_with_the_code(served: Served) -> None:
    run(served, lambda client: client.pair())

    async def act(client: Client) -> None:
        answer = await client.pair()
        assert answer.status == 403 and "has its phone already" in await answer.text()
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.join()
        assert refused.value.status == 403

    run(served, act)
    assert served.card.microphone_lost


def test_the_phone_itself_may_open_the_page_again(served: Served) -> None:
    async def act(client: Client) -> None:
        await client.pair()
        assert (await client.pair("")).status == 200
        opened = await client.join()
        await opened.close()

    run(served, act)


# What goes over it ------------------------------------------------------------------------------------------------------


def test_sound_and_view_go_over_the_connection(served: Served) -> None:
    served.server.say_when_gone(np.arange(100, dtype=np.int16))
    served.server.show(VIEW)

    async def act(client: Client) -> None:
        await client.pair()
        opened = await client.join()
        hello = json.loads((await opened.receive()).data)
        assert hello["jitter_ms"] == JITTER_MS and hello["rate"] == 16000 and hello["gone"]
        assert json.loads((await opened.receive()).data)["view"]["mark"] == "660"
        served.server.show(replace(VIEW, mark="848"))
        said = np.arange(4000, dtype=np.int16)
        served.player.volume = 1.0
        served.player.play(said)
        heard, marks = b"", []
        while len(heard) < 8000 or not marks:
            message = await opened.receive()
            if message.type is aiohttp.WSMsgType.BINARY:
                heard += message.data
            elif "view" in (told := json.loads(message.data)):
                marks.append(told["view"]["mark"])
        assert heard == said.astype("<i2").tobytes() and marks == ["848"]
        for _ in range(5):
            await opened.send_bytes(np.full(320, 7, "<i2").tobytes())
        assert await asyncio.to_thread(until, lambda: served.card._blocks.qsize() == 2)
        block = served.card.read(0)
        assert block is not None and set(block.samples.tolist()) == {7}
        await opened.close()

    run(served, act)
    assert until(lambda: served.card.microphone_lost)


BREACHES: list[bytes | str] = [
    b"", bytes(FRAME_BYTES - 2), bytes(FRAME_BYTES + 2), bytes(1999), bytes(5000), "", "{}", "x" * 65, '{"played": -3}',
]  # fmt: skip


@pytest.mark.parametrize("message", BREACHES, ids=lambda message: f"{type(message).__name__}{len(message)}")
def test_a_frame_of_the_wrong_size_or_kind_closes_the_connection(served: Served, message: bytes | str) -> None:
    async def act(client: Client) -> int:
        await client.pair()
        opened = await client.join()
        await opened.send_bytes(QUIET)
        await (opened.send_bytes(message) if isinstance(message, bytes) else opened.send_str(message))
        return await closing_code(opened)

    assert run(served, act) in (aiohttp.WSCloseCode.POLICY_VIOLATION, aiohttp.WSCloseCode.MESSAGE_TOO_BIG)
    assert until(lambda: served.card.microphone_lost)


def test_sound_at_a_faster_rate_than_a_microphone_gives_closes_the_connection(served: Served) -> None:
    async def act(client: Client) -> int:
        await client.pair()
        opened = await client.join()
        for _ in range(600):
            await opened.send_bytes(QUIET)
        return await closing_code(opened)

    assert run(served, act) == aiohttp.WSCloseCode.POLICY_VIOLATION


def test_damaged_bytes_on_the_open_connection_never_reach_the_session(served: Served) -> None:
    """Bytes that are no WebSocket frames, or damaged ones, straight into the TLS stream; then the phone joins again as ever."""
    random_ = random.Random(11)

    async def act(client: Client) -> None:
        await client.pair()
        cookies = "; ".join(f"{one.key}={one.value}" for one in client.session.cookie_jar)
        trusting = ssl._create_unverified_context()
        for _ in range(150):
            reader, writer = await asyncio.open_connection(LOOPBACK, served.port, ssl=trusting)
            head = (
                f"GET /sound HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nOrigin: {served.server.origin}\r\n"
                f"Cookie: {cookies}\r\n"
                "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\n"
                "Sec-WebSocket-Key: MDEyMzQ1Njc4OWFiY2RlZg==\r\n\r\n"
            )
            writer.write(head.encode())
            assert b" 101 " in await reader.readline()
            writer.write(random_.randbytes(random_.randrange(1, 200)))
            writer.transport.abort()
            with contextlib.suppress(ConnectionError):
                await writer.wait_closed()
        opened = await client.join()
        for _ in range(5):
            await opened.send_bytes(QUIET)
        assert await asyncio.to_thread(until, lambda: served.card.read(0) is not None)
        await opened.close()

    run(served, act)


def test_two_hundred_that_connect_and_say_nothing_hold_nothing_up_and_are_let_go(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "IDLE_S", 1.0)
    idle = [socket.create_connection((LOOPBACK, served.port), timeout=30) for _ in range(200)]

    async def act(client: Client) -> None:
        await client.pair()
        opened = await client.join()
        for _ in range(5):
            await opened.send_bytes(QUIET)
        assert await asyncio.to_thread(until, lambda: served.card.read(0) is not None)
        await opened.close()

    run(served, act)
    for connection in idle:
        connection.settimeout(10)
        with contextlib.suppress(ConnectionError):
            assert connection.recv(1) == b""
        connection.close()


def test_a_head_that_never_ends_is_let_go(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "IDLE_S", 0.5)
    with ssl._create_unverified_context().wrap_socket(socket.create_connection((LOOPBACK, served.port), timeout=30)) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\nX: ")
        begun = time.monotonic()
        with contextlib.suppress(ConnectionError, ssl.SSLError):
            assert slow.recv(1) == b""
        assert time.monotonic() - begun < 4


def test_a_port_that_is_taken_is_a_plain_sentence(served: Served, credentials: Credentials) -> None:
    with pytest.raises(RecordError, match="Choose another port"):
        PhoneServer(PhoneCard(Player()), LOOPBACK, credentials, served.port)


def test_the_code_for_the_camera_holds_the_link(served: Served, tmp_path: Path) -> None:
    assert served.server.link == f"{served.server.origin}/#{served.server.pairing.code}"
    assert len(served.server.qr().splitlines()) > 15

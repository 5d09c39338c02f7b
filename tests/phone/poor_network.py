"""A network between page and server that is slow, loses packets and breaks, for the tests: a proxy that knows nothing of what it carries.

A lost packet of TCP comes again later and holds up all that is behind it; that is how it is done here, since where tests run nothing
may be set on the machine's own network.  The browser is told to go to the proxy in place of the server (`flag`), so that names stay right.
"""

from __future__ import annotations

import asyncio
import random
import threading
from types import TracebackType

from assistant.serving import LOOPBACK

SEGMENT = 1400
"""Bytes that travel in one packet."""
AGAIN_S = 0.2
"""A lost packet is sent again after this: the least that Linux waits (RFC 6298 says a second)."""


class PoorNetwork:
    """A proxy to a port of this machine; a context manager."""

    def __init__(self, port: int, delay_s: float = 0.0, loss: float = 0.0, seed: int = 1) -> None:
        self._target, self._delay, self._loss, self._random = port, delay_s, loss, random.Random(seed)
        self._writers: set[asyncio.StreamWriter] = set()
        self._down = False
        self._loop = asyncio.new_event_loop()
        self._started = threading.Event()
        self.port = 0
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()
        assert self._started.wait(5)

    @property
    def flag(self) -> str:
        """For the browser."""
        return f"--host-resolver-rules=MAP {LOOPBACK}:{self._target} {LOOPBACK}:{self.port}"

    def cut(self) -> None:
        """Every connection breaks, and none comes through until `mend`."""
        self._loop.call_soon_threadsafe(self._break)

    def _break(self) -> None:
        self._down = True
        for writer in self._writers:
            writer.transport.abort()

    def mend(self) -> None:
        """Connections come through again."""
        self._down = False

    def _run(self) -> None:
        self._loop.run_until_complete(self._serve())
        for task in asyncio.all_tasks(self._loop):
            task.cancel()
        self._loop.run_until_complete(asyncio.sleep(0.1))
        self._loop.close()

    async def _serve(self) -> None:
        server = await asyncio.start_server(self._join, LOOPBACK, 0)
        self.port = server.sockets[0].getsockname()[1]
        self._ended = asyncio.Event()
        self._loop.set_exception_handler(lambda loop, context: None)
        self._started.set()
        await self._ended.wait()
        server.close()
        self._break()

    async def _join(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if self._down:
            writer.transport.abort()
            return
        there, back = await asyncio.open_connection(LOOPBACK, self._target)
        self._writers |= {writer, back}
        await asyncio.gather(self._carry(reader, back), self._carry(there, writer))

    async def _carry(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """What comes in goes out later, in its order."""
        line: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()

        async def deliver() -> None:
            while True:
                due, data = await line.get()
                await asyncio.sleep(max(0.0, due - self._loop.time()))
                if not data:
                    break
                writer.write(data)
            writer.close()

        delivering = asyncio.ensure_future(deliver())
        due = 0.0
        try:
            while data := await reader.read(SEGMENT):
                late = AGAIN_S if self._random.random() < self._loss else 0.0
                due = max(due, self._loop.time() + self._delay + late)
                line.put_nowait((due, data))
        except ConnectionError:
            pass
        line.put_nowait((due, b""))
        await delivering
        self._writers.discard(writer)

    def close(self) -> None:
        """No network any more."""
        self._loop.call_soon_threadsafe(self._ended.set)
        self._thread.join(5)

    def __enter__(self) -> PoorNetwork:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

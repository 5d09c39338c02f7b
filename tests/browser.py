"""A real headless Chromium, driven over its debugging pipe with nothing but the standard library.

`CHROMIUM` is where it was found, or None; tests that need it say so when they skip.
"""

import base64
import json
import os
import shutil
import subprocess
import tempfile
import time
from pathlib import Path
from types import TracebackType
from typing import Any

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
MM_PER_INCH = 25.4


class Browser:
    """One browser with one page; a context manager."""

    def __init__(self, *flags: str) -> None:
        """`flags` for the browser besides those it always gets."""
        assert CHROMIUM is not None
        self._folder = tempfile.mkdtemp(prefix="browser-")
        reading, theirs_out = os.pipe()
        theirs_in, self._out = os.pipe()
        # The browser reads from descriptor 3 and writes to 4; a shell puts them there.
        command = [
            "bash",
            "-c",
            f'exec "$@" 3<&{theirs_in} 4>&{theirs_out}',
            "bash",
            CHROMIUM,
            "--headless=new",
            "--remote-debugging-pipe",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            "--disable-dev-shm-usage",
            "--disable-background-networking",
            "--hide-scrollbars",
            *flags,
            f"--user-data-dir={self._folder}",
            "about:blank",
        ]
        self._process = subprocess.Popen(command, pass_fds=(theirs_in, theirs_out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for descriptor in (theirs_in, theirs_out):
            os.close(descriptor)
        self._in = os.fdopen(reading, "rb")
        self._rest = b""
        self._number = 0
        self._session: str | None = None
        targets = self._call("Target.getTargets")["targetInfos"]
        page = next(target["targetId"] for target in targets if target["type"] == "page")
        self._session = self._call("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]
        self._call("Page.enable")

    def size(self, width: int, height: int, phone: bool = False) -> None:
        """The window, in CSS pixels."""
        self._call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=phone)

    def scheme(self, name: str) -> None:
        """The device's colours: “light” or “dark”."""
        self._call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": name}])

    def medium(self, medium: str, scheme: str) -> None:
        """What pages are shown on, “screen” or “print”, and the colours that the device asks for, “light” or “dark”."""
        self._call("Emulation.setEmulatedMedia", media=medium, features=[{"name": "prefers-color-scheme", "value": scheme}])

    def before_each_page(self, script: str) -> None:
        """Runs a script in every page before the page's own."""
        self._call("Page.addScriptToEvaluateOnNewDocument", source=script)

    def open(self, address: str) -> None:
        """Go to a page and wait until it is there."""
        self._call("Page.navigate", url=address)
        self.wait_for("document.readyState === 'complete' && location.href !== 'about:blank'")

    def ask(self, script: str) -> Any:
        """The value of an expression; of a promise, what it becomes."""
        answer = self._call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(str(answer["exceptionDetails"]))
        return answer["result"].get("value")

    def wait_for(self, script: str, seconds: float = 10.0) -> float:
        """Ask until the expression is true; the seconds that took."""
        start = time.monotonic()
        while not self.ask(script):
            if time.monotonic() - start > seconds:
                raise TimeoutError(script)
            time.sleep(0.02)
        return time.monotonic() - start

    def picture(self, path: Path, width: int = 0, height: int = 0) -> None:
        """The page as PNG: what of it is in the window, or this much from its top left."""
        part = {"clip": {"x": 0, "y": 0, "width": width, "height": height, "scale": 1}} if width else {}
        shot = self._call("Page.captureScreenshot", captureBeyondViewport=True, **part)
        path.write_bytes(base64.b64decode(shot["data"]))

    def print(self, width_mm: float, height_mm: float) -> bytes:
        """The page as PDF on this paper."""
        made = self._call(
            "Page.printToPDF",
            paperWidth=width_mm / MM_PER_INCH,
            paperHeight=height_mm / MM_PER_INCH,
            printBackground=True,
            preferCSSPageSize=False,
        )
        return base64.b64decode(made["data"])

    def _call(self, method: str, **values: Any) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": values}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._receive()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(str(answer["error"]))
                return dict(answer["result"])

    def _receive(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            more = self._in.read1(1 << 20)
            if not more:
                raise RuntimeError("the browser is gone")
            self._rest += more
        message, self._rest = self._rest.split(b"\0", 1)
        return dict(json.loads(message))

    def close(self) -> None:
        """End the browser."""
        os.close(self._out)
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._in.close()
        shutil.rmtree(self._folder, ignore_errors=True)

    def __enter__(self) -> "Browser":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

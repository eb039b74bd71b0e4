"""A browser that is driven: keys, pointer, window and answers over the protocol of its own developer tools."""

from __future__ import annotations

import base64
import contextlib
import itertools
import json
import shutil
import subprocess
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import chromium
from websockets.sync.client import ClientConnection, connect

PATIENCE = 20.0
"""What a page should come to show is waited for this long, s."""

KEY_CODES = {
    "ArrowLeft": 37,
    "ArrowRight": 39,
    "Home": 36,
    "End": 35,
    "Enter": 13,
    "Tab": 9,
    "PageUp": 33,
    "Escape": 27,
    "ArrowUp": 38,
    "ArrowDown": 40,
    "-": 189,
}


class Page:
    """One page of the browser.

    Args:
        wire: To the page's developer tools.
        process: Of the browser.
    """

    def __init__(self, wire: ClientConnection, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.complaints: list[str] = []
        self._wire, self._numbers = wire, itertools.count(1)
        for domain in ("Page", "Runtime", "Log"):
            self.do(f"{domain}.enable")

    def do(self, method: str, **parameters: object) -> Any:
        """One command, and what it gives; what the page complains of meanwhile is kept."""
        number = next(self._numbers)
        self._wire.send(json.dumps({"id": number, "method": method, "params": parameters}))
        while True:
            message = json.loads(self._wire.recv(timeout=PATIENCE))
            self._hear(message)
            if message.get("id") == number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']['message']}")
                return message["result"]

    def _hear(self, message: dict[str, Any]) -> None:
        told = message.get("params", {})
        if message.get("method") == "Runtime.exceptionThrown":
            self.complaints.append(json.dumps(told["exceptionDetails"]))
        elif message.get("method") == "Log.entryAdded" and told["entry"]["level"] in ("warning", "error"):
            self.complaints.append(told["entry"]["text"] + " " + told["entry"].get("url", ""))

    def open(self, address: str) -> None:
        """Go there."""
        self.do("Page.navigate", url=address)
        self.wait("document.readyState === 'complete'")

    def ask(self, expression: str) -> Any:
        """The value of an expression, or of what it promises."""
        given = self.do("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in given:
            raise RuntimeError(f"{expression}: {given['exceptionDetails']['exception'].get('description')}")
        return given["result"].get("value")

    def wait(self, expression: str) -> None:
        """Until an expression is true."""
        end = time.monotonic() + PATIENCE
        while not self.ask(f"Boolean({expression})"):
            if time.monotonic() > end:
                raise TimeoutError(f"{expression}\n{self.ask('document.body.innerText')}\n{self.complaints}")
            time.sleep(0.02)

    def text(self, selector: str) -> str:
        """What an element shows."""
        return str(self.ask(f"document.querySelector({json.dumps(selector)}).innerText"))

    def window(self, width: int, height: int, *, dark: bool = False) -> None:
        """Another size of the window, and another scheme of colours."""
        self.do("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.do("Emulation.setEmulatedMedia", features=[scheme])

    def key(self, name: str, *, shift: bool = False) -> None:
        """Press a key."""
        told: dict[str, object] = {
            "key": name,
            "code": name,
            "windowsVirtualKeyCode": KEY_CODES[name],
            "modifiers": 8 if shift else 0,
        }
        if name == "Enter":
            told["text"] = "\r"
        self.do("Input.dispatchKeyEvent", type="keyDown", **told)
        self.do("Input.dispatchKeyEvent", type="keyUp", **told)

    def type_into(self, selector: str, text: str) -> None:
        """Write over what stands in a box, and press Enter."""
        self.ask(f"(box => {{ box.focus(); box.select(); }})(document.querySelector({json.dumps(selector)}))")
        self.do("Input.insertText", text=text)
        self.key("Enter")

    def middle(self, selector: str) -> tuple[float, float]:
        """The middle of an element in the window, scrolled to."""
        found = f"document.querySelector({json.dumps(selector)})"
        self.ask(f"{found}.scrollIntoView({{block: 'center', behavior: 'instant'}})")
        x, y = self.ask(f"(b => [b.x + b.width / 2, b.y + b.height / 2])({found}.getBoundingClientRect())")
        return x, y

    def click(self, selector: str) -> None:
        """Press and release in the middle of an element."""
        self.drag(selector, 0.0)

    def drag(self, selector: str, across: float, steps: int = 5) -> None:
        """Press in the middle of an element, and let go so many pixels to the right."""
        x, y = self.middle(selector)
        held = {"button": "left", "clickCount": 1}
        self.do("Input.dispatchMouseEvent", type="mousePressed", x=x, y=y, **held)
        for i in range(1, steps + 1 if across else 1):
            self.do("Input.dispatchMouseEvent", type="mouseMoved", x=x + across * i / steps, y=y, buttons=1, **held)
        self.do("Input.dispatchMouseEvent", type="mouseReleased", x=x + across, y=y, **held)

    def screenshot(self) -> bytes:
        """The window as PNG."""
        return base64.b64decode(self.do("Page.captureScreenshot", format="png")["data"])


@contextlib.contextmanager
def browser(*more: str) -> Iterator[Page]:
    """A page of a browser that is started for it, and ended.

    Args:
        more: Flags besides the usual ones.
    """
    assert chromium.FOUND is not None
    profile = tempfile.mkdtemp()
    wanted = ("--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", "--remote-debugging-port=0", "about:blank")
    command = [chromium.FOUND, *chromium.FLAGS, *more, f"--user-data-dir={profile}", *wanted]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        with connect(_address(Path(profile)), max_size=2**26) as wire:
            yield Page(wire, process)
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE)
        shutil.rmtree(profile, ignore_errors=True)


def _address(profile: Path) -> str:
    """Of the developer tools of the first page."""
    told, end = profile / "DevToolsActivePort", time.monotonic() + PATIENCE
    while time.monotonic() < end:
        with contextlib.suppress(OSError, ValueError, StopIteration):
            port = int(told.read_text().split()[0])
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/json/list") as answer:
                pages = json.load(answer)
            return str(next(page["webSocketDebuggerUrl"] for page in pages if page["type"] == "page"))
        time.sleep(0.05)
    raise TimeoutError("the browser did not start")

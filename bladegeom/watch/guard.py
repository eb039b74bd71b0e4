"""Who may ask: the maker's own page on this machine, and nobody else.

Any page that a browser has open may send requests to any port of the machine that it runs on. What keeps it out: the
token, which no other page knows; the name that the browser asked for, which is another one when a stranger's name is
led to this machine; and the origin that browsers put on whatever changes something.
"""

from __future__ import annotations

import asyncio
import secrets
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 64 * 1024
"""Of a request, bytes; the values of all parameters of a design take a hundredth of it."""

PATIENCE = 5.0
"""A request's body is there within this time, s, or is not waited for."""

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
"""Of every answer: nothing from elsewhere, nothing inside another page, nothing kept, the address told to nobody."""

_RAW_HEADERS = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]


@dataclass(frozen=True)
class Guard:
    """Lets through what comes from the page itself; all else finds nothing here.

    Args:
        app: What answers; it sees paths from the token on.
        token: First part of every path.
        port: That the page is asked from.
    """

    app: ASGIApp
    token: str
    port: int

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *_RAW_HEADERS]
            await send(message)

        rest = self._behind_token(scope)
        if rest is None:
            await Response(status_code=404, headers={"Connection": "close"})(scope, receive, send_guarded)
            return
        await self.app({**scope, "path": rest}, receive, send_guarded)

    def _behind_token(self, scope: Scope) -> str | None:
        """The path behind the token, as it was sent; None where the request is not the page's own."""
        if scope["type"] != "http":
            return None
        headers = scope["headers"]
        hosts = [value for name, value in headers if name == b"host"]
        if len(hosts) != 1 or hosts[0] not in self._hosts:
            return None
        if any(name == b"sec-fetch-site" and value not in (b"same-origin", b"none") for name, value in headers):
            return None
        # Signs in the path that are written by number are left so: no name of ours has any.
        raw = scope["raw_path"]
        token, slash, rest = raw.removeprefix(b"/").partition(b"/")
        known = secrets.compare_digest(token, self.token.encode())
        return str(rest.decode("latin-1")) if known and slash and raw.startswith(b"/") else None

    @property
    def _hosts(self) -> tuple[bytes, bytes]:
        return f"127.0.0.1:{self.port}".encode(), f"localhost:{self.port}".encode()


async def sent(request: Request) -> bytes:
    """The body of a request that changes something.

    Raises:
        HTTPException: It comes from another page, is no JSON by its own word, is too large or too slow.
    """
    if request.headers.getlist("origin") != [f"http://{request.headers['host']}"]:
        raise HTTPException(403)
    if request.headers.get("content-type") != "application/json":
        raise HTTPException(415)
    told = request.headers.get("content-length", "0")
    if not told.isdecimal() or int(told) > LARGEST_BODY:
        raise HTTPException(413, headers={"Connection": "close"})
    body = bytearray()
    try:
        async with asyncio.timeout(PATIENCE):
            async for chunk in request.stream():
                body += chunk
                if len(body) > LARGEST_BODY:
                    raise HTTPException(413, headers={"Connection": "close"})
    except TimeoutError as error:
        raise HTTPException(408, headers={"Connection": "close"}) from error
    return bytes(body)

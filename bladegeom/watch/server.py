"""What the page asks for and what it is answered; nothing else is reachable."""

from __future__ import annotations

import json
import math
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from importlib.resources import files
from typing import Any, Final

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from bladegeom.quantities.errors import BladegeomError
from bladegeom.watch.desk import Desk
from bladegeom.watch.guard import Guard, sent

_FOLDER: Final = files("bladegeom.watch") / "page"

_KINDS: Final = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".js": "text/javascript; charset=utf-8",
}

_MOST_STATIONS = 12
"""Sections that one page may ask for at once; own choice."""

Answer = Callable[[Request], Awaitable[Response]]


def application(desk: Desk, *, token: str, port: int) -> ASGIApp:
    """The whole server behind one address.

    Args:
        desk: The designs.
        token: That the address must hold.
        port: That it is reached by.
    """
    return Guard(_Pages({**_page_files(), **_design_paths(desk)}), token=token, port=port)


class _Plain(JSONResponse):
    """What designs tell, in ASCII: a script may hold letters that no encoding has, such as half of a pair."""

    def render(self, content: object) -> bytes:
        """The body."""
        return json.dumps(content, allow_nan=False, separators=(",", ":")).encode("ascii")


class _Pages:
    """Each path as it is, with its one method; no pattern, no folder on the disk."""

    def __init__(self, paths: Mapping[str, tuple[str, Answer]]) -> None:
        self._paths = paths

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            method, answer = self._paths[scope["path"]]
        except KeyError:
            await Response(status_code=404)(scope, receive, send)
            return
        if scope["method"] != method:
            await Response(status_code=405, headers={"Allow": method})(scope, receive, send)
            return
        try:
            response = await answer(Request(scope, receive))
        except HTTPException as error:
            response = Response(status_code=error.status_code, headers=error.headers)
        except ClientDisconnect:
            return
        await response(scope, receive, send)


def _page_files() -> dict[str, tuple[str, Answer]]:
    """The page, read once; the address alone gives ``page.html``."""
    out: dict[str, tuple[str, Answer]] = {}
    for file in _FOLDER.iterdir():
        kind = _KINDS.get("." + file.name.rpartition(".")[2])
        if kind:
            path = "" if file.name == "page.html" else file.name
            out[path] = ("GET", _always(file.read_bytes(), kind))
    return out


def _always(content: bytes, kind: str) -> Answer:
    async def answer(_: Request) -> Response:
        return Response(content, media_type=kind)

    return answer


def _design_paths(desk: Desk) -> dict[str, tuple[str, Answer]]:
    async def states(_: Request) -> Response:
        return StreamingResponse(_events(desk), media_type="text/event-stream")

    paths: dict[str, tuple[str, Answer]] = {"events": ("GET", states)}
    for number in range(len(desk.designs)):
        paths |= {f"{number}/{name}": path for name, path in _one_design(desk, number).items()}
    return paths


async def _events(desk: Desk) -> AsyncIterator[str]:
    async for states in desk.states():
        yield f"data: {json.dumps(states)}\n\n"


def _one_design(desk: Desk, number: int) -> dict[str, tuple[str, Answer]]:
    async def picture(_: Request) -> Response:
        return _Plain(await desk.picture(number))

    async def judged(request: Request) -> Response:
        return _Plain(await desk.judged(number, _stations(request.query_params.get("stations", ""))))

    async def sections(request: Request) -> Response:
        return _Plain(await desk.sections(number, _stations(request.query_params.get("stations", ""))))

    async def move(request: Request) -> Response:
        return _Plain(await desk.move(number, _values(await sent(request))))

    async def write(request: Request) -> Response:
        if await sent(request):
            raise HTTPException(400)
        try:
            return _Plain({"said": await desk.write(number)})
        except BladegeomError as error:
            return _Plain({"refused": str(error)}, status_code=422)

    return {
        "picture": ("GET", picture),
        "sections": ("GET", sections),
        "judged": ("GET", judged),
        "move": ("POST", move),
        "write": ("POST", write),
    }


def _stations(text: str) -> list[float]:
    """Places along the knife, mm.

    Raises:
        HTTPException: They are no numbers, or too many.
    """
    try:
        places = [float(word) for word in text.split(",")] if text else []
    except ValueError as error:
        raise HTTPException(400) from error
    if len(places) > _MOST_STATIONS or not all(map(math.isfinite, places)):
        raise HTTPException(400)
    return places


def _values(body: bytes) -> dict[str, str]:
    """Values by the names of their parameters.

    Raises:
        HTTPException: The body is something else.
    """
    try:
        values: Any = json.loads(body)
    except (ValueError, RecursionError) as error:
        raise HTTPException(400) from error
    if not isinstance(values, dict) or not all(isinstance(value, str) for value in values.values()):
        raise HTTPException(400)
    return values

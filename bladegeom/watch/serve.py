"""The server from its first address to its last answer: one port of this machine, until a signal ends it."""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import signal
import socket
from collections.abc import Callable, Iterator, Sequence
from types import FrameType
from typing import Final

import uvicorn

from bladegeom.quantities.errors import ParameterError
from bladegeom.watch.desk import Desk, Shaped
from bladegeom.watch.saves import look_again
from bladegeom.watch.server import application

HERE = "127.0.0.1"
"""The only address that is listened on: no other machine can reach it."""

_FAREWELL = 1
"""Answers that are under way when the server ends are waited for no longer than this, s."""

_ENDING: Final = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Ctrl-C, a request to end, the end of the terminal; one that the command was started to ignore stays so."""

_MOST_AT_ONCE = 64
"""Connections; own choice: a browser opens six to one address."""


def serve(designs: Callable[[], Sequence[Shaped]], *, port: int | None, ready: Callable[[str], None]) -> int:
    """Serve the page until the process is told to end.

    Args:
        designs: Makes what is watched, once the address is told.
        port: To listen on; None takes a free one.
        ready: Is called with the address.

    Returns:
        The signal that ended it.

    Raises:
        ParameterError: The port is taken.
    """
    with contextlib.closing(_listening(port)) as listening:
        return asyncio.run(_until_signal(designs, listening, ready))


def _listening(port: int | None) -> socket.socket:
    try:
        return socket.create_server((HERE, port or 0))
    except OSError as error:
        must = f"be a port that is free ({error.strerror}); without it, a free one is found"
        raise ParameterError("--port", port, must) from error


async def _until_signal(
    designs: Callable[[], Sequence[Shaped]], listening: socket.socket, ready: Callable[[str], None]
) -> int:
    stopped, ended_by = asyncio.Event(), list[int]()
    with _signals(stopped, ended_by):
        port, token = listening.getsockname()[1], secrets.token_urlsafe(24)
        ready(f"http://{HERE}:{port}/{token}/")
        made = designs()
        try:
            await run(Desk(made), listening, token, stopped)
        finally:
            for design in made:
                design.close()
    return ended_by[0]


async def run(desk: Desk, listening: socket.socket, token: str, stopped: asyncio.Event) -> None:
    """Serve a desk, and have it look at every save, until it is stopped.

    Args:
        desk: The designs.
        listening: Socket that is bound.
        token: That the address must hold.
        stopped: Ends it when set.
    """
    server = _Server(_settings(desk, listening.getsockname()[1], token))
    serving = asyncio.create_task(server.serve(sockets=[listening]))
    looking = asyncio.create_task(_look(desk, stopped))
    stopping = asyncio.create_task(stopped.wait())
    await asyncio.wait((serving, looking, stopping), return_when=asyncio.FIRST_COMPLETED)
    # Whatever ended first ends all: a signal as a rule, else an error that is raised below.
    stopped.set()
    desk.close()
    server.should_exit = True
    await serving
    # A script that takes its time is not waited for.
    _, unfinished = await asyncio.wait((looking,), timeout=_FAREWELL)
    for task in unfinished:
        task.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await looking


async def _look(desk: Desk, stopped: asyncio.Event) -> None:
    await desk.open()
    await look_again(desk, stopped)


def _settings(desk: Desk, port: int, token: str) -> uvicorn.Config:
    return uvicorn.Config(
        application(desk, token=token, port=port),
        loop="asyncio",
        http="h11",
        ws="none",
        lifespan="off",
        log_config=None,
        log_level="critical",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=_MOST_AT_ONCE,
        timeout_graceful_shutdown=_FAREWELL,
    )


class _Server(uvicorn.Server):
    """A server that leaves signals to the command."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


@contextlib.contextmanager
def _signals(stopped: asyncio.Event, ended_by: list[int]) -> Iterator[None]:
    """While this lasts, a signal to end sets ``stopped`` and is kept."""
    loop = asyncio.get_running_loop()

    def end(number: int, _: FrameType | None) -> None:
        ended_by.append(number)
        loop.call_soon_threadsafe(stopped.set)

    before = {number: signal.signal(number, end) for number in _ENDING if signal.getsignal(number) != signal.SIG_IGN}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)

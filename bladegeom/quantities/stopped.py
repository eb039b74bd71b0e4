"""The end of a program that somebody asks for: Ctrl-C, a request to end, a terminal that is closed."""

from __future__ import annotations

import contextlib
import signal
import sys
import threading
from collections.abc import Iterator
from typing import Final, NoReturn

ENDING: Final = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)
)
"""The signals by which it is asked for."""

_SIGNALLED: Final = 128
"""Added to the number of a signal it is the exit status; source: POSIX shells."""


class Stopped(KeyboardInterrupt):
    """A signal has asked the program to end.

    >>> Stopped(2).status
    130
    """

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = _SIGNALLED + number


def status_of(stop: KeyboardInterrupt) -> int:
    """The exit status of a program that ends so.

    >>> status_of(Stopped(15)), status_of(KeyboardInterrupt())
    (143, 130)
    """
    return stop.status if isinstance(stop, Stopped) else _SIGNALLED + signal.SIGINT


def stop_behind(error: BaseException) -> Stopped | None:
    """The stop that an error comes from; None where it comes from none.

    Python itself wraps whatever is raised while a class is made, and a library may wrap it again.

    >>> stop_behind(ValueError()) is None
    True
    """
    cause: BaseException | None = error
    while cause is not None and not isinstance(cause, Stopped):
        cause = cause.__cause__
    return cause


@contextlib.contextmanager
def heeding_signals() -> Iterator[None]:
    """While it lasts each of these signals raises :class:`Stopped`, so that whatever is under way is tidied up.

    What is ignored stays so, and what somebody else handles is left to him; in any other thread than the main one
    nothing changes.
    """
    plain = (signal.SIG_DFL, signal.default_int_handler)
    is_main = threading.current_thread() is threading.main_thread()
    before = {number: signal.getsignal(number) for number in ENDING if is_main}
    ours = [number for number, handler in before.items() if handler in plain]
    for number in ours:
        signal.signal(number, _stop)
    try:
        yield
    finally:
        for number in ours:
            signal.signal(number, before[number])


@contextlib.contextmanager
def held_back() -> Iterator[None]:
    """None of these signals comes to this thread within; a program that is started within must ask for them itself."""
    if sys.platform == "win32":
        yield
        return
    mask = signal.pthread_sigmask(signal.SIG_BLOCK, ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, mask)


@contextlib.contextmanager
def undisturbed() -> Iterator[None]:
    """Signals that end a program wait until the block is done; in any other thread they do not come."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    before = {number: signal.getsignal(number) for number in ENDING}
    # Of what is ignored, or is not Python's, nothing is known that could be given back.
    ours = [number for number, handler in before.items() if handler not in (signal.SIG_IGN, None)]
    with held_back():
        for number in ours:
            signal.signal(number, lambda number, _frame: came.append(number))
    try:
        yield
    finally:
        with held_back():
            for number in ours:
                signal.signal(number, before[number])
        if came:
            signal.raise_signal(came[0])


def is_of_the_script(interrupt: KeyboardInterrupt) -> bool:
    """Whether nobody asked for an end: while signals are heeded, what is no :class:`Stopped` comes from a script."""
    return not isinstance(interrupt, Stopped) and signal.getsignal(signal.SIGINT) is _stop


def _stop(number: int, _frame: object) -> NoReturn:
    raise Stopped(number)

"""A bar that tells how far a long work is, on a terminal only."""

from __future__ import annotations

import math
import time
from typing import TextIO

from bladegeom.cli.busy import FIRST
from bladegeom.cli.terminal import CLEAR, is_obeying

_WIDTH = 30
_EVERY = 0.2
"""The bar is drawn anew no more often than this, s."""


class Progress:
    """One line that is drawn over itself; nothing at all where the stream is no terminal.

    Args:
        total: Of the steps.
        stream: Where the bar is drawn.
    """

    def __init__(self, total: int, stream: TextIO) -> None:
        self._total, self._before, self._done = total, 0, 0
        self._stream, self._drawn = stream, False
        self._start = time.monotonic()
        # As everything that draws on a terminal it keeps still for a second.
        self._last = self._start + FIRST - _EVERY if is_obeying(stream) else math.inf

    def skip(self) -> None:
        """One that an earlier run has done: it tells nothing of how long the others take."""
        self._before, self._done = self._before + 1, self._done + 1
        self._start = time.monotonic()

    def step(self) -> None:
        """One more is done."""
        self._done += 1
        now = time.monotonic()
        if now - self._last >= _EVERY:
            self._last, self._drawn = now, True
            left = (now - self._start) / (self._done - self._before) * (self._total - self._done)
            self._stream.write(f"\r{bar(self._done, self._total)}, {clock(left)} left \x1b[K")
            self._stream.flush()

    def end(self) -> None:
        """Take the bar away."""
        if self._drawn:
            self._stream.write(CLEAR)
            self._stream.flush()


def bar(done: int, total: int) -> str:
    """How far it is, as a picture and in numbers.

    >>> bar(3, 12)
    '[#######                       ] 3 of 12'
    """
    full = _WIDTH * done // total
    return f"[{'#' * full}{' ' * (_WIDTH - full)}] {done} of {total}"


def clock(seconds: float) -> str:
    """Minutes and seconds, and hours where it takes any.

    >>> clock(65.4), clock(7265)
    ('1:05', '2:01:05')
    """
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"

"""A line on a terminal that says what is going on and for how long, while something takes longer than a second."""

from __future__ import annotations

import contextlib
import io
import sys
import threading
import time
from collections.abc import Iterator
from typing import TextIO

from bladegeom.cli.terminal import CLEAR, is_obeying, width_of
from bladegeom.quantities.lettering import visible

FIRST = 1.0
"""Nothing is said of what takes less than this, s."""

_EVERY = 0.5
"""The line is drawn anew this often, s."""


@contextlib.contextmanager
def busy(words: str) -> Iterator[None]:
    """While this lasts, and once a second has passed, say so on a terminal's standard error; nothing stays of it.

    What is printed there meanwhile, by a script for one, stands above the line.

    Args:
        words: What is going on, such as "design() of my_knife.py is running".
    """
    if not is_obeying(sys.stderr):
        yield
        return
    stream = sys.stderr
    line = _Line(words, stream)
    teller = threading.Thread(target=line.tell, daemon=True)
    teller.start()
    try:
        with contextlib.redirect_stderr(_Above(line, stream)):
            yield
    finally:
        line.end()
        teller.join()


class _Line:
    """The line itself; only who holds the lock writes to the stream."""

    def __init__(self, words: str, stream: TextIO) -> None:
        self._stream, self._lock, self._ended = stream, threading.Lock(), threading.Event()
        self._words, self._start = visible(words), time.monotonic()
        self._shown = self._begun = False

    def tell(self) -> None:
        """Draw it again and again, until the end; not behind what somebody has begun and not ended with a new line."""
        wait = FIRST
        while not self._ended.wait(wait):
            wait = _EVERY
            with self._lock:
                if not (self._ended.is_set() or self._begun):
                    self._put(f"\r{self._text}\x1b[K", shown=True)

    def above(self, text: str) -> int:
        """Text of others, in place of the line."""
        with self._lock:
            self._clear()
            self._begun = not text.endswith("\n") if text else self._begun
            return self._stream.write(text)

    def end(self) -> None:
        """Take it away for good."""
        with self._lock:
            self._ended.set()
            self._clear()

    @property
    def _text(self) -> str:
        seconds = f", {time.monotonic() - self._start:.0f} s"
        return self._words[: max(0, width_of(self._stream) - len(seconds) - 1)] + seconds

    def _clear(self) -> None:
        if self._shown:
            self._put(CLEAR, shown=False)

    def _put(self, text: str, *, shown: bool) -> None:
        self._stream.write(text)
        self._stream.flush()
        self._shown = shown


class _Above(io.TextIOBase):
    """The standard error while the line stands: what is written there comes in place of the line."""

    def __init__(self, line: _Line, stream: TextIO) -> None:
        self._line, self._stream = line, stream

    def write(self, text: str) -> int:
        return self._line.above(text)

    def flush(self) -> None:
        self._stream.flush()

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        return self._stream.fileno()

    @property
    def encoding(self) -> str:  # type: ignore[override]  # nobody sets that of a base of all texts
        return self._stream.encoding

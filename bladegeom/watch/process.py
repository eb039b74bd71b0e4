"""A process of its own in which a script runs: it can be ended when the script never is, and takes its memory along.

A process that is warm answers within a millisecond of the work itself; a new one takes a quarter of a second to import
what it needs. It is started afresh (not forked), so that it is the same on every system.
"""

from __future__ import annotations

import contextlib
import importlib
import multiprocessing
import multiprocessing.connection
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Final

LIMIT: Final = 20.0
"""A script that runs longer is ended, s: the longest search for holes on a large tang takes a quarter of it."""

_GRACE: Final = 5.0
"""Beyond the limit, s: for the process to come up, and to say itself where its script stands."""

STALE: Final = 2.0
"""Work that nobody waits for any more is ended when it has lasted so long, s; a new process costs less."""

_PATIENCE: Final = 10
"""What a process that lets others go first adds to its niceness; half of what there is, own choice."""

_CLOSED: Final = "the script is not watched any more"

Plain = dict[str, Any]
"""Numbers, texts, lists and dictionaries: what JSON can hold."""

Asked = Mapping[str, object]
"""Settings that options ask for, by key."""

NOTHING_ASKED: Final[Asked] = {}


class Superseded(Exception):  # noqa: N818 - nothing is wrong
    """The work was ended because something newer is wanted."""


class Ended(Exception):  # noqa: N818 - told as what is wrong with the script
    """The script was ended, or ended its process; where it stood, if that is known."""

    def __init__(self, message: str, file: str | None = None, line: int | None = None) -> None:
        self.file = file
        self.line = line
        super().__init__(message)


class ScriptProcess:
    """A warm process for one script; it is started when first asked, and again after it was ended.

    Only one thread may ask at a time; any may end it.

    Args:
        path: The script.
        limit: After which it is ended, s.
        settings: That go before those of the machine and of the script, by key.
        patient: It lets others go first where there are more to work than processors.
    """

    def __init__(
        self, path: Path, *, limit: float = LIMIT, settings: Asked = NOTHING_ASKED, patient: bool = False
    ) -> None:
        self._path = path
        self._limit = limit
        self._settings = settings
        self._patient = patient
        self._running: tuple[multiprocessing.process.BaseProcess, Connection] | None = None
        self._guard = threading.Lock()
        self._since: float | None = None
        self._superseded = self._closed = False

    @property
    def pid(self) -> int | None:
        """Of the process, while it runs."""
        return self._running[0].pid if self._running else None

    def start(self) -> Connection:
        """Begin to import what is needed, so that the first answer comes sooner."""
        if self._running is not None and not self._superseded and self._running[0].is_alive():
            return self._running[1]
        self._end()
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        arguments = (theirs, self._path, self._limit, self._settings, self._patient)
        process = context.Process(target=_work, args=arguments, daemon=True)
        with _deaf_to_interrupts():
            process.start()
        theirs.close()
        self._running = (process, ours)
        return ours

    def ask(self, save: int, what: str, *arguments: object) -> Plain:
        """What the script's bench answers.

        Args:
            save: Number of the save that it is asked about; another than before makes it read the script again.
            what: A method of the bench.
            arguments: Of it.

        Raises:
            Ended: It took too long, or the process is gone.
            Superseded: It was ended by :meth:`supersede`.
        """
        with self._guard:
            if self._closed:
                raise Ended(_CLOSED)
            connection = self.start()
            self._since = time.monotonic()
        try:
            connection.send((save, what, arguments))
            answer: Plain = connection.recv() if connection.poll(self._limit + _GRACE) else {"overdue": ()}
        except (EOFError, OSError):
            with self._guard:
                reason = self._reason()
                self._end()
            raise reason from None
        finally:
            with self._guard:
                self._since = None
        if "overdue" in answer:
            with self._guard:
                self._end()
            raise Ended(f"the script was ended: its design was not done after {self._limit:g} s", *answer["overdue"])
        return answer

    def supersede(self) -> None:
        """Something newer is wanted: end what has already taken long."""
        with self._guard:
            if self._running is not None and self._since is not None and time.monotonic() - self._since > STALE:
                self._superseded = True
                self._running[0].kill()

    def close(self) -> None:
        """End the process for good; whoever waits for an answer gets none."""
        with self._guard:
            self._closed = True
            waits = self._since is not None
            if waits and self._running is not None:
                # The one who waits hears of it by the end of the pipe, which is his to read.
                self._running[0].kill()
                self._running[0].join()
            else:
                self._end()

    def _reason(self) -> Superseded | Ended:
        """Why the process is gone."""
        if self._closed:
            return Ended(_CLOSED)
        return Superseded() if self._superseded else Ended("the script ended the process in which it ran")

    def _end(self) -> None:
        self._superseded = False
        if self._running is not None:
            process, connection = self._running
            self._running = None
            process.kill()
            process.join()
            process.close()
            connection.close()


@contextlib.contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    """A process started meanwhile never hears Ctrl-C: the one that started it does, and ends it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    # It is started with the first process, and hears Ctrl-C again on behalf of this thread when it is.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _work(connection: Connection, path: Path, limit: float, settings: Asked, patient: bool) -> None:  # noqa: FBT001
    """In the process itself: answer until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Windows has no such number.
    if patient and hasattr(os, "nice"):
        os.nice(_PATIENCE)
    threading.Thread(target=_end_with, args=(multiprocessing.parent_process(),), daemon=True).start()
    folder, own = Path.cwd(), os.getpid()
    # Imported here and by name: who only asks needs no geometry, neither its time nor its memory.
    bench = importlib.import_module("bladegeom.watch.bench").Bench(path, settings)
    # Bytecode is told from its source by whole seconds; two saves of a helper may follow each other faster.
    sys.dont_write_bytecode = True
    known: int | None = None
    while True:
        try:
            save, what, arguments = connection.recv()
        except EOFError:
            return
        with _limited(connection, path, limit) as tell:
            if known not in (None, save):
                bench.forget()
            known = save
            os.chdir(folder)
            try:
                answer = getattr(bench, what)(*arguments)
            except KeyboardInterrupt:
                # By the script's own hand: whoever asked is told that the process is gone.
                return
            if os.getpid() != own:
                # The script has split its process in two, and whoever asked wants one answer.
                os._exit(0)
            tell(answer)


def _end_with(parent: multiprocessing.process.BaseProcess | None) -> None:
    """End this process, whatever the script is at, when the one that started it is gone in any way."""
    if parent is not None:
        multiprocessing.connection.wait([parent.sentinel])
        os._exit(1)


@contextlib.contextmanager
def _limited(connection: Connection, path: Path, limit: float) -> Iterator[Callable[[Plain], None]]:
    """Lend what tells the answer; after the limit it is told instead where the script stands, and the process ends."""
    lock, told, main = threading.Lock(), threading.Event(), threading.get_ident()

    def tell(answer: Plain) -> None:
        with lock:
            connection.send(answer)
            told.set()

    def leave() -> None:
        with lock:
            if not told.is_set():
                # Whoever asked may be gone, and then nobody else ends a script that never does.
                with contextlib.suppress(OSError):
                    connection.send({"overdue": _standing(main, path)})
                os._exit(1)

    timer = threading.Timer(limit, leave)
    timer.daemon = True
    timer.start()
    try:
        yield tell
    finally:
        timer.cancel()


def _standing(thread: int, path: Path) -> tuple[str | None, int | None]:
    """File and line of the script, or of a helper beside it, at which a thread stands."""
    frame, folder = sys._current_frames().get(thread), path.resolve().parent
    while frame is not None:
        file = frame.f_code.co_filename
        if file == str(path) or Path(file).parent == folder:
            return file, frame.f_lineno
        frame = frame.f_back
    return None, None

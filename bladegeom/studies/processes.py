"""Worker processes on this machine. Nothing heavy is imported here: a worker starts with this module."""

from __future__ import annotations

import contextlib
import multiprocessing
import multiprocessing.connection
import os
import signal
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import resource_tracker
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Final

from bladegeom.quantities.stopped import ENDING, held_back

_THREADS: Final = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""Variables by which numpy's linear algebra is told how many threads to use; source: their manuals."""


def cores() -> int:
    """Processors that this process may run on: a shared machine may allow fewer than there are."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@contextlib.contextmanager
def processes(jobs: int) -> Iterator[Executor]:
    """Worker processes, each with one thread.

    They are spawned, not forked: that is the same on every system, and a fork copies whatever the threads of
    this process held at that moment. It costs each worker one import, about half a second once. A script of one's own
    must therefore start its sweep under ``if __name__ == "__main__":``, because every worker reads it again.

    Args:
        jobs: How many.
    """
    with _one_thread_each():
        with held_back():
            # The process that cleans up after the workers; without one their end is told in tracebacks.
            resource_tracker.ensure_running()
        with ProcessPoolExecutor(jobs, mp_context=_Context(), initializer=_as_a_worker) as pool:
            yield pool


class _Worker(SpawnProcess):
    """A process to which no signal comes before it knows what to do with it."""

    def start(self) -> None:
        with held_back():
            super().start()


class _Context(SpawnContext):
    Process = _Worker


@contextlib.contextmanager
def _one_thread_each() -> Iterator[None]:
    """Tell processes that start meanwhile to use one thread, where the environment does not say otherwise."""
    added = [name for name in _THREADS if name not in os.environ]
    os.environ.update(dict.fromkeys(added, "1"))
    try:
        yield
    finally:
        for name in added:
            os.environ.pop(name, None)


def _as_a_worker() -> None:
    """Ctrl-C and the end of a terminal reach every process of it, and the process that started a worker tells it.

    At the first Ctrl-C a worker ends what it does, at the next it dies.
    It dies too when the process that started it is gone, however that came to its end: nobody would give it work.
    """
    signal.signal(signal.SIGINT, lambda *_: signal.signal(signal.SIGINT, signal.SIG_DFL))
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    if sys.platform != "win32":
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
    if (parent := multiprocessing.parent_process()) is not None:
        threading.Thread(target=_die_with, args=(parent.sentinel,), daemon=True).start()


def _die_with(sentinel: int) -> None:
    multiprocessing.connection.wait([sentinel])
    os._exit(1)

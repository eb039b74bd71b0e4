"""Worker processes on this machine. Nothing heavy is imported here: a worker starts with this module."""

from __future__ import annotations

import contextlib
import multiprocessing
import multiprocessing.connection
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from multiprocessing import resource_tracker
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Final, ParamSpec, TypeVar

from bladegeom.quantities.stopped import ENDING, held_back, undisturbed

P = ParamSpec("P")
T = TypeVar("T")

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
            # The process that cleans up after the workers: its end would be told in tracebacks.
            resource_tracker.ensure_running()
        with _Pool(jobs, mp_context=_Context(), initializer=_as_a_worker) as pool:
            yield pool


class _Pool(ProcessPoolExecutor):
    """A pool that is not stopped half way in starting a worker, which it would forget."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """A task; the first ones start a worker each, to which no signal comes before it knows what to do with it."""
        with undisturbed(), held_back():
            return super().submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002
        """The end of the workers; another request to end waits for it, or they would wait for work for ever."""
        with undisturbed():
            super().shutdown(wait, cancel_futures=cancel_futures)


class _Worker(SpawnProcess):
    """A process that lets those who started it tell it of a request to end."""

    def terminate(self) -> None:
        """A pool that lost a worker ends the others; they heed nothing less."""
        self.kill()


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
    """A request to end may reach every process, as that of a terminal does; the one that started a worker ends it.

    At the first Ctrl-C a worker ends what it does, at the next it dies.
    It dies too when the process that started it is gone, however that came to its end: nobody would give it work.
    """
    signal.signal(signal.SIGINT, lambda *_: signal.signal(signal.SIGINT, signal.SIG_DFL))
    for number in {*ENDING} - {signal.SIGINT}:
        # What is ignored would be so by programs that a script starts, too.
        signal.signal(number, lambda *_: None)
    if sys.platform != "win32":
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
    if (parent := multiprocessing.parent_process()) is not None:
        threading.Thread(target=_die_with, args=(parent.sentinel,), daemon=True).start()


def _die_with(sentinel: int) -> None:
    multiprocessing.connection.wait([sentinel])
    os._exit(1)

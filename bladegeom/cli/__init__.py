"""The command line. Geometry is imported when a command needs it, so that help comes at once.

Arguments in, words out: whatever a caller in Python would miss stands in the rooms above.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import importlib
import io
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import cast

from bladegeom.cli.arguments import options_of
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.plain_files import noting_inputs
from bladegeom.quantities.stopped import heeding_signals, status_of, stop_behind

_TRACEBACK = "BLADEGEOM_TRACEBACK"
"""Environment variable that makes the command line show where an error came from."""

_THREADS = "OPENBLAS_NUM_THREADS"
"""Environment variable that says how many threads numpy's library of linear algebra starts; source: OpenBLAS, usage."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    The exit status is 0; 1 where a finding is an error or a variant of a sweep fails; 2 on bad usage or a script that
    fails; 130 where Ctrl-C stops it, 143 where it is asked to end, 129 where its terminal is closed.
    """
    _open_streams()
    try:
        with heeding_signals():
            return _heard(arguments)
    except KeyboardInterrupt as stop:
        return _stopped(stop)
    except Exception as error:
        if (behind := stop_behind(error)) is None:
            raise
        return _stopped(behind)


def _stopped(stop: KeyboardInterrupt) -> int:
    sys.stderr.write("bladegeom: stopped\n")
    return status_of(stop)


def _heard(arguments: Sequence[str] | None) -> int:
    """The exit status, whether what is said goes anywhere or not; a command that knows it sooner leaves it here."""
    options = argparse.Namespace(status=0)
    try:
        try:
            options.status = _run(options_of(arguments, options))
        finally:
            # Help and the version leave by an exception.
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has seen enough.
        _say_no_more()
    except OSError as error:
        # Files are written by the library, which tells errors with their names; this is the standard output.
        if error.filename is not None:
            raise
        _say_no_more()
        sys.stderr.write(f"bladegeom: what the command says cannot be written ({error.strerror or error})\n")
        return int(options.status) or 2
    return int(options.status)


def _run(options: argparse.Namespace) -> int:
    """The command that is asked for, where it can be run at all."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        # A name that the terminal cannot show is no reason to stop.
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        # The libraries below ask for it when they are imported.
        Path.cwd()
    except OSError as error:
        sys.stderr.write(
            f"bladegeom: the folder that you are in cannot be used ({error.strerror}); change to another\n"
        )
        return 2
    # Our matrices are small: further threads would only be started, wait, and be stopped.
    os.environ.setdefault(_THREADS, "1")
    return _told(options)


def _told(options: argparse.Namespace) -> int:
    """Its exit status; what is wrong is told on the standard error."""
    try:
        command = _command(options.command)
        with noting_inputs(), _settings(options), _force(options):
            return command(options)
    except BladegeomError as error:
        if stop_behind(error) is not None:
            raise
        from bladegeom.cli.terminal import in_short, shown_text  # noqa: PLC0415

        if os.environ.get(_TRACEBACK):
            traceback.print_exc()
        sys.stderr.write(f"bladegeom: {in_short(shown_text(str(error)))}\n")
        return 2


def _say_no_more() -> None:
    """Python would complain when it flushes the standard output at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _open_streams() -> None:
    """A stream that the shell has closed is none to Python; then nobody hears what goes there."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            # It is as long open as the program runs.
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115


def _settings(options: argparse.Namespace) -> contextlib.AbstractContextManager[None]:
    """While it lasts, the settings of the machine and of the options hold; for a command that heeds none, no others."""
    # Who writes a file to start from has none yet.
    if getattr(options, "starter", None):
        return contextlib.nullcontext()
    if not hasattr(options, "setting"):
        from bladegeom.settings.settings_place import has_settings  # noqa: PLC0415

        # Without a file these commands need none of the geometry, and come at once.
        if not has_settings():
            return contextlib.nullcontext()
        from bladegeom.settings.settings_file import read_settings  # noqa: PLC0415

        return read_settings().in_force()
    from bladegeom.cli.asked_settings import asked_settings  # noqa: PLC0415

    return asked_settings(options).in_force()


def _force(options: argparse.Namespace) -> contextlib.AbstractContextManager[None]:
    """While it lasts files of others are written over too, where that is asked for."""
    if not getattr(options, "force", False):
        return contextlib.nullcontext()
    from bladegeom.writers.ownership import writing_over  # noqa: PLC0415

    return writing_over()


@cache
def _command(name: str) -> Callable[[argparse.Namespace], int]:
    """A command, with a module of its own, so that each imports what it needs and no more.

    What is imported stays: to look through it for what can be freed, again and again, takes a twentieth of an export.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        module = importlib.import_module(f"bladegeom.cli.{name}")
    finally:
        if collects:
            gc.enable()
    gc.freeze()
    return cast("Callable[[argparse.Namespace], int]", getattr(module, f"{name}_command"))

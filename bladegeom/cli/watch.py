"""The command ``watch``: a page on the maker's own machine that shows a design and follows its saves."""

from __future__ import annotations

import argparse
import sys
import threading
import webbrowser
from pathlib import Path

from bladegeom.cli.tell import tell
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import ScriptError
from bladegeom.quantities.plain_files import opened
from bladegeom.quantities.stopped import Stopped, status_of

_EXTRA = frozenset({"starlette", "uvicorn", "watchfiles", "anyio", "h11"})
"""Libraries that come with the extra ``watch``."""


def watch_command(options: argparse.Namespace) -> int:
    """Serve the page until Ctrl-C, which gives 130, or a request to end, which gives 143."""
    scripts = [options.script, *([options.beside] if options.beside else [])]
    for path in scripts:
        _require_file(path)
    try:
        ended_by = _serve(scripts, options)
    except KeyboardInterrupt as stop:
        # Before the server was there.
        status = status_of(stop)
    else:
        status = Stopped(ended_by).status
    sys.stderr.write("bladegeom: stopped\n")
    return status


def _serve(scripts: list[Path], options: argparse.Namespace) -> int:
    try:
        from bladegeom.watch.serve import serve  # noqa: PLC0415
    except ModuleNotFoundError as error:
        if error.name not in _EXTRA:
            raise
        raise BladegeomError(
            f"watch needs the library {error.name}, which is not installed; where bladegeom was installed from, "
            "'python -m pip install \".[watch]\"' adds all that it needs"
        ) from error
    from bladegeom.cli.asked_settings import asked_values  # noqa: PLC0415
    from bladegeom.watch.shaping import Shaping  # noqa: PLC0415

    settings = asked_values(options)

    def ready(address: str) -> None:
        tell(f"{address}\nOpen it in a browser on this machine; Ctrl-C ends it.")
        sys.stdout.flush()
        if options.open:
            # Some browsers give the terminal back only when they are closed.
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()

    return serve(lambda: [Shaping(path, settings=settings) for path in scripts], port=options.port, ready=ready)


def _require_file(path: Path) -> None:
    try:
        with opened(path):
            pass
    except OSError as error:
        raise ScriptError(str(path), f"the script cannot be read ({error.strerror or error})") from error

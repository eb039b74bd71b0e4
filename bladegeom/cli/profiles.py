"""The command ``profiles``: the shelf of profiles, the parameters of one, or a page with pictures of all.

The list alone needs none of the geometry libraries: it is read from the files of the profiles.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom import profiles as shelf
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.quantities.docstrings import said_of


def profiles_command(options: argparse.Namespace) -> int:
    """List the profiles, or one profile's parameters, or write them all with pictures on a page for a browser."""
    if options.html is not None:
        _write_page(options.html)
    elif options.name:
        _tell_one(options.name)
    else:
        _tell_all()
    return 0


def _write_page(path: Path) -> None:
    from bladegeom.commands.drawer import profiles_page  # noqa: PLC0415
    from bladegeom.writers.files import require_ending, write_all  # noqa: PLC0415

    require_ending("--html", path, ".html", ".htm")
    with busy("pictures of all profiles"):
        page = profiles_page()["profiles.html"]
    (written,) = write_all(path.parent, {path.name: page})
    tell(f"{written} written: all profiles, with pictures; open it in a browser")


def _tell_one(name: str) -> None:
    from bladegeom.outline.parameter import parameters  # noqa: PLC0415

    profile = shelf.get(name)
    words, *_ = said_of(profile).splitlines() or [""]
    tell(f"{profile.__name__}: {words}")
    tell(shelf.import_line(profile))
    for p in parameters(profile):
        tell(f"  {p.name:<16} {p.default:>7g} {p.unit:<14} {p.low:g} to {p.high:g}: {p.meaning}")


def _tell_all() -> None:
    listed = shelf.listed()
    for half in ("blade", "handle"):
        tell(f"{half} profiles")
        for profile in listed:
            if profile.half == half:
                tell(f"  {profile.name:<16} {profile.words}{'  [your own]' if profile.own else ''}")

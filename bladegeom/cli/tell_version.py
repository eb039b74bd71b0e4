"""The option that tells the version and leaves."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


class TellVersion(argparse.Action):
    """Tells the version, which is looked up only then: the tables of installed packages take their time."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str) -> None:  # noqa: A002
        super().__init__(option_strings, dest, nargs=0, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Tell it."""
        from bladegeom.quantities.version import __version__  # noqa: PLC0415

        sys.stdout.write(f"bladegeom {__version__}\n")
        parser.exit()

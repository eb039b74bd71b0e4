"""A reader of arguments that suggests what may be meant, and loses no word."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from typing import Any, Final, NoReturn


class Parser(argparse.ArgumentParser):
    """One that asks whether the nearest of its choices is meant, and whose help is not lost in silence."""

    def _print_message(self, message: str, file: Any = None) -> None:
        # The library's own takes no notice of an output that is full.
        if file is sys.stdout:
            file.write(message)
        else:
            super()._print_message(message, file)

    def error(self, message: str) -> NoReturn:
        """Tell it with the usage, and end the program."""
        import difflib  # noqa: PLC0415

        from bladegeom.cli.terminal import in_short, shown_text  # noqa: PLC0415

        written, _, choices = message.partition("invalid choice: ")[2].partition("(choose from ")
        word, known = written.strip(" '"), re.findall(r"[\w-]+", choices)
        near = [_RENAMED[word]] if word in _RENAMED else difflib.get_close_matches(word, known, n=1, cutoff=0.6)
        message = in_short(shown_text(message))
        super().error(f"{message}{f'; did you mean {near[0]}?' if known and near else ''}")


_RENAMED: Final = {"card": "book"}
"""Commands under a name that they had once."""


class Version(argparse.Action):
    """Tells the version, which is looked up only then: the tables of installed packages take their time."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str) -> None:  # noqa: A002
        super().__init__(option_strings, dest, nargs=0, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Tell it, and end the program."""
        from bladegeom.quantities.version import __version__  # noqa: PLC0415

        sys.stdout.write(f"bladegeom {__version__}\n")
        parser.exit()

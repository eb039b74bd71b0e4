"""Kinds of values that commands take, and what several of them share."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import Final

_LONGEST_NAME: Final = 255
"""Bytes of a file's name; source: POSIX NAME_MAX of common file systems."""

PARAMETERS_HELP = "override a parameter of the design; a length may carry its unit: blade_length='4-3/4 in'"

PAPER_HELP = "A4, A3, Letter, Legal, Tabloid ...; may be repeated; default: of your settings, else of your country"


def path_argument(text: str) -> Path:
    """A path; an empty text would be the current folder."""
    if not text.strip():
        raise argparse.ArgumentTypeError("it must not be empty")
    if any(len(os.fsencode(part)) > _LONGEST_NAME for part in Path(text).parts):
        raise argparse.ArgumentTypeError(f"a name in it is longer than {_LONGEST_NAME} bytes, which no disk takes")
    return Path(text)


def count_argument(text: str) -> int:
    """A whole number from 1 on."""
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} must be a whole number from 1 on")
    return int(text)


def per_cent_argument(text: str) -> float:
    """A share of a hundred."""
    try:
        value = float(text.rstrip("% "))
    except ValueError:
        value = 0.0
    if not 5 <= value <= 100:
        raise argparse.ArgumentTypeError(f"{text!r} must be from 5 to 100 per cent")
    return value


def port_argument(text: str) -> int:
    """A port that needs no rights of the machine's keeper."""
    if not text.isdecimal() or not 1024 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} must be a whole number from 1024 to 65535")
    return int(text)


def add_script(parser: argparse.ArgumentParser, named: str = "NAME=VALUE", words: str = PARAMETERS_HELP) -> None:
    """A script, and parameters of its design behind it."""
    parser.add_argument("script", type=path_argument, metavar="SCRIPT", help="Python file that defines design(...)")
    parser.add_argument("overrides", nargs="*", default=[], metavar=named, help=words)

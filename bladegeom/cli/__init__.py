"""The command line. Geometry is imported when a command needs it, so that help comes at once."""

from __future__ import annotations

import argparse
import io
import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path

from bladegeom.quantities.errors import BladegeomError

_PARAMETERS = "override a parameter of the design; a length may carry its unit: blade_length='4-3/4 in'"

_VALUES = (
    "values of a parameter, as a list '3,3.5,4' or as a range '100:130:5', '4 in:5 in:1/4 in'; all combinations run"
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    The exit status is 0; 1 where a finding is an error or a variant of a sweep fails; 2 on bad usage or a script that
    fails; 130 where a sweep is stopped.
    """
    options = _options(arguments)
    if isinstance(sys.stdout, io.TextIOWrapper):
        # A name that the terminal cannot show is no reason to stop.
        sys.stdout.reconfigure(errors="backslashreplace")
    # Imported here and not above: everything behind it needs the geometry libraries.
    from bladegeom.cli import commands, script  # noqa: PLC0415

    status = 0
    try:
        if options.command == "sweep":
            from bladegeom.cli.sweep import sweep  # noqa: PLC0415

            status = sweep(options)
        elif options.command == "export":
            from bladegeom.cli.export import export  # noqa: PLC0415

            status = export(options)
        else:
            status = int(getattr(commands, options.command)(options))
        sys.stdout.flush()
    except BladegeomError as error:
        if os.environ.get(script.TRACEBACK):
            traceback.print_exc()
        sys.stderr.write(f"bladegeom: {error}\n")
        return 2
    except BrokenPipeError:
        # Whoever read our output has seen enough. Python would complain when it flushes at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return status


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    """The options; NAME=VALUE may stand before and behind them."""
    options, rest = _parser().parse_known_args(arguments)
    behind = [text for text in rest if "=" in text and not text.startswith("-")]
    if len(behind) < len(rest) or (behind and not hasattr(options, "overrides")):
        options.parser.error(f"unrecognized arguments: {' '.join(rest)}")
    if behind:
        options.overrides = [*options.overrides, *behind]
    if getattr(options, "geometry", False) and not options.json:
        options.parser.error("--geometry goes with --json")
    return options


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="bladegeom",
        description="From a maker's script to a true-scale template, a cut file and a weighed, checked knife.",
        epilog="Check before cutting: numbers are starting points; the steel maker's and the shop's limits override.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    new = commands.add_parser("new", help="write a script to start from")
    new.add_argument("script", type=_path, metavar="SCRIPT", help="file to write; an existing one is left alone")
    new.add_argument("--blade", default="drop_point", help="blade profile (see 'bladegeom profiles')")
    new.add_argument("--handle", default="swelled", help="handle profile")

    check = commands.add_parser("check", help="list everything that is wrong or worth knowing")
    _add_script(check)

    report = commands.add_parser("report", help="print lengths, masses, balance, holes and findings")
    _add_script(report)
    report.add_argument("--json", action="store_true", help="as JSON, for other programs")
    report.add_argument("--geometry", action="store_true", help="with --json: add all lines as points")

    export = commands.add_parser("export", help="write template, cut file and report")
    _add_script(export)
    export.add_argument("--out", type=_path, metavar="FOLDER", help="default: a folder named like the script")
    export.add_argument("--paper", action="append", metavar="NAME", help="A4, A3, Letter, Tabloid ...; may be repeated")
    export.add_argument(
        "--allow", action="append", default=[], metavar="CODE", help="write the cut file in spite of this finding"
    )

    sweep = commands.add_parser("sweep", help="run a design over many values of its parameters, to CSV and a chart")
    sweep.add_argument("script", type=_path, metavar="SCRIPT", help="Python file that defines design(...)")
    sweep.add_argument("overrides", nargs="*", metavar="NAME=VALUES", help=_VALUES)
    sweep.add_argument("--out", type=_path, metavar="FILE", help="CSV file; a sweep that was stopped goes on from it")
    sweep.add_argument("--plot", type=_path, metavar="FILE", help="chart of mass and balance, .svg or .pdf")
    sweep.add_argument("--jobs", type=_count, metavar="N", help="worker processes; default: one for each processor")

    profiles = commands.add_parser("profiles", help="list blade and handle profiles, or the parameters of one")
    profiles.add_argument("name", nargs="?", metavar="NAME")
    for command in commands.choices.values():
        # A mistake is told with the usage of the command, not of the whole.
        command.set_defaults(parser=command)
    return parser


def _path(text: str) -> Path:
    """A path; an empty text would be the current folder."""
    if not text.strip():
        raise argparse.ArgumentTypeError("it must not be empty")
    return Path(text)


def _count(text: str) -> int:
    """A whole number from 1 on."""
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} must be a whole number from 1 on")
    return int(text)


def _add_script(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("script", type=_path, metavar="SCRIPT", help="Python file that defines design(...)")
    parser.add_argument("overrides", nargs="*", metavar="NAME=VALUE", help=_PARAMETERS)

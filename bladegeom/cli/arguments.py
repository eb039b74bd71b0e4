"""What the command line takes: commands, their options, and the words of help."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from typing import Final

from bladegeom.cli.argument_kinds import (
    PAPER_HELP,
    PARAMETERS_HELP,
    add_script,
    count_argument,
    path_argument,
    port_argument,
)
from bladegeom.cli.argument_parser import Parser, Version
from bladegeom.cli.arguments_seen import add_agree, add_mockup, add_picture, add_solid, add_turn

_VALUES = (
    "values of a parameter, as a list '3,3.5,4' or as a range '100:130:5', '4 in:5 in:1/4 in'; all combinations run"
)

_SETTING = "for this time in place of what your settings and the script say: paper=Letter, hole_rules.rim='5/32 in'"


def options_of(arguments: Sequence[str] | None, options: argparse.Namespace) -> argparse.Namespace:
    """The options, added to others; NAME=VALUE and sections may stand behind them too.

    Bad usage is told, and ends the program.
    """
    _, rest = _parser().parse_known_args(arguments, options)
    sections = options.command == "report"
    behind = [text for text in rest if not text.startswith("-") and (sections or "=" in text)]
    if len(behind) < len(rest) or (behind and not hasattr(options, "overrides")):
        options.parser.error(f"unrecognized arguments: {' '.join(rest)}{_meant(options.parser, rest)}")
    if behind:
        options.overrides = [*options.overrides, *behind]
    if getattr(options, "geometry", False) and not options.json:
        options.parser.error("--geometry goes with --json")
    return options


def _meant(parser: argparse.ArgumentParser, rest: Sequence[str]) -> str:
    """The option that is likely meant by the first that there is none of, as a question."""
    import difflib  # noqa: PLC0415

    known = sorted(set(re.findall(r"--[\w-]+", parser.format_usage())))
    written = next((text.partition("=")[0] for text in rest if text.startswith("--")), "")
    near = difflib.get_close_matches(written, known, n=1, cutoff=0.7)
    return f"; did you mean {near[0]}?" if near else ""


_WRITING: Final = {"--out", "--sheet", "--html"}
"""Options that name a file to write."""


def _parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="bladegeom",
        description="From a maker's script to a true-scale template, a cut file and a weighed, checked knife.",
        epilog="Check before cutting: numbers are starting points; the steel maker's and the shop's limits override.",
    )
    parser.add_argument("--version", action=Version, help="tell the version and leave")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    new = commands.add_parser("new", help="write a script to start from")
    new.add_argument(
        "script", type=path_argument, metavar="SCRIPT", help="file to write; an existing one is left alone"
    )
    new.add_argument("--blade", default="drop_point", help="blade profile (see 'bladegeom profiles')")
    new.add_argument("--handle", default="swelled", help="handle profile")

    check = commands.add_parser("check", help="list everything that is wrong or worth knowing")
    add_script(check)

    report = commands.add_parser("report", help="sizes, mass, balance and errors on one screen; more by section")
    add_script(report, "SECTION | NAME=VALUE", f"a section, such as bevel, holes or balance; or {PARAMETERS_HELP}")
    report.add_argument("--all", action="store_true", help="every section, and what moves the balance")
    report.add_argument("--json", action="store_true", help="as JSON, for other programs")
    report.add_argument("--geometry", action="store_true", help="with --json: add all lines as points")

    export = commands.add_parser("export", help="write bench book, templates, cut file and report")
    add_script(export)
    export.add_argument("--out", type=path_argument, metavar="FOLDER", help="default: a folder named like the script")
    export.add_argument("--paper", action="append", metavar="NAME", help=PAPER_HELP)
    export.add_argument(
        "--only",
        action="append",
        metavar="NAME",
        help="write this alone, such as book, template, drill, balance, cut, proof or report; may be repeated",
    )
    export.add_argument(
        "--printer",
        metavar="'ACROSS x ALONG'",
        help="what the 100 mm bars of a print measured, such as '99.6 x 100.2': draws all pages for that printer",
    )
    export.add_argument(
        "--dxf",
        choices=("R2000", "R12"),
        default="R2000",
        help="release of the cut files; R12 is for old controllers and holds no units",
    )
    export.add_argument(
        "--allow", action="append", default=[], metavar="CODE", help="write the cut file in spite of this finding"
    )

    order = commands.add_parser("order", help="list where each requirement of the order lands")
    add_script(order)

    book = commands.add_parser("book", help="write the bench book: all that is printed for one knife, in working order")
    add_script(book)
    book.add_argument("--out", type=path_argument, metavar="FOLDER", help="default: a folder named like the script")
    book.add_argument("--paper", action="append", metavar="NAME", help=PAPER_HELP)
    book.add_argument(
        "--allow",
        action="append",
        default=[],
        metavar="CODE",
        help="release the book in spite of this finding; every page says so",
    )

    add_picture(commands.add_parser("picture", help="show the knife in light before it is cut, as PNG"))

    quote = commands.add_parser("quote", help="what a knife or a run costs at your own prices, and the offer for it")
    _add_quote(quote)

    add_agree(commands.add_parser("agree", help="write the page that the customer signs, or that it was signed"))

    sweep = commands.add_parser("sweep", help="run a design over many values of its parameters, to CSV and a chart")
    sweep.add_argument("script", type=path_argument, metavar="SCRIPT", help="Python file that defines design(...)")
    sweep.add_argument("overrides", nargs="*", default=[], metavar="NAME=VALUES", help=_VALUES)
    sweep.add_argument(
        "--out", type=path_argument, metavar="FILE", help="CSV file; a sweep that was stopped goes on from it"
    )
    sweep.add_argument("--plot", type=path_argument, metavar="FILE", help="chart of mass and balance, .svg or .pdf")
    sweep.add_argument(
        "--jobs", type=count_argument, metavar="N", help="worker processes; default: one for each processor"
    )

    add_solid(commands.add_parser("solid", help="write the parts as solids: 3MF, STL, GLB or STEP for other programs"))

    add_mockup(commands.add_parser("mockup", help="write a blunt body of the knife to print and to hold"))

    _add_preflight(commands.add_parser("preflight", help="read a cut file again: sizes, faults, what a shop would see"))

    _add_nest(commands.add_parser("nest", help="lay blanks on a bar or a sheet: do they fit, how many, what is left"))

    differ = commands.add_parser("differ", help="tell in words what changed from one state of a design to the next")
    differ.add_argument(
        "compared", nargs="+", metavar="SCRIPT", help="two scripts, the older first; or one, and NAME=VALUE to change"
    )

    add_turn(
        commands.add_parser("turn", help="write a page to turn the knife in: stages, parts, cuts, distances; one file")
    )

    _add_watch(commands.add_parser("watch", help="show a design in the browser while you shape it, and follow saves"))

    profiles = commands.add_parser("profiles", help="list blade and handle profiles, or the parameters of one")
    one_or_all = profiles.add_mutually_exclusive_group()
    one_or_all.add_argument("name", nargs="?", metavar="NAME", help="profile whose parameters are listed")
    one_or_all.add_argument(
        "--html", type=path_argument, metavar="FILE", help="write all of them, with pictures, on one page"
    )
    settings = commands.add_parser("settings", help="show the settings of your shop, and where each comes from")
    settings.add_argument("name", nargs="?", metavar="KEY", help="one setting, or one table of them, in full")
    settings.add_argument("--starter", type=path_argument, metavar="FILE", help="write a file to start from")

    for name, command in commands.choices.items():
        if name not in ("new", "profiles"):
            command.add_argument("--setting", action="append", default=[], metavar="KEY=VALUE", help=_SETTING)
        # A mistake is told with the usage of the command, not of the whole.
        command.set_defaults(parser=command)
    for writing in commands.choices.values():
        options = {option for action in writing._actions for option in action.option_strings}
        if options & _WRITING:
            writing.add_argument(
                "--force", action="store_true", help="write over files of the same names that this program did not make"
            )
    return parser


def _add_watch(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("script", type=path_argument, metavar="SCRIPT", help="Python file that defines design(...)")
    parser.add_argument(
        "--beside", type=path_argument, metavar="OTHER", help="a second design, drawn at the same scale"
    )
    parser.add_argument("--port", type=port_argument, metavar="N", help="of this machine; default: one that is free")
    parser.add_argument("--open", action="store_true", help="open the page in the browser")


def _add_preflight(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=path_argument, metavar="FILE", help="DXF, ours or anybody's")
    parser.add_argument(
        "--process", metavar="NAME", help="waterjet, laser or wire EDM; default: the design's, else of your settings"
    )
    parser.add_argument("--thickness", metavar="LENGTH", help="thickness of the stock; default: the design's")
    parser.add_argument(
        "--design", type=path_argument, metavar="SCRIPT", help="compare with what this design would cut"
    )
    parser.add_argument(
        "--unit", choices=("mm", "inch"), help="unit of a file that names none, which is an error until it is told"
    )
    parser.add_argument("--sheet", type=path_argument, metavar="PDF", help="write a pass sheet to attach to the order")
    parser.add_argument(
        "--paper", action="append", metavar="NAME", help="of the sheet; may be repeated; default: of your settings"
    )
    parser.add_argument(
        "--seen", metavar="SIZE", help="say why a shop sees another size, such as '9.11 in' or '231 x 38 mm'"
    )


def _add_nest(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "scripts", nargs="+", type=path_argument, metavar="SCRIPT", help="Python files that define design(...)"
    )
    stock = parser.add_mutually_exclusive_group(required=True)
    stock.add_argument("--bar", metavar="SIZE", help="'50 x 1000', '2 in x 36 in'; rolled along the longer side")
    stock.add_argument("--sheet", metavar="SIZE", help="'500 x 300'; rolled along the side named first")
    parser.add_argument("--copies", default="1", metavar="N", help="of each; 'most' fills one bar or sheet; default 1")
    parser.add_argument(
        "--pieces", type=count_argument, metavar="N", help="of stock at hand; default: as many as needed"
    )
    parser.add_argument("--spacing", default="5 mm", metavar="LENGTH", help="between two blanks; default 5 mm")
    parser.add_argument("--margin", default="5 mm", metavar="LENGTH", help="to the stock's border; default 5 mm")
    parser.add_argument(
        "--grain",
        choices=("along", "any"),
        default="along",
        help="blades along the rolling direction, or turned by quarters too",
    )
    parser.add_argument("--flip", action="store_true", help="blanks may be cut face down too")
    parser.add_argument("--out", type=path_argument, metavar="FILE", help="sheet to saw by, .pdf or .svg")
    parser.add_argument(
        "--paper", action="append", metavar="NAME", help="of the sheet; may be repeated; default: of your settings"
    )
    parser.add_argument(
        "--dxf", type=path_argument, metavar="FILE", help="cut file of all blanks, where a shop asks for one"
    )
    parser.add_argument(
        "--allow", action="append", default=[], metavar="CODE", help="write the cut file in spite of this finding"
    )


def _add_quote(quote: argparse.ArgumentParser) -> None:
    quote.add_argument(
        "script", type=path_argument, nargs="?", metavar="SCRIPT", help="Python file that defines design(...)"
    )
    quote.add_argument("overrides", nargs="*", default=[], metavar="NAME=VALUE", help=PARAMETERS_HELP)
    quote.add_argument(
        "--prices", type=path_argument, metavar="FILE", help="your price list, TOML; default: of your settings"
    )
    quote.add_argument(
        "--starter", type=path_argument, metavar="FILE", help="write a price list to start from, all invented"
    )
    quote.add_argument("--copies", type=count_argument, metavar="N", help="default: as many as the order says, else 1")
    quote.add_argument(
        "--log", type=path_argument, metavar="FILE", help="CSV of past jobs, to learn grinding rates from"
    )
    quote.add_argument("--customer", action="store_true", help="the customer's copy: no hours, rates, floor or margin")
    quote.add_argument("--out", type=path_argument, metavar="FILE", help="write the quote as PDF too")
    quote.add_argument("--paper", metavar="NAME", help="of the PDF; default: of your settings")

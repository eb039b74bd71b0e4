"""What the commands take that show a knife before it is cut: pictures, solids, mock-ups, and the customer's page."""

from __future__ import annotations

import argparse

from bladegeom.cli.argument_kinds import PAPER_HELP, add_script, count_argument, path_argument, per_cent_argument


def add_picture(parser: argparse.ArgumentParser) -> None:
    """What ``bladegeom picture`` takes."""
    add_script(parser)
    parser.add_argument(
        "--view", default="right", metavar="VIEW", help="right, left, spine, edge or three-quarter; default: right"
    )
    parser.add_argument(
        "--beside", type=path_argument, metavar="OTHER", help="a second design, drawn at the same scale"
    )
    parser.add_argument("--hand", metavar="BREADTH", help="a hand of this breadth behind the handle, such as '85 mm'")
    parser.add_argument(
        "--stage", default="finished", metavar="STAGE", help="blank, rough, finished or sharp; default: finished"
    )
    parser.add_argument(
        "--width", type=count_argument, default=2400, metavar="PIXELS", help="of the picture; default: 2400"
    )
    parser.add_argument(
        "--out", type=path_argument, metavar="FILE", help="default: my_knife_right.png beside my_knife.py, by the view"
    )


def add_solid(parser: argparse.ArgumentParser) -> None:
    """What ``bladegeom solid`` takes."""
    add_script(parser)
    parser.add_argument(
        "--format",
        action="append",
        choices=("3mf", "stl", "glb", "step"),
        help="may be repeated; default 3mf: unit, names and colours; stl: one file a part; glb: to look at; step: true "
        "surfaces for CAD and CAM, by an extra",
    )
    parser.add_argument(
        "--stage", choices=("blank", "rough", "finished", "sharp"), default="finished", help="default: finished"
    )
    parser.add_argument(
        "--tolerance", default="0.02 mm", metavar="LENGTH", help="of triangles off the surface; default 0.02 mm"
    )
    parser.add_argument("--out", type=path_argument, metavar="FOLDER", help="default: a folder named like the script")


def add_mockup(parser: argparse.ArgumentParser) -> None:
    """What ``bladegeom mockup`` takes."""
    add_script(parser)
    parser.add_argument("--whole", action="store_true", help="in one, not in halves: it needs supports")
    parser.add_argument("--handle", action="store_true", help="the handle alone")
    parser.add_argument("--bed", default="medium", metavar="SIZE", help="small, medium, large, or '250 x 210'")
    parser.add_argument("--least", default="1.2 mm", metavar="LENGTH", help="thickness of edge and tip; default 1.2 mm")
    parser.add_argument("--plastic", default="PLA", metavar="NAME", help="PLA, PETG, ABS ...; default PLA")
    parser.add_argument(
        "--fill",
        type=per_cent_argument,
        default=100.0,
        metavar="PERCENT",
        help="of what lies between the walls that is plastic; default 100",
    )
    parser.add_argument("--wall", default="1.2 mm", metavar="LENGTH", help="of plastic alone all round; default 1.2 mm")
    parser.add_argument("--dowel", default="4 mm", metavar="LENGTH", help="diameter of dowels; default 4 mm")
    parser.add_argument("--dowel-depth", default="5 mm", metavar="LENGTH", help="of each hole; default 5 mm")
    parser.add_argument("--ballast", default="W1", metavar="METAL", help="of the bar that balances it; default W1")
    parser.add_argument("--format", action="append", choices=("3mf", "stl"), help="may be repeated; default: both")
    parser.add_argument("--out", type=path_argument, metavar="FOLDER", help="default: a folder named like the script")


def add_agree(agree: argparse.ArgumentParser) -> None:
    """What ``bladegeom agree`` takes."""
    add_script(agree)
    agree.add_argument("--out", type=path_argument, metavar="FOLDER", help="default: a folder named like the script")
    agree.add_argument("--paper", action="append", metavar="NAME", help=PAPER_HELP)
    agree.add_argument("--maker", metavar="NAME", help="who makes it; default: of your settings, else a line")
    agree.add_argument(
        "--date", metavar="DAY", help="such as 2026-03-05, or today; default: when the order was last spoken of"
    )
    agree.add_argument("--price", action="store_true", help="tell the price, by the price list of your settings")
    agree.add_argument("--prices", type=path_argument, metavar="FILE", help="tell the price, by this list, TOML")
    agree.add_argument(
        "--signed",
        nargs="?",
        const="",
        metavar="HOW",
        help="write down that it was agreed: 'on paper', 'by letter', 'by e-mail', 'on a screen', 'by word of mouth'",
    )
    agree.add_argument("--customer", default="", metavar="NAME", help="who signed; default: as the order says")
    agree.add_argument(
        "--answer", action="append", default=[], metavar="LETTER=ANSWER", help="to a question of the page; repeatable"
    )
    agree.add_argument("--leave-open", action="store_true", help="agree although a question must still be answered")
    agree.add_argument("--again", action="store_true", help="agree anew; the older agreement is kept beside it")
    agree.add_argument("--note", default="", metavar="TEXT", help="anything else about the agreement")


def add_turn(parser: argparse.ArgumentParser) -> None:
    """What ``bladegeom turn`` takes."""
    add_script(parser)
    parser.add_argument(
        "--out",
        type=path_argument,
        metavar="FILE",
        help="the page, .html; default: my_knife_turn.html beside my_knife.py",
    )
    parser.add_argument("--customer", action="store_true", help="the customer's page: without findings")

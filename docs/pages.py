"""Pages that nobody types: help of commands, parameters of profiles, public names, tables, what the tests hold."""

from __future__ import annotations

import ast
import contextlib
import csv
import io
import itertools
import os
import re
import textwrap
from collections import Counter, defaultdict
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Final
from unittest import mock

from windows import powershell

from bladegeom import cli, profiles
from bladegeom.agreement.sights import sights

ROOT = Path(__file__).resolve().parent.parent

PYTHON = "reference/python/"
"""Where the pages of the public names lie."""

SHELL = re.compile(r"^(?P<indent> *)```sh\n(?P<body>.*?)^(?P=indent)```$", re.MULTILINE | re.DOTALL)

ROLE = re.compile(r":(?:class|data|func|meth|mod):`~?([^`]+)`")

EXAMPLE = re.compile(r"^>>> .*(?:\n.+)*", re.MULTILINE)
"""In a docstring, from a prompt at the margin to the next empty line."""

TABS = """\
=== "Linux, macOS"

    ```sh
{unix}
    ```

=== "Windows (PowerShell)"

    ```powershell
{windows}
    ```
"""


@cache
def generated() -> Mapping[str, str]:
    """Every page that is made here, by its path."""
    pages = {
        "reference/commands.md": commands_page(),
        "reference/profiles.md": profiles_page(),
        "reference/tables.md": tables_page(),
        "reference/tests.md": tests_page(),
        "reference/what-shows.md": what_shows_page(),
    }
    for room, names in public_names().items():
        pages[f"{PYTHON}{room}.md"] = room_page(room, names)
    return pages


def contact_sheets() -> dict[str, Path]:
    """The committed contact sheet of every profile, by its path in the site."""
    return {
        f"reference/profiles/{name}.svg": ROOT / "exports" / "profiles" / f"{name}.svg" for name in profiles.names()
    }


def commands_page() -> str:
    """The help of every command, as the command gives it."""
    parts = ["# Commands", textwrap.dedent(help_of()), ""]
    for name in command_names():
        parts += [f"## {name}", "", help_of(name), ""]
    return "\n".join(parts)


def command_names() -> list[str]:
    """The commands in the order of the help."""
    return re.findall(r"^    (\w+)(?:  |$)", help_of(), re.MULTILINE)


def help_of(*command: str) -> str:
    """What ``bladegeom COMMAND --help`` prints, as a block of code."""
    return f"```text\n{printed(*command, '--help')}```"


def profiles_page() -> str:
    """The parameters of every profile, as ``bladegeom profiles NAME`` tells them."""
    about = "As `bladegeom profiles NAME` prints them; the shape as it comes dashed beside both ends of each range."
    parts = ["# Parameters of the profiles", "", about, ""]
    for name in profiles.names():
        picture = f"![What each parameter of {name} does](profiles/{name}.svg)"
        parts += [f"## {name}", "", f"```text\n{printed('profiles', name)}```", "", picture, ""]
    return "\n".join(parts)


def printed(*arguments: str) -> str:
    """What the command line prints for these arguments, 84 characters wide, without colours."""
    out = io.StringIO()
    wide = mock.patch.dict(os.environ, {"COLUMNS": "84", "NO_COLOR": "1"})
    with wide, contextlib.redirect_stdout(out), contextlib.suppress(SystemExit):
        cli.main(arguments)
    return out.getvalue()


def tables_page() -> str:
    """Every table of the library with the sources that its rows name."""
    parts = ["# Tables and their sources", "", "Each row names where it is from and how sure that is.", ""]
    for path in sorted((ROOT / "bladegeom" / "quantities" / "data").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        sources = Counter((row.get("confidence", ""), row["source"]) for row in rows)
        parts += [f"## {path.stem.replace('_', ' ')}", "", f"{len(rows)} rows.", ""]
        parts += ["| rows | confidence | source |", "|---|---|---|"]
        parts += [f"| {n} | {sure} | {source.replace('|', '/')} |" for (sure, source), n in sources.most_common()]
        parts.append("")
    return "\n".join(parts)


def what_shows_page() -> str:
    """Of every declared field whether a customer sees it."""
    about = "Whether a customer sees a field differ from [what was agreed](../order.md), and why."
    parts = ["# What a customer sees", "", about, ""]
    for of, rows in itertools.groupby(sights().values(), key=lambda row: row.of):
        parts += [f"## {of}", "", "| field | shows | from | reason |", "|---|---|---|---|"]
        for row in rows:
            least = f"{100 * row.within:g} %" if row.is_share else f"{row.within:g} {row.unit}".strip()
            parts.append(f"| {row.field} | {_SHOWN[row.shows]} | {least if row.within else ''} | {row.why} |")
        parts.append("")
    return "\n".join(parts)


_SHOWN: Final = {
    "seen": "yes",
    "bare": "where no scale covers it",
    "stations": "as a thickness",
    "line": "as a line",
    "numbers": "by the numbers in it",
    "inside": "by its own fields",
    "unseen": "no",
}


def tests_page() -> str:
    """What each file of tests holds, in its own words."""
    parts = ["# What each test holds", "", "| tests of | what they hold |", "|---|---|"]
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        about = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
        if about:
            room = path.relative_to(ROOT / "tests").parent
            name = path.stem.removeprefix("test_").replace("_", " ")
            words = about.split("\n\n", 1)[0].replace("\n", " ").replace("|", "/")
            parts.append(f"| {name}{'' if room == Path() else f' ({room})'} | {words} |")
    return "\n".join([*parts, ""])


def public_names() -> dict[str, list[str]]:
    """The public names by the folder that they come from, both in the order of the list of names."""
    rooms: dict[str, list[str]] = defaultdict(list)
    for node in ast.parse((ROOT / "bladegeom" / "__init__.pyi").read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ImportFrom) and node.module:
            rooms[node.module.split(".")[0]] += [alias.asname or alias.name for alias in node.names]
    return dict(rooms)


def room_page(room: str, names: list[str]) -> str:
    """What one folder offers, from the docstrings."""
    about = import_module(f"bladegeom.{room}").__doc__ or ""
    parts = [f"# {room.capitalize()}", "", as_markdown(about.strip()), ""]
    return "\n".join([*parts, *(f"::: bladegeom.{name}\n" for name in sorted(names, key=str.lower))])


def as_markdown(docstring: str) -> str:
    """The same docstring as Markdown reads it: examples are code and no quotation, a role is the name it points to."""
    return EXAMPLE.sub(r"```pycon\n\g<0>\n```", ROLE.sub(r"`\1`", docstring))


def title_of(page: str) -> str:
    """The first heading."""
    return page.split("\n", 1)[0].removeprefix("# ")


def in_tabs(markdown: str) -> str:
    """The text with each command for a Unix shell beside the same for Windows."""
    return SHELL.sub(_tabs, markdown)


def _tabs(block: re.Match[str]) -> str:
    unix = textwrap.dedent(block["body"]).rstrip("\n")
    windows = "\n".join(powershell(line) for line in unix.splitlines())
    if windows == unix:
        return block[0]
    tabs = TABS.format(unix=textwrap.indent(unix, "    "), windows=textwrap.indent(windows, "    "))
    return textwrap.indent(tabs, block["indent"])

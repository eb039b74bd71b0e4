"""Tables in TOML, each with its place in the file, so that what is wrong with it is told with its line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.text_file import TextFile, read_text
from bladegeom.quantities.toml_lines import Keys, key_lines

_COMMA = re.compile(r"\s*[\w.-]+\s*=\s*(-?\d+),(\d+)\s*(?:#.*)?")
"""A number with a decimal comma."""

_DEEP = re.compile(r"""(?<![\w"'-])(?:[\w"'-]+[ \t]*\.[ \t]*){40}""")
"""A key of so many names joined by dots: no file has one, and the time to read it grows with the square of them."""


@dataclass(frozen=True)
class TomlTable:
    """A table of a file.

    Args:
        file: That it stands in.
        content: Its keys and their values.
        path: Of the table in the file; () is the file itself.
    """

    file: TextFile
    content: Mapping[str, Any]
    path: Keys = ()

    def error(self, reason: str, *keys: str | int) -> UnreadableFileError:
        """What is wrong, with the line of a key in it, or of the nearest table around that has one."""
        lines = key_lines(self.file.text)
        path = (*self.path, *keys)
        while path and path not in lines:
            path = path[:-1]
        return self.file.error(reason, lines.get(path))

    def table(self, key: str) -> TomlTable | None:
        """The table ``[key]``; None where there is none.

        Raises:
            UnreadableFileError: It is something else.
        """
        if key not in self.content:
            return None
        if not isinstance(self.content[key], dict):
            head = ".".join(map(str, (*self.path, key)))
            raise self.error(
                f"{key.replace('_', ' ')} must be a table of its own, [{head}], with a line for each key", key
            )
        return TomlTable(self.file, self.content[key], (*self.path, key))

    def tables(self, key: str) -> tuple[TomlTable, ...]:
        """All tables ``[[key]]``.

        Raises:
            UnreadableFileError: They are something else.
        """
        entries = self.content.get(key, [])
        if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            raise self.error(f"write [[{key}]], with two brackets each, for every {key.replace('_', ' ')}", key)
        return tuple(TomlTable(self.file, entry, (*self.path, key, i)) for i, entry in enumerate(entries))


def read_toml(
    path: str | Path, *, most_bytes: int, advice: str, parse_float: Callable[[str], Any] = float
) -> TomlTable:
    """A whole file.

    Args:
        path: Of the file.
        most_bytes: A longer one is refused.
        advice: What to do with a longer one.
        parse_float: What numbers with a decimal point become.

    Raises:
        UnreadableFileError: It cannot be read, or is no TOML; the line is named.
    """
    file = read_text(path, most_bytes=most_bytes, advice=advice)
    if (deep := _DEEP.search(file.text)) is not None:
        message = "the file is no TOML as it stands: a key of names joined by dots, too many of them"
        raise file.error(message, file.text.count("\n", 0, deep.start()) + 1)
    try:
        return TomlTable(file, tomllib.loads(file.text, parse_float=parse_float))
    except RecursionError:
        raise file.error("the file is no TOML as it stands: brackets within brackets, too many of them") from None
    except tomllib.TOMLDecodeError as error:
        told = re.fullmatch(r"(.*?) \((?:at line (\d+), column \d+|at end of document)\)", str(error), re.DOTALL)
        message, line = (told[1], told[2]) if told else (str(error), None)
        last = file.text.rstrip().count("\n") + 1
        at = int(line) if line else last
        found = _COMMA.fullmatch(file.text.splitlines()[at - 1]) if file.text.strip() else None
        way_out = f"; write {found[1]}.{found[2]} with a decimal point" if found else ""
        raise file.error(f"the file is no TOML as it stands: {message}{way_out}", at) from error
    except (ValueError, ArithmeticError) as error:
        # Python reads whole numbers of up to 4300 digits, and decimals of no more than a quintillion.
        raise file.error("the file is no TOML as it stands: it holds a number that is far too long") from error


def value_written(text: str) -> object:
    """A value alone, as it stands behind the = of a key; a text needs no quotes.

    >>> value_written("4.5"), value_written("[1, 2]"), value_written("Letter")
    (4.5, [1, 2], 'Letter')
    """
    try:
        content = tomllib.loads(f"value = {text}")
    except (ValueError, ArithmeticError, RecursionError):  # a text, then
        return text
    return content["value"] if len(content) == 1 else text

"""On which line of a TOML text each key and table stands, which Python's own reader does not tell."""

from __future__ import annotations

import re
import tomllib
from typing import Final, NamedTuple

Keys = tuple[str | int, ...]
"""From the outermost table inwards: names, and counts from 0 in a list."""

_TOKEN: Final = re.compile(
    r"""(?P<string>\"""(?:[^\\]|\\.)*?"{3,5}|'''.*?'{3,5}|"(?:[^"\\]|\\.)*"|'[^']*')"""
    r"""|(?P<remark>\#[^\n]*)|(?P<mark>[][{}=,.])|(?P<end>\n)|(?P<bare>[^][{}=,.#"'\s]+)""",
    re.DOTALL,
)
"""Source: the grammar of TOML 1.0.0, of what is already known to be TOML."""


class _Token(NamedTuple):
    kind: str
    text: str
    line: int


def key_lines(text: str) -> dict[Keys, int]:
    r"""Line of every key, table and entry of a list, counted from 1.

    Args:
        text: TOML that a reader has accepted, with plain line ends.

    >>> key_lines("a = 1\n[[bar]]\nprice = [2,\n 3]")[("bar", 0, "price", 1)]
    4
    """
    return _Scan(text).lines


class _Scan:
    """One pass over the text."""

    def __init__(self, text: str) -> None:
        self.lines: dict[Keys, int] = {}
        self._lists: dict[Keys, int] = {}
        self._tokens = _tokens(text)
        self._at = 0
        table: Keys = ()
        while self._skip_ends().kind != "stop":
            if self._now.text == "[" and self._now.kind == "mark":
                table = self._head()
            else:
                self._pair(table)

    @property
    def _now(self) -> _Token:
        return self._tokens[self._at]

    def _next(self) -> _Token:
        self._at += 1
        return self._tokens[self._at - 1]

    def _takes(self, mark: str) -> bool:
        found = self._now.kind == "mark" and self._now.text == mark
        self._at += found
        return found

    def _skip_ends(self) -> _Token:
        while self._now.kind == "end":
            self._at += 1
        return self._now

    def _head(self) -> Keys:
        """``[a.b]`` or ``[[a.b]]``: the table that begins here."""
        line = self._next().line
        is_list = self._takes("[")
        *outer, last = self._key()
        table: Keys = ()
        for name in outer:
            table = self._entered((*table, name))
        table = (*table, last)
        if is_list:
            self._lists[table] = self._lists.get(table, -1) + 1
            self.lines.setdefault(table, line)
        table = self._entered(table)
        self.lines[table] = line
        self._at += 1 + is_list
        return table

    def _entered(self, table: Keys) -> Keys:
        """Of a list of tables the last one."""
        return (*table, self._lists[table]) if table in self._lists else table

    def _pair(self, table: Keys) -> None:
        line = self._now.line
        for name in self._key():
            table = (*table, name)
            self.lines.setdefault(table, line)
        self._at += 1
        self._value(table)

    def _key(self) -> list[str]:
        names = []
        while True:
            token = self._next()
            names.append(tomllib.loads(f"k={token.text}")["k"] if token.kind == "string" else token.text)
            if not self._takes("."):
                return names

    def _value(self, path: Keys) -> None:
        if self._takes("["):
            self._entries(path)
        elif self._takes("{"):
            self._skip_ends()
            while not self._takes("}"):
                self._pair(path)
                self._takes(",")
                self._skip_ends()
        else:
            while self._now.kind not in ("end", "stop") and self._now.text not in (",", "]", "}"):
                self._at += 1

    def _entries(self, path: Keys) -> None:
        count = 0
        self._skip_ends()
        while not self._takes("]"):
            self.lines[(*path, count)] = self._now.line
            self._value((*path, count))
            self._skip_ends()
            self._takes(",")
            self._skip_ends()
            count += 1


def _tokens(text: str) -> list[_Token]:
    out, line = [], 1
    for found in _TOKEN.finditer(text):
        kind = str(found.lastgroup)
        if kind != "remark":
            out.append(_Token(kind, found[0], line))
        line += found[0].count("\n")
    return [*out, _Token("stop", "", line)]

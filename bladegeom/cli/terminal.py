"""What a terminal shows and a pipe or a file never gets: colour, and lines that are drawn over each other."""

from __future__ import annotations

import os
import re
from typing import Final, TextIO

from bladegeom.quantities.lettering import visible

CLEAR: Final = "\r\x1b[K"
"""Back to the beginning of the line, and all of it away; source: ECMA-48, as are the colours."""

_COLUMNS = 80
"""Of a terminal that does not tell how wide it is."""

_RED, _YELLOW, _PLAIN = "\x1b[1;31m", "\x1b[33m", "\x1b[0m"

_WORDS = re.compile(r"^ *(?P<error>error)(?=(?: OVERRIDDEN)? \[)|^ *(?P<warning>warning)(?= \[)|\bNOT RELEASED\b", re.M)
"""Words that stand out: how bad a finding is, where its line begins, and that a design is held back."""


def is_obeying(stream: TextIO) -> bool:
    """Whether it is a terminal that does as it is told: no dumb one, and none of old Windows."""
    knows = os.name != "nt" or "WT_SESSION" in os.environ
    return stream.isatty() and knows and os.environ.get("TERM") != "dumb"


def width_of(stream: TextIO) -> int:
    """Columns of a terminal."""
    try:
        return os.get_terminal_size(stream.fileno()).columns or _COLUMNS
    except OSError:
        return _COLUMNS


def shown_text(text: str) -> str:
    """The text as a terminal may have it: names out of a file cannot clear the screen or change its title."""
    return "\n".join(visible(line) for line in text.split("\n"))


def in_short(text: str) -> str:
    """A message without the middle of what somebody has written in one endless word."""
    return re.sub(r"\S{300,}", lambda word: f"{word[0][:60]}...{word[0][-20:]}", text)


def coloured(text: str, stream: TextIO) -> str:
    """The text as it goes to a stream: coloured sparingly on a terminal, as it is elsewhere and where NO_COLOR is set.

    All that a colour says is said by the word that has it. Source of NO_COLOR: no-color.org, set to anything but "".
    """
    if os.environ.get("NO_COLOR") or not is_obeying(stream):
        return text
    return _WORDS.sub(_in_colour, text)


def _in_colour(found: re.Match[str]) -> str:
    word = found.group().lstrip(" ")
    before = found.group().removesuffix(word)
    return f"{before}{_YELLOW if found['warning'] else _RED}{word}{_PLAIN}"

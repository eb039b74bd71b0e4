"""How wide text is: letters of the Helvetica family, which PDF viewers carry and common substitutes match in width."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

EM = 1 / 0.9
"""Size of the face for a label of height 1: heights count from the base line to a little above the capitals."""

DEPTH = 0.25
"""Room for letters that hang below the base line, in heights of the label."""

# Widths of the characters from space to ~ in thousandths of an em.
# Source: Adobe Core 14 AFM, Helvetica and Helvetica-Bold; the PDF writer's own tables agree.
_REGULAR = (
    *(278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278),
    *(556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556),
    *(1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778),
    *(667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556),
    *(333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556),
    *(556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584),
)
_BOLD = (
    *(278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278),
    *(556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611),
    *(975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778),
    *(667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556),
    *(333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611),
    *(611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584),
)
_ACCENTED = 278
"""No letter with an accent is narrower."""
_OTHER = 1000
"""Room for a character of any other script."""


def one_line(text: str) -> str:
    """The text with a space in place of everything that no page can show: line ends, controls, broken characters."""
    return "".join(c if c.isprintable() else " " for c in text)


def visible(text: str) -> str:
    r"""The text with each control code and broken character written out, so that no terminal or page obeys it.

    >>> visible("CUT\x1b[2J")
    'CUT\\x1b[2J'
    """
    shown = (c if c.isprintable() or unicodedata.category(c) == "Zs" else c.encode("unicode_escape") for c in text)
    return "".join(c if isinstance(c, str) else c.decode() for c in shown)


def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """Room that a text takes, mm: exact for plain letters, digits and signs, not too little for others."""
    return _thousandths(text, bold) / 1000 * EM * height


def wrapped(text: str, height: float, width: float, *, bold: bool = False) -> list[str]:
    """The text in lines no wider than a width, mm; words that are wider are broken."""
    lines = [""]
    for word in one_line(text).split():
        longer = f"{lines[-1]} {word}".lstrip()
        if text_width(longer, height, bold=bold) <= width:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if lines[-1] and text_width(lines[-1] + letter, height, bold=bold) > width:
                lines.append("")
            lines[-1] += letter
    return lines


@lru_cache(maxsize=16384)
def _thousandths(text: str, bold: bool) -> int:  # noqa: FBT001
    """Of an em; kept, as the same lines are tried in many places and on several papers."""
    widths = _BOLD if bold else _REGULAR
    return sum(_width(c, widths) for c in text)


def _width(character: str, widths: tuple[int, ...]) -> int:
    if " " <= character <= "~":
        return widths[ord(character) - 32]
    base = unicodedata.normalize("NFD", character)[0]
    return max(widths[ord(base) - 32], _ACCENTED) if " " <= base <= "~" else _OTHER

"""How wide text is, in the face that everything is printed in, and which letters it lacks."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

from bladegeom.quantities.face import face

EM = 1 / 0.9
"""Size of the face for a label of height 1: heights count from the base line to a little above the capitals."""

DEPTH = 0.25
"""Room for letters that hang below the base line, in heights of the label."""

_OTHER = 1000
"""Room for a letter that the face lacks, thousandths of an em."""


def one_line(text: str) -> str:
    """The text with a space in place of everything that no page can show: line ends, controls, broken characters.

    A letter and an accent that follows it become the one letter that they are.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " for c in unicodedata.normalize("NFC", text))


def lacking(text: str) -> tuple[str, ...]:
    """The letters of a text that no page can show, each once, in order.

    >>> lacking("Ji\u0159\u00ed \u0150"), lacking("\u5305\u4e01\u5305")
    ((), ('包', '丁'))
    """
    if text.isascii():
        return ()  # the face has every one of them
    return tuple(c for c in dict.fromkeys(one_line(text)) if _lacks(c))


def visible(text: str) -> str:
    r"""The text with each control code and broken character written out, so that no terminal or page obeys it.

    >>> visible("CUT\x1b[2J")
    'CUT\\x1b[2J'
    """
    shown = (c if c.isprintable() or unicodedata.category(c) == "Zs" else c.encode("unicode_escape") for c in text)
    return "".join(c if isinstance(c, str) else c.decode() for c in shown)


def spelled(text: str) -> str:
    r"""The text with each letter that the face lacks written out: for names in files of others, who chose them.

    >>> spelled("CUT \u5305")
    'CUT \\u5305'
    """
    missing = set(lacking(text))
    return "".join(c.encode("unicode_escape").decode() if c in missing else c for c in one_line(text))


def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """Room that a text takes, mm; for letters that the face lacks it is a guess."""
    return _mm(_thousandths(text, bold), height)


def wrapped(text: str, height: float, width: float, *, bold: bool = False) -> list[str]:
    """The text in lines no wider than a width, mm; a number keeps its unit, words that are wider are broken."""
    return list(_wrapped(text, height, width, bold))


@lru_cache(maxsize=16384)
def _wrapped(text: str, height: float, width: float, bold: bool) -> tuple[str, ...]:  # noqa: FBT001
    """Kept, as layouts are tried that have the same texts in columns of the same widths."""
    # Widths are whole parts of 2048, so that a line is exactly as wide as its words and spaces together.
    lines, taken, space = [""], 0.0, _width(" ", bold)
    for word in _unbroken(text):
        longer = (taken + space if lines[-1] else 0.0) + _thousandths(word, bold)
        if _mm(longer, height) <= width:
            lines[-1], taken = f"{lines[-1]} {word}" if lines[-1] else word, longer
            continue
        if lines[-1]:
            lines.append("")
        taken = 0.0
        for letter in word:
            if lines[-1] and _mm(taken + _width(letter, bold), height) > width:
                lines.append("")
                taken = 0.0
            lines[-1] += letter
            taken += _width(letter, bold)
    return tuple(lines)


_UNITS: Final = frozenset(("mm", "in", "C", "F", "K", "HRC", "g", "oz", "L", "min", "h", "s", "degrees"))
"""Words that mean little at the beginning of a line, without the number before them."""


def _unbroken(text: str) -> list[str]:
    """What a line does not end within: words, a number with its unit, x or y with its number."""
    out = list[str]()
    for word in one_line(text).split():
        is_unit = word.rstrip(").,;:?") in _UNITS and bool(out) and out[-1][-1].isdigit()
        is_place = word.lstrip("-")[:1].isdigit() and out[-1:] in (["x"], ["y"])
        if is_unit or is_place:
            out[-1] += f" {word}"
        else:
            out.append(word)
    return out


def _mm(thousandths: float, height: float) -> float:
    return thousandths / 1000 * EM * height


@lru_cache(maxsize=16384)
def _thousandths(text: str, bold: bool) -> float:  # noqa: FBT001
    """Of an em; kept, as the same lines are tried in many places and on several papers."""
    return sum(_width(c, bold) for c in text)


@lru_cache(maxsize=4096)
def _lacks(character: str) -> bool:
    return face().width(character) is None


@lru_cache(maxsize=4096)
def _width(character: str, bold: bool) -> float:  # noqa: FBT001
    width = face(bold=bold).width(character)
    return _OTHER if width is None else width

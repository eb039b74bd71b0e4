"""A number that is worked to: what it is, the number large, the same in the other unit small beside or under it."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.drawing.drawing import Item, Label
from bladegeom.drawing.type_sizes import KEY, LEADING, TEXT
from bladegeom.quantities.lettering import DEPTH, text_width, wrapped
from bladegeom.quantities.shown import Shown

_APART = 2.0
"""Between the large number and the small one where they stand beside each other, mm."""


def key_number(what: str, shown: Shown, x: float, top: float, width: float, *, limits: str = "") -> Iterator[Item]:
    """Items from a top downwards.

    Args:
        what: The number tells.
        shown: The number.
        x: Left border, mm.
        top: Upper border, mm.
        width: That they may take, mm.
        limits: Under the number.
    """
    y = top
    for text in wrapped(what, TEXT, width):
        y -= TEXT * LEADING
        yield Label(layer="NOTE", x=x, y=y, text=text, height=TEXT)
    for text in wrapped(shown.first, KEY, width, bold=True):
        y -= KEY * LEADING
        yield Label(layer="NOTE", x=x, y=y, text=text, height=KEY, bold=True)
        end = x + text_width(text, KEY, bold=True)
    beside = x + width - end - _APART >= text_width(shown.second, TEXT)
    if shown.second and beside:
        yield Label(layer="NOTE", x=end + _APART, y=y, text=shown.second, height=TEXT)
    under = (shown.second if not beside else "", limits)
    y -= DEPTH * (KEY - TEXT)
    for text in under:
        for part in wrapped(text, TEXT, width) if text else ():
            y -= TEXT * LEADING
            yield Label(layer="NOTE", x=x, y=y, text=part, height=TEXT)

"""A title with sentences under it, and the same in a frame with the caution sign for what must not be done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.caution_sign import SIGN, caution_sign
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN, LEADING, TEXT
from bladegeom.quantities.lettering import wrapped

_INDENT: Final = 4.0
"""Of a sentence behind its dot, mm."""

_APART: Final = 0.6
"""Between two sentences, mm."""

_PAD: Final = 3.0
"""Between a frame and what it holds, mm."""


def told_block(title: str, sentences: Sequence[str], width: float) -> Iterator[Item]:
    """From the origin downwards, no wider than a width."""
    y = 0.0
    for text in wrapped(title, HEAD, width, bold=True):
        y -= HEAD * LEADING
        yield Label(layer="NOTE", x=0.0, y=y, text=text, height=HEAD, bold=True)
    yield from _sentences(sentences, 0.0, y - 0.8, width)


def framed_caution(title: str, sentences: Sequence[str], left: float, width: float) -> tuple[Item, ...]:
    """In two columns between two borders, its upper border at height 0.

    Args:
        title: Beside the sign.
        sentences: Half of them in each column.
        left: Left border, mm.
        width: From border to border, mm.
    """
    each = (width - 3 * _PAD) / 2
    half = -(-len(sentences) // 2)
    x = left + _PAD + SIGN + 2.0
    items: list[Item] = [*caution_sign(left + _PAD, 0.4 - _PAD)]
    items.append(Label(layer="NOTE", x=x, y=-_PAD - HEAD, text=title, height=HEAD, bold=True))
    top = -_PAD - HEAD * LEADING - 0.8
    for column, told in enumerate((sentences[:half], sentences[half:])):
        items += _sentences(told, left + _PAD + column * (each + _PAD), top, each)
    low = Drawing(name="", items=tuple(items)).bounds[1] - _PAD + 1.0
    right = left + width
    around = ((left, low), (right, low), (right, 0.0), (left, 0.0), (left, low))
    return (*items, Path(layer="NOTE", curve=line(*around), closed=True, pen=HEAVY_PEN))


def _sentences(sentences: Sequence[str], x: float, top: float, width: float) -> Iterator[Item]:
    """Each behind a dot, from a top downwards."""
    y = top
    for sentence in sentences:
        yield Circle(layer="NOTE", x=x + 1.2, y=y - TEXT * LEADING + 0.38 * TEXT, radius=0.5, filled=True)
        for text in wrapped(sentence, TEXT, width - _INDENT):
            y -= TEXT * LEADING
            yield Label(layer="NOTE", x=x + _INDENT, y=y, text=text, height=TEXT)
        y -= _APART

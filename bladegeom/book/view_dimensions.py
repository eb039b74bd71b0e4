"""Dimensions of the side view: lengths below it, the height at the heel to the right, what leans over it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.book.mixed_line import MixedLine
from bladegeom.book.view_frame import ViewFrame
from bladegeom.curves.build import line
from bladegeom.drawing.dimension_line import level_dimension, upright_dimension
from bladegeom.drawing.drawing import CUT_PEN, Item, Label, Path
from bladegeom.drawing.spread import spread
from bladegeom.drawing.type_sizes import KEY, LEADING, TEXT
from bladegeom.grinding.blade_size import height_at_heel
from bladegeom.grinding.grind_summary import hollow_words, lean_words
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.lettering import DEPTH, text_width, wrapped
from bladegeom.quantities.shown import caliper_length
from bladegeom.quantities.units import show_length

_PITCH: Final = 8.4
"""From one row of dimensions to the next, mm."""

_OVER: Final = 1.2
"""Between a dimension's line and the text over it, mm."""

_BEYOND: Final = 4.0
"""From the knife's tip to the dimension of its height, mm."""

_APART: Final = 4.0
"""Between two texts in a row, mm."""


def lengths(frame: ViewFrame) -> Iterator[Item]:
    """To the handle front and the blade in one row, the whole in the next."""
    outline = frame.knife.outline
    x0, _, x1, _ = outline.bounds
    places = outline.polygon.exterior.coords
    butt, tip, front = (frame.place(*at) for at in (min(places), max(places), (0.0, 0.0)))
    whole = "length of the steel" if unweighed(frame.knife) else "overall length"
    upper = -_PITCH
    yield from level_dimension(butt, front, upper)
    yield from level_dimension(front, tip, upper)
    texts = (
        (MixedLine(shown=caliper_length(-x0), before="handle front at"), (butt[0] + front[0]) / 2),
        (MixedLine(shown=caliper_length(outline.tip[0]), before="blade"), (front[0] + tip[0]) / 2),
    )
    middles = spread([(at, text.width) for text, at in texts], frame.left, frame.right, gap=_APART)
    for (text, _), at in zip(texts, middles, strict=True):
        yield from text.labels(at - text.width / 2, upper + _OVER)
    yield from level_dimension(butt, tip, 2 * upper)
    text = MixedLine(shown=caliper_length(x1 - x0), before=whole)
    yield from text.labels((butt[0] + tip[0] - text.width) / 2, 2 * upper + _OVER)


def heel_height(frame: ViewFrame, over: float) -> Iterator[Item]:
    """Edge to spine over the heel, told beyond the tip; over the view its number, and how plunge and front lean.

    Args:
        frame: Of the view.
        over: Base line over which nothing of the view stands, mm.
    """
    heel, high = frame.knife.outline.heel, height_at_heel(frame.knife)
    low, top = frame.place(*heel), frame.place(heel[0], heel[1] + high)
    x = frame.front + _BEYOND
    yield from upright_dimension(low, top, x)
    yield Path(layer="NOTE", curve=line((x, top[1]), (x, over - _OVER)), pen=CUT_PEN)
    text = MixedLine(shown=caliper_length(high), after="high at the heel")
    yield from text.labels(frame.right - text.width, over)
    told = f"drawn at {frame.scale:.2f} of its size: not to be measured"
    y = over + KEY + DEPTH * TEXT + _OVER
    yield Label(layer="NOTE", x=frame.right, y=y, text=told, height=TEXT, anchor="end")
    taken = max(text.width, text_width(told, TEXT))
    lines = wrapped(lean_line(frame.knife), TEXT, frame.right - frame.left - taken - _APART)
    for i, part in enumerate(reversed(lines)):
        yield Label(layer="NOTE", x=frame.left, y=over + i * TEXT * LEADING, text=part, height=TEXT)


def lean_line(knife: Knife) -> str:
    """Where the plunge line stands, how it leans, and how the handle front does."""
    plunge = knife.grind.plunge
    shape = f"{lean_words(plunge.lean_deg)}, {hollow_words(plunge.radius)}"
    bow = f", bowed {show_length(abs(knife.front_bow))} to the {'tip' if knife.front_bow > 0 else 'butt'}"
    front = f"{lean_words(knife.front_lean_deg)}{bow if knife.front_bow else ''}"
    return f"Foot of the plunge line {from_front(plunge.x)}; the line {shape}. Handle front {front}."

"""Dimensions of the side view: lengths below it, the height at the heel to the right, what leans over it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.mixed_line import MixedLine
from bladegeom.book.view_frame import ViewFrame
from bladegeom.curves.build import line
from bladegeom.drawing.dimension_line import level_dimension, upright_dimension
from bladegeom.drawing.drawing import CUT_PEN, Item, Label, Path
from bladegeom.drawing.spread import spread_row
from bladegeom.drawing.type_sizes import KEY, LEADING, TEXT
from bladegeom.grinding.blade_size import height_at_heel
from bladegeom.grinding.grind_summary import hollow_words, lean_words
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.quantities.balance_bands import side_of_front
from bladegeom.quantities.lettering import DEPTH, text_width, wrapped
from bladegeom.quantities.shown import caliper_length, rule_length, scribed_length

_PITCH: Final = 8.4
"""From one row of dimensions to the next, mm."""

_OVER: Final = 1.2
"""Between a dimension's line and the text over it, mm."""

_BEYOND: Final = 4.0
"""From the knife's tip to the dimension of its height, mm."""

_APART: Final = 4.0
"""Between two texts in a row, mm."""


def level_lengths(frame: ViewFrame) -> Iterator[Item]:
    """To the handle front and the blade in one row, the whole in the next."""
    outline = frame.knife.outline
    x0, _, x1, _ = outline.bounds
    places = outline.polygon.exterior.coords
    butt, tip, front = (frame.place(*at) for at in (min(places), max(places), (0.0, 0.0)))
    whole = "length of the steel" if unweighed(frame.knife) else "overall length"
    row = (
        (butt, front, -x0, ("handle front at", "front at", "")),
        (front, tip, outline.tip[0], ("blade", "")),
    )
    texts = [_told(mm, words, last[0] - first[0]) for first, last, mm, words in row]
    wanted = [((first[0] + last[0]) / 2, text.width) for (first, last, _, _), text in zip(row, texts, strict=True)]
    middles = spread_row(wanted, frame.left, frame.right, gap=_APART)
    for (first, last, _, _), text, at in zip(row, texts, middles, strict=True):
        yield from level_dimension(first, last, -_PITCH)
        yield from text.labels(at - text.width / 2, _OVER - _PITCH)
    yield from level_dimension(butt, tip, -2 * _PITCH)
    text = _told(x1 - x0, (whole, ""), tip[0] - butt[0])
    yield from text.labels((butt[0] + tip[0] - text.width) / 2, _OVER - 2 * _PITCH)


def _told(mm: float, words: Sequence[str], room: float) -> MixedLine:
    """A length with as many words before it as there is room for between its arrows, mm."""
    lines = [MixedLine(shown=rule_length(mm), before=text) for text in words]
    return next((text for text in lines if text.width + _OVER <= room), lines[-1])


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
    told = f"right face, drawn at {frame.scale:.2f} of its size: not to be measured"
    y = over + KEY + DEPTH * TEXT + _OVER
    yield Label(layer="NOTE", x=frame.right, y=y, text=told, height=TEXT, anchor="end")
    taken = max(text.width, text_width(told, TEXT))
    lines = wrapped(lean_line(frame.knife), TEXT, frame.right - frame.left - taken - _APART)
    for i, part in enumerate(reversed(lines)):
        yield Label(layer="NOTE", x=frame.left, y=over + i * TEXT * LEADING, text=part, height=TEXT)


def lean_line(knife: Knife) -> str:
    """Where the plunge line stands, how it leans, and how the handle front does where it is not upright."""
    plunge = knife.grind.plunge
    at = f"{scribed_length(abs(plunge.x))} {side_of_front(plunge.x)}"
    told = [f"Foot of the plunge line {at}, {lean_words(plunge.lean_deg)}, {hollow_words(plunge.radius)}."]
    if knife.front_lean_deg:
        told.append(f"Handle front {lean_words(knife.front_lean_deg)}.")
    if knife.front_bow:
        way = "tip" if knife.front_bow > 0 else "butt"
        told.append(f"Handle front bowed {scribed_length(abs(knife.front_bow))} to the {way}.")
    return " ".join(told)

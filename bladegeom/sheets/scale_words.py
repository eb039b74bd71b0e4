"""Text on a scale's template and beside it, each where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.drawing.drawing import SMALL_TEXT, Item, Label
from bladegeom.drawing.label_placement import first_clear, first_within, ink
from bladegeom.handle.parts import bare_holes
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import text_width, wrapped

_GAP = 1.2
"""Between a line and the text beside it, mm."""

_FREE = 0.5
"""Between text on a piece and anything else, mm."""

_NAMES_FREE = 1.5
"""Between a hole's name and other text, more than that, mm."""

_LEADING = 1.45 * SMALL_TEXT

_SIZES = (SMALL_TEXT, 0.8 * SMALL_TEXT, 0.65 * SMALL_TEXT)
"""Heights of the text on a piece, mm: the first that finds room."""

_PITCH = 1.5
"""Places where text may stand on a piece are this far apart, mm."""


def piece_lines(knife: Knife, first: str, last: str) -> tuple[str, ...]:
    """The lines on a piece; a name that takes more than two is cut, as its revision id says which knife it is."""
    room = max(text_width(first, SMALL_TEXT, bold=True), text_width(last, SMALL_TEXT))
    mark = revision_id(knife)
    lines = wrapped(f"{knife.name}, {mark}", SMALL_TEXT, room)
    if len(lines) > 2:
        lines = [f"{wrapped(knife.name, SMALL_TEXT, room - text_width(' ...', SMALL_TEXT))[0]} ...", mark]
    return (first, *lines, last)


def hand_of(side: Flank) -> float:
    """Which way x counts on a side seen from its outside."""
    return 1.0 if side == "right" else -1.0


def lettered(knife: Knife, items: Sequence[Item], side: Flank, lines: Sequence[str]) -> list[Item]:
    """A piece with the text on it and along its front, none over anything else."""
    hand = hand_of(side)
    region = shapely.transform(knife.handle_region, lambda xy: xy * (hand, 1.0))
    out = [*items, *_front_words(knife, hand)]
    taken = shapely.union_all([ink(item) for item in out])
    for name, (x, y) in _ids(knife):
        label = first_clear(_round_hole(name, hand * x, y), taken, _FREE)
        taken = shapely.union_all([taken, *(ink(line).buffer(_NAMES_FREE) for line in label)])
        out += label
    block = _on_piece(lines, region, taken)
    return [*out, *block]


def _front_words(knife: Knife, hand: float) -> Iterator[Item]:
    """Along the handle front, on the waste side of it."""
    (x0, y0), (x1, y1) = knife.handle_front.start, knife.handle_front.end
    size = math.hypot(x1 - x0, y1 - y0)
    up = hand * (x0 - x1) / size, (y0 - y1) / size
    ahead = (up[1], -up[0]) if hand > 0 else (-up[1], up[0])
    middle = hand * (x0 + x1) / 2, (y0 + y1) / 2
    turn = math.degrees(math.atan2(up[1], up[0]))
    lines = ("handle front:", "finish before gluing") if hand > 0 else ("finish before gluing", "handle front:")
    for i, text in enumerate(lines):
        # Read from below upwards, letters stand left of their base line: towards the piece on the right scale only.
        away = max(knife.front_bow, 0.0) + _GAP + i * _LEADING + (SMALL_TEXT if hand > 0 else 0.3 * SMALL_TEXT)
        place = middle[0] + away * ahead[0], middle[1] + away * ahead[1]
        yield Label(layer="NOTE", x=place[0], y=place[1], text=text, height=SMALL_TEXT, angle_deg=turn, anchor="middle")


def _ids(knife: Knife) -> list[tuple[str, Vector]]:
    """Short names of the holes that go through the scale."""
    bare = bare_holes(knife)
    named = zip(knife.openings, knife.hole_ids, strict=True)
    return [
        (name, (opening.x, opening.y))
        for opening, name in named
        if opening in knife.holes_for_fasteners or opening in bare
    ]


def _round_hole(name: str, x: float, y: float) -> Iterator[tuple[Label, ...]]:
    """Places for a hole's name, ever farther round it."""
    for away in np.arange(2.5, 15.0, 0.5).tolist():
        for turn in (45.0, 135.0, -45.0, -135.0, 0.0, 180.0, 90.0, -90.0):
            dx, dy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            yield (
                Label(
                    layer="NOTE",
                    x=x + away * dx,
                    y=y + away * dy - SMALL_TEXT / 2,
                    text=name,
                    height=SMALL_TEXT,
                    anchor="middle",
                    bold=True,
                ),
            )


def _on_piece(lines: Sequence[str], region: Polygon, taken: BaseGeometry) -> tuple[Label, ...]:
    """Lines of text within the handle, near its middle; smaller where they must be, or else above the piece."""
    x0, y0, x1, y1 = region.bounds
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    grid = np.stack(np.meshgrid(np.arange(x0, x1, _PITCH), np.arange(y0, y1, _PITCH / 2)), axis=-1).reshape(-1, 2)
    places = grid[np.argsort(np.abs(grid - middle) @ (1.0, 2.0), kind="stable")]
    for size in _SIZES:
        reach = np.concatenate([label.corners for label in _block(lines, 0.0, 0.0, size)])
        place = first_within(region, taken, places, partial(_boxes, reach.min(axis=0), reach.max(axis=0)))
        if place is not None:
            return _block(lines, *place, size)
    above = (_block(lines, float(middle[0]), y1 + up, SMALL_TEXT) for up in np.arange(8.0, 40.0, 1.0).tolist())
    return first_clear(above, taken, _FREE)


def _boxes(low: FloatArray, high: FloatArray, places: FloatArray) -> NDArray[np.object_]:
    """Room for a block that reaches so far about its place, at each of some places."""
    (x0, y0), (x1, y1) = (places + low - _FREE).T, (places + high + _FREE).T
    return np.asarray(shapely.box(x0, y0, x1, y1))


def _block(lines: Sequence[str], x: float, y: float, size: float) -> tuple[Label, ...]:
    """Lines below each other about a place; the first is bold."""
    pitch = 1.45 * size
    top = y + (len(lines) - 1) * pitch / 2 - size / 2
    return tuple(
        Label(layer="NOTE", x=x, y=top - i * pitch, text=text, height=size, anchor="middle", bold=i == 0)
        for i, text in enumerate(lines)
    )

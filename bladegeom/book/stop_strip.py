"""A strip to cut out: the height of every depth stop at true size, with the bar that proves the print beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.book.brick import Brick, height_of, placed, space, written
from bladegeom.book.drill_rows import PaperRow, names_told
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Drawing, Item, Path
from bladegeom.drawing.ruler import short_bar
from bladegeom.drawing.type_sizes import HEAD, KEY, TEXT
from bladegeom.fasteners.alike import by_name, grouped
from bladegeom.quantities.shown import depth_stop
from bladegeom.quantities.units import show_length

FIELD: Final = 26.0
"""Width of the strip at each height, mm."""

_BLACK: Final = 12.0
"""Width of what is printed black, mm."""

_PAD: Final = 0.8
"""Between a field's border and its text, mm."""

_LEAST: Final = 0.3
"""A lower height is not to be seen on paper, mm; own choice."""

_BAR: Final = 17.0
"""Room of the bar beside the strip, mm."""

_BESIDE: Final = 4.0
"""Between a strip and the words beside it, mm."""

_LEAST_WORDS: Final = 80.0
"""Width of the words beside a strip, mm, at least."""

_BARS: Final = ((3, 1), (5, 2), (10, 4))
"""Bars to choose from, as long as the deepest stop: cm and inches."""


@dataclass(frozen=True, kw_only=True)
class StopHeight:
    """One height.

    Args:
        depth: mm.
        steps: Numbers of the steps that it is for.
        holes: Names of the holes.
    """

    depth: float
    steps: tuple[int, ...]
    holes: tuple[str, ...]


def stops(rows: Sequence[PaperRow]) -> tuple[StopHeight, ...]:
    """Of all rows with a depth, the least first; what reads alike is one."""
    every = [(step.row.depth.nominal, step) for row in rows for step in row.steps if step.row.depth]
    deep = sorted((each for each in every if each[0] >= _LEAST), key=lambda each: each[0])
    groups = grouped((depth_stop(depth).text, (depth, step)) for depth, step in deep)
    return tuple(
        StopHeight(
            depth=group[0][0],
            steps=tuple(sorted(step.number for _, step in group)),
            holes=by_name({name for _, step in group for name in step.row.holes}),
        )
        for _, group in groups
    )


def strip_bricks(many: Sequence[StopHeight], allowed: float, width: float) -> Iterator[Brick]:
    """Strips with as many heights as a page is wide, each with its bar.

    Args:
        many: Heights, the least first.
        allowed: By which a depth may stray, mm.
        width: Of the page between its borders, mm.
    """
    each = int((width - _BAR) / FIELD)
    for start in range(0, len(many), each):
        yield _strip_brick(many[start : start + each], "" if start else _told(many, allowed), width)


def _strip_brick(many: Sequence[StopHeight], told: str, width: float) -> Brick:
    """One strip, its bar at the left; its words beside it where they have room, else over it."""
    strip = Drawing(name="", items=tuple(_strip(many)))
    _, _, right, top = strip.bounds
    bar, room = short_bar(*_bar(many), TEXT), width - _BAR - right - _BESIDE
    beside = room >= _LEAST_WORDS
    title = written(
        "Stop heights at true size, with holes and (steps)", room if beside else width, size=HEAD, bold=True
    )
    words = (*title, *written(told, room if beside else width - _BAR), space(1.0)) if told else ()
    tall = max(bar.bounds[3], height_of(words) if beside else 0.0, top + (0.0 if beside else height_of(words)))
    items = (
        *placed(words, _BAR + (right + _BESIDE if beside else 0.0), 0.0),
        *bar.moved(-bar.bounds[0], -tall).items,
        *strip.moved(_BAR, -tall).items,
    )
    return Brick(items=items, height=tall - bar.bounds[1])


def _bar(many: Sequence[StopHeight]) -> tuple[int, int]:
    """As long as the deepest stop, or the longest: cm and inches."""
    deepest = max(stop.depth for stop in many)
    return next((bar for bar in _BARS if 10 * bar[0] >= deepest), _BARS[-1])


def _told(many: Sequence[StopHeight], allowed: float) -> str:
    """How to prove the print, to cut and to use the strip."""
    tens, inches = _bar(many)
    limits = f"{9.9 * tens:g} to {10.1 * tens:g} mm, {0.99 * inches:.2f} to {1.01 * inches:.2f} in"
    return (
        f"Print at 100 %: the bars must measure {limits}. Cut along the lower edge of the black, hold it to the quill: "
        f"the upper edge is the stop. Paper only catches a slip: measure the first hole, within {show_length(allowed)}."
    )


def _strip(many: Sequence[StopHeight]) -> Iterator[Item]:
    """Fields beside each other, the lower edge of the black at y = 0."""
    fields = [tuple(_field_text(stop)) for stop in many]
    text = max(map(height_of, fields))
    top = max(stop.depth for stop in many) + text + 2 * _PAD
    ends = [0.0]
    for i, (stop, bricks) in enumerate(zip(many, fields, strict=True)):
        x = i * FIELD
        black = x + (FIELD - _BLACK) / 2
        yield _black(black, stop.depth)
        ends += [black, black + _BLACK]
        yield from placed(bricks, x + _PAD, stop.depth + _PAD + height_of(bricks))
        yield Path(layer="NOTE", curve=line((x, 0.0), (x, top)), pen=THIN_PEN)
    right = len(many) * FIELD
    yield Path(layer="NOTE", curve=line((0.0, top), (right, top), (right, 0.0)), pen=THIN_PEN)
    ends.append(right)
    for a, b in zip(ends[::2], ends[1::2], strict=True):
        yield Path(layer="NOTE", curve=line((a, 0.0), (b, 0.0)), pen=THIN_PEN)


def _black(x: float, height: float) -> Path:
    """As high as the stop with the line round it, half of which lies outside the corners."""
    half = THIN_PEN.width / 2
    x0, x1, y0, y1 = x + half, x + _BLACK - half, half, height - half
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    return Path(layer="NOTE", curve=line(*corners), closed=True, filled=True, pen=THIN_PEN)


def _field_text(stop: StopHeight) -> Iterator[Brick]:
    shown, room = depth_stop(stop.depth), FIELD - 2 * _PAD
    steps = ", ".join(f"{number}" for number in stop.steps)
    yield from written(shown.first, room, size=KEY, bold=True)
    yield from written(shown.second, room)
    yield from written(f"{names_told(stop.holes)} ({steps})", room, bold=True)

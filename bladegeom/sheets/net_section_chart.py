"""How much of the tang's height the holes leave: a chart under the tang at 1:1, and a mark of the weakest place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from bladegeom.bending.cantilever import Deflection
from bladegeom.bending.deflection import LOAD_AHEAD, lightening_deflection
from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.drawing.drawing import (
    CENTRE_PEN,
    CUT_PEN,
    LEADER_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Anchor,
    Drawing,
    Item,
    Label,
    Path,
    Pen,
)
from bladegeom.drawing.label_placement import first_clear, ink
from bladegeom.holes.net_section import NO_PROMISE, NetSection, chords, net_section
from bladegeom.knife.knife import Knife
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import show_length, show_mm

_NET_PEN = Pen(width=0.35)
_OVER = 2.0
"""By how much the mark passes the steel above and below, mm."""

_GAP = 8.0
"""From the tang down to the chart, mm."""

_TICK, _EVERY = 1.0, 10
"""Length of a tick, and from tick to tick, mm."""

_FREE, _NEAR = 0.4, 0.8
"""From the mark's text to anything else, and to its own line, mm."""

_ASIDE = (0.0, 3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 26.0, 32.0)
"""So far beside its line the mark's text is tried, mm."""

_SIDES: tuple[tuple[float, Anchor], ...] = ((-1.0, "end"), (1.0, "start"))
"""Behind the line and ahead of it."""

_LEADING = 1.5 * SMALL_TEXT

_STRAIGHT = 1e-3
"""Points that a straight line passes nearer than this are left out, mm."""


def net_section_mark(knife: Knife, drawn: Sequence[Item] = ()) -> tuple[Item, ...]:
    """The weakest station of the drilled tang, for the blade template; nothing where no hole cuts the tang.

    An upright centre line through the steel, with what is left there of the weakest undrilled section ahead.

    Args:
        knife: The design.
        drawn: What the text keeps clear of, design frame.
    """
    section = net_section(knife)
    i = section.weakest
    if i is None:
        return ()
    x, text = float(section.x[i]), _weakest_words(section, i)
    taken = shapely.union_all([ink(item) for item in drawn])
    (label,) = first_clear(_beside(knife, x, text), taken, _FREE)
    _, lower = _borders(knife, x, x)
    middle = label.y + SMALL_TEXT / 2
    near = label.x - _NEAR if label.anchor == "start" else label.x + _NEAR
    leader = (
        () if abs(near - x) < _NEAR else (Path(layer="NOTE", curve=line((x, middle), (near, middle)), pen=LEADER_PEN),)
    )
    return (*_through(section, i, middle, lower - _OVER), *leader, label)


def _weakest_words(section: NetSection, i: int) -> str:
    return f"weakest here: {_least(section, i)} left"


def _beside(knife: Knife, x: float, text: str) -> Iterator[tuple[Label, ...]]:
    """Places for a text close above the steel, nearest to an upright line first, behind it before ahead."""
    width = text_width(text, SMALL_TEXT)
    for gap in _ASIDE:
        for side, anchor in _SIDES:
            near = x + side * (gap + _NEAR)
            upper, _ = _borders(knife, *sorted((x, near + side * width)))
            y = upper + 1.0
            yield (Label(layer="NOTE", x=near, y=y, text=text, height=SMALL_TEXT, anchor=anchor),)


def _through(section: NetSection, i: int, top: float, bottom: float) -> Iterator[Item]:
    """An upright centre line at a station, left out where it would cross a hole and the hole's name."""
    x, openings = float(section.x[i]), section.knife.openings
    down, up = (ends[0] for ends in chords(section.x[i : i + 1], openings))
    gaps = sorted((a, b) for a, b in zip(down.tolist(), up.tolist(), strict=True) if b > a)
    y = bottom
    for a, b in [*gaps, (top, top)]:
        if a - y > JOINED:
            yield Path(layer="NOTE", curve=line((x, y), (x, a)), pen=CENTRE_PEN)
        y = max(y, b)


def net_section_chart(knife: Knife) -> Drawing:
    """The tang at 1:1 with its holes, and under it the height of steel, full and left, at 1:1 along both axes.

    Design frame; below the chart stand what its lines mean and how much farther the tang bends than without its
    lightening holes.
    """
    section = net_section(knife)
    low, high = float(section.x[-1]), float(section.x[0])
    floor = knife.handle_loop.pieces[..., 1].min() - _GAP - float(section.full.height.max())
    items = [*_tang(knife), *_axes(section, floor), *_curves(section, floor), *_weakest(section, floor)]
    width = max(high - low, text_width(NO_PROMISE, SMALL_TEXT) / 2)
    y = floor - 3.5 * SMALL_TEXT
    for words in _words(section):
        for part in wrapped(words, SMALL_TEXT, width):
            items.append(Label(layer="NOTE", x=low, y=y, text=part, height=SMALL_TEXT))
            y -= _LEADING
    return Drawing(name=f"{knife.name}, {knife.stock.metal_word} beside the holes", items=tuple(items))


def _tang(knife: Knife) -> Iterator[Item]:
    yield Path(layer="NOTE", curve=knife.handle_loop, closed=True, pen=CUT_PEN)
    for hole, name in zip(knife.openings, knife.hole_ids, strict=True):
        yield Path(layer="NOTE", curve=hole.outline, closed=True, pen=CUT_PEN)
        size = min(SMALL_TEXT, hole.diameter / (1.6 * len(name)))
        yield Label(layer="NOTE", x=hole.x, y=hole.y - size / 2, text=name, height=size, anchor="middle")


def _axes(section: NetSection, floor: float) -> Iterator[Item]:
    """Ticks every 10 mm of x and of height, texts below and beside."""
    front, butt, top = float(section.x[0]), float(section.x[-1]), float(section.full.height.max())
    yield Path(layer="NOTE", curve=line((butt, floor), (front, floor)), pen=THIN_PEN)
    for x in range(_EVERY * int(np.ceil(butt / _EVERY)), int(np.floor(front)) + 1, _EVERY):
        yield Path(layer="NOTE", curve=line((x, floor), (x, floor - _TICK)), pen=THIN_PEN)
        low = floor - _TICK - 1.3 * SMALL_TEXT
        yield Label(layer="NOTE", x=x, y=low, text=str(x), height=SMALL_TEXT, anchor="middle")
    side = front + 2.0
    yield Path(layer="NOTE", curve=line((side, floor), (side, floor + top)), pen=THIN_PEN)
    for up in range(0, int(top) + 1, _EVERY):
        yield Path(layer="NOTE", curve=line((side, floor + up), (side + _TICK, floor + up)), pen=THIN_PEN)
        yield Label(layer="NOTE", x=side + _TICK + 0.6, y=floor + up - SMALL_TEXT / 2, text=str(up), height=SMALL_TEXT)


def _curves(section: NetSection, floor: float) -> Iterator[Item]:
    full, limit = section.full.height, section.knife.rules.net_width * section.full.height
    for height, pen in ((full, THIN_PEN), (limit, SCRIBE_PEN), (section.net.height, _NET_PEN)):
        yield Path(layer="NOTE", curve=_curve(section.x, floor + height), pen=pen)


def _weakest(section: NetSection, floor: float) -> Iterator[Item]:
    """The weakest station through tang and chart, what is left there beside the line."""
    i = section.weakest
    if i is None:
        return
    x = float(section.x[i])
    upper, _ = _borders(section.knife, x, x)
    yield from _through(section, i, upper + _OVER, floor)
    yield Label(
        layer="NOTE",
        x=x,
        y=upper + _OVER + 0.8,
        text=_weakest_words(section, i),
        height=SMALL_TEXT,
        anchor="middle",
    )


def _words(section: NetSection) -> Iterator[str]:
    """What the chart shows, and the numbers of its weakest station."""
    knife, i = section.knife, section.weakest
    yield (
        f"Height of {knife.stock.metal_word} in mm on upright lines at x, 1:1: thin the tang without holes, bold with "
        f"them, dashed the least allowed, {_percent(knife.rules.net_width)} of it ({knife.rules.source('net_width')})."
    )
    if i is not None:
        yield (
            f"Weakest at x {show_mm(section.x[i])} mm: {show_length(float(section.net.height[i]))} of "
            f"{show_length(float(section.full.height[i]))} left. Of the weakest undrilled section between there and "
            f"the handle front: sideways {_percent(section.sideways_against_ahead[i])}, edgewise "
            f"{_percent(section.edgewise_against_ahead[i])}."
        )
    if i is not None and any(opening.purpose == "lightening" for opening in knife.openings):
        yield _bending(lightening_deflection(knife))
    yield NO_PROMISE


def _bending(ratio: Deflection) -> str:
    where = f"Clamped at the handle front and loaded {LOAD_AHEAD:g} mm ahead of the butt, the bare tang"
    if not math.isfinite(ratio.sideways):
        return f"{where} does not hold together: the lightening holes cut it through."
    return (
        f"{where} bends about {ratio.sideways:.2f} times as far sideways and {ratio.edgewise:.2f} times as far "
        "edgewise as without its lightening holes (finite elements)."
    )


def _least(section: NetSection, i: int) -> str:
    return _percent(min(section.sideways_against_ahead[i], section.edgewise_against_ahead[i]))


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _borders(knife: Knife, low: float, high: float) -> tuple[float, float]:
    """Highest and lowest steel between two x, mm."""
    upper, lower = knife.outline.tang_height(np.linspace(low, high, 33))
    return float(np.nanmax(upper)), float(np.nanmin(lower))


def _curve(x: FloatArray, y: FloatArray) -> Curve:
    """A line through places, without those that it passes anyway."""
    kept = shapely.get_coordinates(shapely.simplify(shapely.LineString(np.stack([x, y], axis=1)), _STRAIGHT))
    return line(*_vectors(kept))


def _vectors(rows: FloatArray) -> Sequence[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in rows]

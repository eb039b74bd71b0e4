"""A cut file as a picture: to scale where it fits, with its narrowest places and its faults marked."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.cutfile.preflight import Preflight
from bladegeom.drawing.drawing import (
    CUT_PEN,
    SCRIBE_PEN,
    THIN_PEN,
    Circle,
    Drawing,
    Item,
    Label,
    Path,
    Pen,
)
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.importers.cut_plan import Chain

SCALES = (1.0, 2 / 3, 0.5, 0.4, 0.2, 0.1, 0.05, 0.02, 0.01, 0.001)
"""Of pictures: 1:1, 1:1.5, 1:2, 1:2.5, 1:5 ..."""

_CHORD = 0.02
"""How true the picture is on paper, mm."""

_MOST = 3000
"""Lines that are drawn; own choice: more is a black page."""

_CALLOUT = 5.0
"""From the part to the base line of the words over it, mm."""

_GAP = 4.0
"""Between two callouts, mm."""

_LEAST_ROOM = 80.0
"""That all callouts take side by side, mm."""

_CLOSE = 6.0
"""Crosses nearer to each other would hide each other's numbers, mm."""

_CROSS = 1.6
"""Half of the cross at a fault, mm."""


def part_picture(preflight: Preflight, width: float, height: float) -> tuple[Drawing, float]:
    """The file's lines, marks dashed, narrow places named above, the places of errors crossed and numbered.

    Args:
        preflight: The file as checked.
        width: Room on paper, mm.
        height: The same upwards.

    Returns:
        The drawing, lower left corner of the part at the origin, and its scale.
    """
    x0, y0, x1, y1 = (float(v) for v in preflight.plan.bounds)
    fitting = (s for s in SCALES if s * (x1 - x0) <= width and s * (y1 - y0) <= height)
    scale = next(fitting, SCALES[-1])
    items: list[Item] = []
    for chains, pen in ((preflight.plan.chains, CUT_PEN), (preflight.plan.marks, SCRIBE_PEN)):
        for chain in chains[:_MOST]:
            items += _drawn(chain, scale, (x0, y0), pen)
    items += _callouts(preflight, scale, (x0, y0), scale * (x1 - x0), scale * (y1 - y0))
    items += _crosses(preflight, scale, (x0, y0))
    return Drawing(name=preflight.plan.name, items=tuple(items)), scale


def _drawn(chain: Chain, scale: float, origin: Vector, pen: Pen) -> Iterator[Item]:
    segments = chain.segments.moved(-origin[0], -origin[1]).scaled(scale)
    if chain.kind == "circle":
        x, y = segments.centre[0]
        yield Circle(layer="NOTE", x=float(x), y=float(y), radius=float(segments.radius[0]), pen=pen)
        return
    xy, _ = segments.flattened(_CHORD)
    xy = np.concatenate([xy, segments.end[-1:]])
    step = np.diff(xy, axis=0)
    real = np.hypot(*step.T) > 1e-9
    if real.any():
        start, step = xy[:-1][real], step[real]
        pieces = np.stack([start, start + step / 3, start + 2 * step / 3, start + step], axis=1)
        yield Path(layer="NOTE", curve=_linked(pieces), closed=chain.closed, pen=pen)


def _linked(pieces: FloatArray) -> Curve:
    """Pieces whose ends meet to the last digit."""
    pieces[1:, 0] = pieces[:-1, 3]
    return Curve(pieces)


def _callouts(preflight: Preflight, scale: float, origin: Vector, width: float, top: float) -> Iterator[Item]:
    """Words above the part, each with a line to its place; in order of x, so that no two lines cross."""
    named = (
        ("smallest hole", preflight.smallest_hole),
        ("web", preflight.narrowest_web),
        ("neck", preflight.narrowest_neck),
        ("inside radius", preflight.smallest_radius),
    )
    notes = sorted(
        (scale * (spot.x - origin[0]), scale * (spot.y - origin[1]), name)
        for name, spot in named
        if spot is not None and spot.size >= 0
    )
    labels = [Label(layer="NOTE", x=0.0, y=top + _CALLOUT, text=text, height=TEXT) for _, _, text in notes]
    lefts: list[float] = []
    for (x, _, _), label in zip(notes, labels, strict=True):
        lefts.append(max(x - label.width / 2, lefts[-1] + labels[len(lefts) - 1].width + _GAP if lefts else 0.0))
    limit = max(width, _LEAST_ROOM)
    for k in range(len(lefts) - 1, -1, -1):
        lefts[k] = min(lefts[k], limit - labels[k].width)
        limit = lefts[k] - _GAP
    for (x, y, text), left, label in zip(notes, lefts, labels, strict=True):
        foot = min(max(x, left + 1.0), left + label.width - 1.0)
        yield Label(layer="NOTE", x=left, y=top + _CALLOUT, text=text, height=TEXT)
        yield Path(layer="NOTE", curve=line((foot, top + _CALLOUT - 0.7), (x, y)), pen=THIN_PEN)
        yield Circle(layer="NOTE", x=x, y=y, radius=0.5, pen=THIN_PEN)


def _crosses(preflight: Preflight, scale: float, origin: Vector) -> Iterator[Item]:
    """A cross at each error that has a place, with its number in the list of findings; of those close by, one."""
    marked: list[Vector] = []
    for number, finding in enumerate(preflight.findings, start=1):
        if finding.severity == "error" and finding.x is not None and finding.y is not None:
            x, y = scale * (finding.x - origin[0]), scale * (finding.y - origin[1])
            if any(math.dist((x, y), other) < _CLOSE for other in marked):
                continue
            marked.append((x, y))
            for sign in (1.0, -1.0):
                start, end = (x - _CROSS, y - sign * _CROSS), (x + _CROSS, y + sign * _CROSS)
                yield Path(layer="NOTE", curve=line(start, end), pen=CUT_PEN)
            yield Label(layer="NOTE", x=x + _CROSS + 0.4, y=y - 1.1, text=str(number), height=TEXT, bold=True)


def columns(left: Sequence[Item], right: Sequence[Item], apart: float) -> tuple[Item, ...]:
    """Two blocks whose upper left corners are the origin, side by side."""
    return (*left, *Drawing(name="", items=tuple(right)).moved(apart, 0.0).items)

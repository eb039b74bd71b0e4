"""A comb of curvature over the outline: teeth that stand off the line by how much it bends, for judging fairness."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curvature import course
from bladegeom.curves.curve import Curve, FloatArray, directions, join, points
from bladegeom.curves.inflection import bends
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, THIN_PEN, Circle, Item, Label, Path
from bladegeom.outline.outline import Outline
from bladegeom.quantities.declared import checked
from bladegeom.quantities.tolerances import SMOOTH_DEG

_TALLEST = 20.0
"""The highest tooth, mm."""

_EVERY = 2.0
"""From tooth to tooth along the line, mm."""

_SHARE = 0.7
"""The tooth at this share of the ranks is half as high as the highest: one tight bend does not hide the rest."""


def curvature_comb(outline: Outline) -> tuple[Item, ...]:
    """Items for a drawing of an outline, design frame: teeth and their border along edge, spine and handle.

    Teeth stand on the outside where the line bulges and on the inside where it is hollow; a fair line has a border
    without bumps. Small circles mark where a line changes from one to the other. Butt and choil, which bend far more
    than the rest, are left out. A line of text tells the scale.

    Raises:
        ParameterError: It is no outline.

    >>> len(curvature_comb(knife.outline)) > 100
    True
    """
    checked("curvature comb: outline", outline, Outline)
    lines = [outline.edge, join(outline.spine, outline.handle_top), outline.handle_underside]
    courses = [course(c) for c in lines]
    sizes = np.concatenate([np.abs(c.bend) for c in courses])
    typical = float(np.quantile(sizes, _SHARE))
    if typical <= 0:
        return ()
    scale = _TALLEST / 2 / typical
    items: list[Item] = []
    for curve, (t, xy, along, bend) in zip(lines, courses, strict=True):
        way = directions(curve, t)
        # The outline runs counter-clockwise: outside lies to the right of the way.
        out = np.stack([way[:, 1], -way[:, 0]], axis=1)
        heads = xy + out * np.clip(bend * scale, -_TALLEST, _TALLEST)[:, None]
        items += _teeth(xy, heads, along)
        items += _border(heads)
        items += _inflections(curve)
    x0, _, _, y1 = outline.bounds
    text = f"curvature comb: a tooth of 10 mm is a radius of {scale / 10:.0f} mm"
    items.append(Label(layer="NOTE", x=x0, y=y1 + _TALLEST / 2 + 4, text=text, height=SMALL_TEXT))
    return tuple(items)


def _teeth(xy: FloatArray, heads: FloatArray, along: FloatArray) -> Iterator[Item]:
    last = -np.inf
    for foot, head, s in zip(xy, heads, along, strict=True):
        if s - last < _EVERY:
            continue
        last = s
        if np.hypot(*(head - foot)) > 0.05:
            yield Path(layer="NOTE", curve=line(_vector(foot), _vector(head)), pen=LEADER_PEN)


def _border(heads: FloatArray) -> Iterator[Item]:
    kept = heads[np.concatenate([[True], np.hypot(*np.diff(heads, axis=0).T) > 1e-3])]
    if len(kept) > 1:
        yield Path(layer="NOTE", curve=line(*map(_vector, kept)), pen=THIN_PEN)


def _inflections(curve: Curve) -> Iterator[Item]:
    for bend in bends(curve, SMOOTH_DEG)[1:]:
        (x, y) = points(curve, bend.start)[0]
        yield Circle(layer="NOTE", x=float(x), y=float(y), radius=0.8, pen=THIN_PEN)


def _vector(p: FloatArray) -> tuple[float, float]:
    return float(p[0]), float(p[1])

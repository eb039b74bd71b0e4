"""Where tabs hold the steel in its sheet: on straight stretches of spine and tang, far from each other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from bladegeom.body.cutting import Tabs
from bladegeom.body.knife import Knife
from bladegeom.curves.curve import Curve, FloatArray, Vector, curvature, points
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import length
from bladegeom.curves.meet import nearest
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_length

OFF_EDGE = 5.0
"""A tab stays so far from the edge and the plunge line, mm; own choice."""

OFF_HOLES = 4.0
"""And so far from the rims of holes, mm; own choice."""

OFF_TIP = 0.2
"""And this part of the blade's length from the tip, at least 10 mm; own choice."""

APART = 10.0
"""Tabs stand at least so far from each other, mm; own choice."""

_BESIDE = 2.0
"""So much on either side of a tab belongs to the straight stretch, mm."""

_STRAIGHT = (300.0, 60.0)
"""Radii that count as straight, mm, tried in turn; on 60 mm the line bulges 0.05 mm over 5 mm. Own choice."""

_STEP = 1.0
"""Places are tried so far apart, mm."""

_NAMED_OFF = 2.0
"""A place that the maker names may lie so far beside the outline, mm."""


def tab_places(knife: Knife) -> tuple[Vector, ...]:
    """Middles of all tabs on the nominal outline, mm; none where none are wanted.

    Raises:
        PlacingError: There is no room for so many.
        ParameterError: A place that the maker names does not lie on the outline.
    """
    tabs = knife.cutting.tabs
    if tabs is None:
        return ()
    return _named(knife, tabs) if tabs.at else _placed(knife, tabs)


def _named(knife: Knife, tabs: Tabs) -> tuple[Vector, ...]:
    found = nearest(knife.outline.loop, np.array(tabs.at))
    for (x, y), far in zip(tabs.at, found.distance.tolist(), strict=True):
        if far > _NAMED_OFF:
            raise ParameterError(
                "tabs: at", f"({x:g}, {y:g})", f"lie on the outline; it is {show_length(far)} away from it"
            )
    rows = found.xy
    apart = np.hypot(*(rows[:, None] - rows[None, :]).T)
    np.fill_diagonal(apart, np.inf)
    if apart.min(initial=np.inf) < 2 * tabs.width:
        raise ParameterError("tabs: at", tabs.at, f"lie at least {show_length(2 * tabs.width)} from each other")
    return tuple((float(x), float(y)) for x, y in rows)


def _placed(knife: Knife, tabs: Tabs) -> tuple[Vector, ...]:
    chosen: list[int] = []
    for radius in _STRAIGHT:
        xy = _candidates(knife, tabs, radius)
        chosen = _spread(xy, tabs.count)
        if len(chosen) == tabs.count:
            return tuple((float(x), float(y)) for x, y in xy[chosen])
    raise PlacingError(
        f"tabs: spine and tang have room for {len(chosen)}, not for {tabs.count}; ask for fewer, or name the places: "
        "tabs=Tabs(at=((x, y), ...))"
    )


def _candidates(knife: Knife, tabs: Tabs, radius: float) -> FloatArray:
    """Places that all rules allow, shape (n, 2)."""
    outline, keep = knife.outline, tabs.width / 2 + _BESIDE
    rows = [_straight(one, keep, radius) for one in (outline.spine, outline.handle_top, outline.handle_underside)]
    xy = np.concatenate(rows)
    spots = shapely.points(xy)
    blade = outline.tip[0]
    off_tip = np.hypot(*(xy - np.array(outline.tip)).T) >= max(10.0, OFF_TIP * blade)
    keeps_off = [
        shapely.LineString(flatten(outline.edge, CHORD)),
        shapely.LineString(flatten(knife.plunge_line, CHORD)),
    ]
    free = off_tip & np.all([shapely.distance(spots, one) >= OFF_EDGE for one in keeps_off], axis=0)
    for hole in knife.openings:
        free &= shapely.distance(spots, shapely.LineString(hole.axis)) >= hole.diameter / 2 + OFF_HOLES
    return np.asarray(xy[free])


def _straight(curve: Curve, keep: float, radius: float) -> FloatArray:
    """Places of a curve with a straight stretch on either side, shape (n, 2)."""
    count = max(2, int(np.ceil(length(curve) / _STEP)))
    t = np.linspace(0.0, len(curve), 8 * count + 1)
    xy = points(curve, t)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    bent = along[np.abs(curvature(curve, t)) > 1 / radius]
    at = np.arange(keep, along[-1] - keep, _STEP)
    far = np.abs(at[:, None] - bent).min(axis=1, initial=np.inf)
    return points(curve, np.interp(at[far >= keep], along, t)) if len(at) else np.empty((0, 2))


def _spread(xy: FloatArray, count: int) -> list[int]:
    """Places as far from each other as can be: the two farthest, then always the one farthest from all chosen."""
    if not len(xy):
        return []
    middle = xy.mean(axis=0)
    if count == 1:
        return [int(np.hypot(*(xy - middle).T).argmin())]
    apart = np.hypot(*(xy[:, None] - xy[None, :]).T)
    chosen: Sequence[int] = [int(i) for i in np.unravel_index(int(apart.argmax()), apart.shape)]
    out = list(chosen) if apart[chosen[0], chosen[1]] >= APART else [chosen[0]]
    while 1 < len(out) < count:
        far = apart[out].min(axis=0)
        if far.max() < APART:
            break
        out.append(int(far.argmax()))
    return out

"""Where tabs hold the steel in its sheet: on straight stretches of spine and tang, spread along its length."""

from __future__ import annotations

import math

import numpy as np
import shapely

from bladegeom.curves.curve import Curve, FloatArray, Vector, curvature, points
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import curve_length
from bladegeom.curves.meet import nearest
from bladegeom.knife.cutting import Tabs
from bladegeom.knife.knife import Knife
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
"""Tabs stand at least so far from each other along the knife, mm; own choice."""

SPREAD = 0.75
"""A straighter stretch is taken only where it spreads the tabs at least so well as gentler ones do; own choice."""

NEAR_TIP = 5.0
"""A tab that the maker puts nearer to the tip is told, mm; own choice: breaking it out bends the tip."""

_BESIDE = 2.0
"""So much on either side of a tab belongs to the straight stretch, mm."""

_STRAIGHT = (300.0, 60.0)
"""Radii that count as straight, mm, tried in turn; on 60 mm the line bulges 0.05 mm over 5 mm. Own choice."""

_STEP = 1.0
"""Places are tried so far apart, mm."""

_EVEN = 0.5
"""The widest spread is looked for this closely, mm."""

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
            raise ParameterError("tabs: at", f"({x:g}, {y:g})", f"lie on the outline, which is {show_length(far)} away")
    rows = found.xy
    apart = np.hypot(*(rows[:, None] - rows[None, :]).T)
    np.fill_diagonal(apart, np.inf)
    if apart.min(initial=np.inf) < 2 * tabs.width:
        raise ParameterError("tabs: at", tabs.at, f"hold places at least {show_length(2 * tabs.width)} from each other")
    return tuple((float(x), float(y)) for x, y in rows)


def _placed(knife: Knife, tabs: Tabs) -> tuple[Vector, ...]:
    """The straightest stretches on which the tabs spread nearly as widely as on all that will do."""
    tiers = [_candidates(knife, tabs, radius) for radius in _STRAIGHT]
    middle = knife.outline.polygon.centroid.x
    spreads = [_spread(xy, tabs.count, middle) for xy in tiers]
    full = [spread for spread in spreads if len(spread) == tabs.count]
    if not full:
        raise PlacingError(
            f"tabs: spine and tang have room for {len(spreads[-1])}, not for {tabs.count}; ask for fewer, or name the "
            "places: tabs=Tabs(at=((x, y), ...))",
            value=tabs.count,
            limit=len(spreads[-1]),
        )
    widest = max(_least_step(spread) for spread in full)
    chosen = next(spread for spread in full if _least_step(spread) >= SPREAD * widest)
    return tuple((float(x), float(y)) for x, y in chosen)


def _candidates(knife: Knife, tabs: Tabs, radius: float) -> FloatArray:
    """Places that all rules allow, shape (n, 2)."""
    outline, keep = knife.outline, tabs.width / 2 + _BESIDE
    rows = [_straight(curve, keep, radius) for curve in (outline.spine, outline.handle_top, outline.handle_underside)]
    xy = np.concatenate(rows)
    points = shapely.points(xy)
    blade = outline.tip[0]
    off_tip = np.hypot(*(xy - np.array(outline.tip)).T) >= max(10.0, OFF_TIP * blade)
    keeps_off = [
        shapely.LineString(flatten(outline.edge, CHORD)),
        shapely.LineString(flatten(knife.plunge_line, CHORD)),
    ]
    free = off_tip & np.all([shapely.distance(points, line) >= OFF_EDGE for line in keeps_off], axis=0)
    for hole in knife.openings:
        free &= shapely.distance(points, shapely.LineString(hole.axis)) >= hole.diameter / 2 + OFF_HOLES
    return np.asarray(xy[free])


def _straight(curve: Curve, keep: float, radius: float) -> FloatArray:
    """Places of a curve with a straight stretch on either side, shape (n, 2)."""
    count = max(2, int(np.ceil(curve_length(curve) / _STEP)))
    t = np.linspace(0.0, len(curve), 8 * count + 1)
    xy = points(curve, t)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    bent = along[np.abs(curvature(curve, t)) > 1 / radius]
    at = np.arange(keep, along[-1] - keep, _STEP)
    far = np.abs(at[:, None] - bent).min(axis=1, initial=np.inf)
    return points(curve, np.interp(at[far >= keep], along, t)) if len(at) else np.empty((0, 2))


def _spread(xy: FloatArray, count: int, middle: float) -> FloatArray:
    """Places spread along the knife so that the least step from one to the next is greatest, shape (k, 2).

    One alone stands nearest to the middle of the steel. Fewer than asked for where they would stand closer than APART.
    """
    xy = xy[np.argsort(xy[:, 0], kind="stable")]
    if count == 1 or not len(xy):
        return xy[np.abs(xy[:, 0] - middle).argsort(kind="stable")[:1]]
    near, far = APART, float(np.ptp(xy[:, 0])) / (count - 1)
    chosen = _steps(xy, near, count)
    while far - near > _EVEN and len(chosen) == count:
        step = (near + far) / 2
        wider = _steps(xy, step, count)
        if len(wider) == count:
            near, chosen = step, wider
        else:
            far = step
    return chosen


def _steps(xy: FloatArray, step: float, count: int) -> FloatArray:
    """The first place, then always the next that is a step on, shape (k, 2) with k at most ``count``."""
    out = [0]
    while len(out) < count:
        on = int(np.searchsorted(xy[:, 0], xy[out[-1], 0] + step - 1e-9))
        if on >= len(xy):
            break
        out.append(on)
    return xy[out]


def _least_step(xy: FloatArray) -> float:
    """From one place to the next along the knife, mm."""
    return float(np.diff(xy[:, 0]).min(initial=np.inf))


def doubtful_places(knife: Knife) -> tuple[tuple[Vector, str], ...]:
    """Places that the maker names and that a cutter or a grinder would not choose, each with the reason.

    Raises:
        ParameterError: A place does not lie on the outline.
    """
    tabs = knife.cutting.tabs
    if tabs is None or not tabs.at:
        return ()
    places = _named(knife, tabs)
    return tuple((place, why) for place in places if (why := _doubt(knife, tabs, place)))


def _doubt(knife: Knife, tabs: Tabs, place: Vector) -> str:
    """Why a place is a bad one for a tab, empty where it is not."""
    spot = shapely.Point(place)
    if math.dist(place, knife.outline.tip) <= NEAR_TIP:
        return f"within {show_length(NEAR_TIP)} of the tip, which bends when the tab is broken out"
    if spot.distance(shapely.LineString(flatten(knife.outline.edge, CHORD))) <= tabs.width:
        return "on the edge, where its stub has to be ground out of the bevel"
    for name, hole in zip(knife.hole_ids, knife.openings, strict=True):
        if spot.distance(shapely.LineString(hole.axis)) < hole.diameter / 2 + OFF_HOLES:
            return f"beside {name}, where the steel that carries it is thin"
    loop = knife.outline.loop
    here = float(nearest(loop, np.array([place])).t[0])
    reach = (tabs.width / 2 + _BESIDE) / curve_length(loop) * len(loop)
    bend = float(np.abs(curvature(loop, np.linspace(here - reach, here + reach, 33) % len(loop))).max())
    if bend > 1 / _STRAIGHT[-1]:
        return f"in an arc of radius {show_length(1 / bend)}, where its stub is hard to file away"
    return ""

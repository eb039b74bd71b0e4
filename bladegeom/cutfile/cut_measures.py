"""What is narrowest in a cut file: holes, steel between holes, necks, inside radii."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.segment_pairs import near_pairs
from bladegeom.curves.segments import Ints, Segments
from bladegeom.cutfile.cut_loops import MOST_PAIRS, Loop
from bladegeom.cutfile.cut_nest import NestedLoops

WEBS = 6.5
"""Steel between holes is told for each hole where it is narrower than this, mm; own choice: 1/4 in and a little."""

NECKS = 3.0
"""Necks and gaps wider than this are not looked for, mm; own choice: the usual least web."""

_FINE = 0.001
"""Loops stand for webs as chords within this distance, mm."""

_COARSE = 0.005
"""And for necks."""

_CROWDED = 5_000
"""Points of a loop beyond which those that stand within that distance of a chord are left out; own choice."""

_FITTED = 0.02
"""The largest circle in a hole is told this much too small at most, mm; a slot takes long to fit closer."""

_FACING = 0.02
"""Sides that close in on each other by less than this for each mm of way are a neck and no point; own choice."""

_ALONG = 1.3
"""The way round from one side of a neck to the other is longer than the neck is wide by at least this factor: round a
half circle it is 1.57, round the square end of a strip 1."""

_APART = 4.0
"""Narrow places of one loop that lie no farther apart are told as one, mm; own choice."""


@dataclass(frozen=True, kw_only=True)
class Narrow:
    """Something narrow.

    Args:
        size: mm.
        x: Its middle, mm.
        y: Its middle, mm.
        what: "web", "rim", "neck", "gap", "hole", "radius" or "corner".
        turn_deg: Of a corner.
    """

    size: float
    x: float
    y: float
    what: str
    turn_deg: float = 0.0

    @property
    def place(self) -> Vector:
        """Its middle, mm."""
        return self.x, self.y


def hole_widths(loops: Sequence[Loop]) -> tuple[Narrow, ...]:
    """Diameter of the largest circle that fits each hole: of a round one its diameter, of a slot its width."""
    out = []
    for loop in loops:
        if loop.circle is not None:
            x, y, r = loop.circle
            out.append(Narrow(size=2 * r, x=x, y=y, what="hole"))
        elif loop.polygon.is_valid:
            spoke = shapely.maximum_inscribed_circle(loop.polygon, tolerance=_FITTED)
            (x, y), _ = shapely.get_coordinates(spoke)
            out.append(Narrow(size=2 * float(spoke.length), x=float(x), y=float(y), what="hole"))
    return tuple(out)


def narrow_webs(nest: NestedLoops) -> tuple[Narrow, ...] | None:
    """The narrowest steel beside each hole: to the outline, and to the nearest other hole.

    What is wider than WEBS is left out, but for the narrowest of all. None where too many stand together.
    """
    if nest.outline is None or not nest.holes:
        return ()
    shapes, radii = _shapes(nest.holes)
    border = _ring(nest.outline)
    shapely.prepare(border)
    rim = np.asarray(shapely.distance(border, shapes)) - radii
    told = np.union1d(np.flatnonzero(rim <= WEBS), [rim.argmin()])
    out = [_between(shapes[k], border, float(radii[k]), 0.0, float(rim[k]), "rim") for k in told]
    near = _near_holes(nest.holes, shapes, radii)
    if near is None:
        return None
    for a, b, wide in near:
        out.append(_between(shapes[a], shapes[b], float(radii[a]), float(radii[b]), wide, "web"))
    return tuple(out)


def _near_holes(
    loops: Sequence[Loop], shapes: npt.NDArray[np.object_], radii: FloatArray
) -> list[tuple[int, int, float]] | None:
    """Pairs of holes of which one has no nearer neighbour, with the steel between them."""
    if len(loops) < 2:
        return []
    boxes, reach = np.array([loop.polygon.envelope for loop in loops], dtype=object), WEBS
    while True:
        pairs = near_pairs(boxes, reach=reach, most=MOST_PAIRS)
        if pairs is None:
            return None
        i, j = pairs
        wide = np.asarray(shapely.distance(shapes[i], shapes[j])) - radii[i] - radii[j]
        if len(wide) and wide.min() <= reach:
            break
        reach *= 2
    order = np.argsort(wide, kind="stable")
    first = [order[np.unique(side[order], return_index=True)[1]] for side in (i, j)]
    return [(int(i[k]), int(j[k]), float(wide[k])) for k in np.unique(np.concatenate(first))]


def _shapes(loops: Sequence[Loop]) -> tuple[npt.NDArray[np.object_], FloatArray]:
    """Centres of circles with their radii, rings of other loops with radius 0."""
    shapes = [shapely.Point(loop.circle[:2]) if loop.circle is not None else _ring(loop) for loop in loops]
    return np.array(shapes, dtype=object), np.array([0.0 if loop.circle is None else loop.circle[2] for loop in loops])


def _ring(loop: Loop) -> shapely.LinearRing:
    return shapely.LinearRing(loop.segments.flattened(_FINE)[0])


def _between(
    a: shapely.geometry.base.BaseGeometry,
    b: shapely.geometry.base.BaseGeometry,
    radius_a: float,
    radius_b: float,
    size: float,
    what: str,
) -> Narrow:
    p, q = shapely.get_coordinates(shapely.shortest_line(a, b))
    unit = (q - p) / max(float(np.hypot(*(q - p))), 1e-12)
    x, y = (p + radius_a * unit + q - radius_b * unit) / 2
    return Narrow(size=size, x=float(x), y=float(y), what=what)


def necks(loop: Loop, *, hole: bool) -> tuple[Narrow, ...] | None:
    """Narrow steel within one loop ("neck") and narrow places to cut ("gap"), up to NECKS wide.

    A neck is where two sides of the loop face each other and are nearest; a point that closes in is none. Within the
    outline steel is inside, within a hole it is outside. None where there are too many pairs of chords to look at.

    Args:
        loop: A closed one that does not cross itself.
        hole: Whether it is a hole.
    """
    xy, _ = loop.segments.flattened(_COARSE)
    if len(xy) > _CROWDED:
        xy = shapely.get_coordinates(shapely.LinearRing(xy).simplify(_COARSE))[:-1]
    following = np.roll(xy, -1, axis=0)
    chords = np.asarray(shapely.linestrings(np.stack([xy, following], axis=1)))
    pairs = near_pairs(chords, reach=NECKS, most=MOST_PAIRS)
    if pairs is None:
        return None
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*(following - xy).T))])
    i, j = _far_along(way, *pairs)
    apart = np.asarray(shapely.distance(chords[i], chords[j]))
    near = (apart > 0) & (apart <= NECKS)
    i, j, apart = i[near], j[near], apart[near]
    p, q = shapely.get_coordinates(shapely.shortest_line(chords[i], chords[j])).reshape(-1, 2, 2).transpose(1, 0, 2)
    at_p, at_q = (way[k] + np.hypot(*(point - xy[k]).T) for k, point in ((i, p), (j, q)))
    round_ = np.abs(at_p - at_q)
    kept = np.minimum(round_, way[-1] - round_) > _ALONG * apart
    kept &= _faces(xy, i, p, q, apart) & _faces(xy, j, q, p, apart)
    middle = (p[kept] + q[kept]) / 2
    steel = shapely.contains_xy(loop.polygon, middle[:, 0], middle[:, 1]) != hole
    return tuple(_narrowest(apart[kept], middle, steel))


def _far_along(way: FloatArray, i: Ints, j: Ints) -> tuple[Ints, Ints]:
    """Pairs of chords that are not neighbours."""
    last = len(way) - 2
    beside = (j - i <= 1) | ((i == 0) & (j == last))
    return i[~beside], j[~beside]


def _faces(xy: FloatArray, index: Ints, near: FloatArray, far: FloatArray, apart: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether a place is the nearest one of its side: on a chord it is, at a corner neither way on comes nearer."""
    n = len(xy)
    to = (far - near) / apart[:, None]
    start, end = xy[index], xy[(index + 1) % n]
    out = np.ones(len(index), dtype=bool)
    for corner, before, after in ((start, -1, 0), (end, 0, 1)):
        here = np.hypot(*(near - corner).T) < 1e-9
        back = xy[(index + before) % n] - xy[(index + before + 1) % n]
        ahead = xy[(index + after + 1) % n] - xy[(index + after) % n]
        for step in (back, ahead):
            closing = (step * to).sum(axis=1) / np.maximum(np.hypot(*step.T), 1e-12)
            out &= ~here | (closing <= _FACING)
    return out


def _narrowest(apart: FloatArray, middle: FloatArray, steel: npt.NDArray[np.bool_]) -> Iterator[Narrow]:
    """The least of each cluster of narrow places."""
    left = np.argsort(apart, kind="stable")
    while len(left):
        k = left[0]
        x, y = middle[k]
        yield Narrow(size=float(apart[k]), x=float(x), y=float(y), what="neck" if steel[k] else "gap")
        far = np.hypot(*(middle[left] - middle[k]).T) > _APART
        left = left[far | (steel[left] != steel[k])]
        left = left[left != k]


def inside_corners(
    segments: Segments, *, hole: bool, sharp_deg: float, skipped: npt.NDArray[np.bool_]
) -> Iterator[Narrow]:
    """Radii of arcs that turn into the steel, and corners that do so without a radius.

    Args:
        segments: Of a loop, counter-clockwise.
        hole: Whether it is a hole: there the tool stands inside, and every corner is an inside corner.
        sharp_deg: Smallest turn that counts as a corner.
        skipped: Segments whose ends are none, shape (n,).
    """
    side = 1.0 if hole else -1.0
    for k in np.flatnonzero(~segments.straight & (np.sign(segments.bulge) == side)):
        x, y = segments.middle[k]
        yield Narrow(size=float(segments.radius[k]), x=float(x), y=float(y), what="radius")
    turn = side * turns(segments)
    for k in np.flatnonzero((turn > np.radians(sharp_deg)) & ~skipped):
        x, y = segments.end[k]
        yield Narrow(size=0.0, x=float(x), y=float(y), what="corner", turn_deg=float(np.degrees(turn[k])))


def turns(segments: Segments) -> FloatArray:
    """By how much a loop turns left at the end of each of its segments, rad, shape (n,)."""
    change = np.roll(segments.leaving, -1) - segments.arriving
    return np.asarray((change + np.pi) % (2 * np.pi) - np.pi)

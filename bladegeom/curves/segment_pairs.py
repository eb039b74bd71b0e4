"""Where lines and arcs run over each other, and where they cross or touch; all pairs at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import STRtree

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.segments import Ints, Segments

_CHUNK = 512
"""So many segments are asked for their neighbours at once."""

_SLACK = 1e-7
"""A crossing so far outside a segment still lies on it, mm: rounding of the numbers."""

_PARALLEL = 1e-9
"""Sine of the angle below which two lines are parallel."""

Pairs = tuple[Ints, Ints]


def near_pairs(
    geometries: npt.NDArray[np.object_],
    *,
    reach: float,
    most: int,
    counts: Callable[[Ints, Ints], npt.NDArray[np.bool_]] | None = None,
) -> Pairs | None:
    """Pairs i < j of geometries whose boxes come within a reach.

    Args:
        geometries: Shape (n,); their boxes count.
        reach: mm.
        most: Pairs.
        counts: Whether pairs i < j are wanted at all.

    Returns:
        Indices (m,), (m,) in order; None where there are more than the most.
    """
    boxes = shapely.bounds(geometries)
    tree = STRtree(geometries)
    wide = _boxes(boxes + reach * np.array([-1.0, -1.0, 1.0, 1.0]))
    first, second, total = [], [], 0
    for low in range(0, len(boxes), _CHUNK):
        i, j = tree.query(wide[low : low + _CHUNK])
        i = i + low
        keep = i < j
        i, j = i[keep], j[keep]
        if counts is not None:
            keep = counts(i, j)
            i, j = i[keep], j[keep]
        first.append(i)
        second.append(j)
        total += len(i)
        if total > most:
            return None
    i, j = np.concatenate(first or [np.empty(0, dtype=np.int64)]), np.concatenate(second or [np.empty(0, np.int64)])
    order = np.lexsort((j, i))
    return i[order].astype(np.int64), j[order].astype(np.int64)


def boxes_of(segments: Segments) -> npt.NDArray[np.object_]:
    """A box round each segment."""
    return _boxes(segments.boxes)


def _boxes(bounds: FloatArray) -> npt.NDArray[np.object_]:
    x0, y0, x1, y1 = bounds.T
    return np.asarray(shapely.box(x0, y0, x1, y1))


def overlaps(segments: Segments, pairs: Pairs, tolerance: float) -> FloatArray:
    """How far each pair runs along the same line or the same circle, shape (m,), mm.

    Args:
        segments: All of them.
        pairs: Indices.
        tolerance: They may lie so far beside each other, mm.
    """
    a, b = segments.taken(pairs[0]), segments.taken(pairs[1])
    out = np.zeros(len(a))
    lines = a.straight & b.straight
    out[lines] = _on_line(a.taken(np.flatnonzero(lines)), b.taken(np.flatnonzero(lines)), tolerance)
    arcs = ~a.straight & ~b.straight
    out[arcs] = _on_circle(a.taken(np.flatnonzero(arcs)), b.taken(np.flatnonzero(arcs)), tolerance)
    return out


def _on_line(a: Segments, b: Segments, tolerance: float) -> FloatArray:
    # The longer one gives the line, so that a speck beside it has a direction at all.
    swap = (b.length > a.length)[:, None]
    start, end = np.where(swap, b.start, a.start), np.where(swap, b.end, a.end)
    p, q = np.where(swap, a.start, b.start), np.where(swap, a.end, b.end)
    size = np.maximum(np.hypot(*(end - start).T), 1e-12)
    along = (end - start) / size[:, None]
    beside = [np.abs(_cross(along, point - start)) for point in (p, q)]
    s, t = ((along * (point - start)).sum(axis=1) for point in (p, q))
    shared = np.minimum(size, np.maximum(s, t)) - np.maximum(0.0, np.minimum(s, t))
    return np.where(np.maximum(*beside) <= tolerance, np.maximum(shared, 0.0), 0.0)


def _on_circle(a: Segments, b: Segments, tolerance: float) -> FloatArray:
    apart = np.hypot(*(a.centre - b.centre).T) + np.abs(a.radius - b.radius)
    size_a, size_b = np.abs(a.sweep), np.abs(b.sweep)
    first_a = a.first_angle + np.minimum(a.sweep, 0.0)
    first_b = b.first_angle + np.minimum(b.sweep, 0.0)
    ahead = (first_b - first_a) % (2 * np.pi)
    shared = np.maximum(0.0, np.minimum(size_a, ahead + size_b) - ahead)
    shared += np.maximum(0.0, np.minimum(size_a, ahead + size_b - 2 * np.pi))
    return np.where(apart <= tolerance, shared * np.minimum(a.radius, b.radius), 0.0)


@dataclass(frozen=True, eq=False)
class Meetings:
    """Places that two segments share; a place may stand there more than once.

    Args:
        pair: Index of the pair, shape (k,).
        xy: Place, shape (k, 2), mm.
    """

    pair: Ints
    xy: FloatArray


def meetings(segments: Segments, pairs: Pairs, tolerance: float) -> Meetings:
    """Places where pairs of segments cross, and ends of one that lie on the other.

    Args:
        segments: All of them.
        pairs: Indices.
        tolerance: An end lies on a segment that is no farther, mm.
    """
    a, b = segments.taken(pairs[0]), segments.taken(pairs[1])
    places = [_line_line(a, b), *_arc_any(a, b), *_arc_any(b, a)]
    ends = [(point, other) for ending, other in ((a, b), (b, a)) for point in (ending.start, ending.end)]
    places += [np.where((_distance(point, other) <= tolerance)[:, None], point, np.nan) for point, other in ends]
    index = np.concatenate([np.flatnonzero(np.isfinite(p[:, 0])) for p in places])
    return Meetings(index, np.concatenate([p[np.isfinite(p[:, 0])] for p in places]))


def _line_line(a: Segments, b: Segments) -> FloatArray:
    """The crossing of two lines (m, 2); nan where there is none."""
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = _cross(a.chord, b.chord)
        s = _cross(b.start - a.start, b.chord) / turn
        t = _cross(b.start - a.start, a.chord) / turn
    slack_a, slack_b = _SLACK / np.maximum(a.length, 1e-9), _SLACK / np.maximum(b.length, 1e-9)
    real = a.straight & b.straight & (np.abs(turn) > _PARALLEL * a.length * b.length)
    real &= (s >= -slack_a) & (s <= 1 + slack_a) & (t >= -slack_b) & (t <= 1 + slack_b)
    return np.where(real[:, None], a.start + np.where(real, s, 0.0)[:, None] * a.chord, np.nan)


def _arc_any(a: Segments, b: Segments) -> tuple[FloatArray, FloatArray]:
    """Both crossings of an arc with a line or with another arc (m, 2); nan where there is none."""
    arcs = ~a.straight & ~b.straight
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        # Two circles meet on a line square to the line of their centres.
        apart = b.centre - a.centre
        far = np.hypot(*apart.T)
        unit = apart / far[:, None]
        ra, rb = np.where(a.straight, 1.0, a.radius), np.where(b.straight, 1.0, b.radius)
        foot = a.centre + ((far**2 + ra**2 - rb**2) / (2 * far))[:, None] * unit
        along = b.chord / np.where(b.straight, b.length, 1.0)[:, None]
        on_line = b.start + (along * (a.centre - b.start)).sum(axis=1)[:, None] * along
        foot = np.where(arcs[:, None], foot, on_line)
        way = np.where(arcs[:, None], np.stack([-unit[:, 1], unit[:, 0]], axis=1), along)
        half = np.sqrt(ra**2 - ((foot - a.centre) ** 2).sum(axis=1))
        out = []
        for sign in (1.0, -1.0):
            place = foot + sign * half[:, None] * way
            on = ~a.straight & _on_arc(place, a) & np.where(b.straight, _on_chord(place, b), _on_arc(place, b))
            out.append(np.where(on[:, None], place, np.nan))
    return out[0], out[1]


def _on_arc(place: FloatArray, arcs: Segments) -> npt.NDArray[np.bool_]:
    arm = place - arcs.centre
    return arcs.holds_angle(np.arctan2(arm[:, 1], arm[:, 0]), _SLACK / np.maximum(arcs.radius, 1e-9))


def _on_chord(place: FloatArray, lines: Segments) -> npt.NDArray[np.bool_]:
    along = ((place - lines.start) * lines.chord).sum(axis=1) / np.maximum(lines.length, 1e-12)
    return np.asarray((along >= -_SLACK) & (along <= np.where(lines.straight, lines.length, 0.0) + _SLACK))


def _distance(point: FloatArray, segments: Segments) -> FloatArray:
    """Of each point (m, 2) from its segment, mm."""
    arm = point - segments.centre
    with np.errstate(invalid="ignore"):
        from_circle = np.abs(np.hypot(*arm.T) - segments.radius)
    on = segments.holds_angle(np.arctan2(arm[:, 1], arm[:, 0]), 0.0)
    ends = np.minimum(np.hypot(*(point - segments.start).T), np.hypot(*(point - segments.end).T))
    square = np.maximum((segments.chord**2).sum(axis=1), 1e-24)
    share = np.clip(((point - segments.start) * segments.chord).sum(axis=1) / square, 0.0, 1.0)
    from_line = np.hypot(*(point - segments.start - share[:, None] * segments.chord).T)
    return np.asarray(np.where(segments.straight, from_line, np.where(on, from_circle, ends)))


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])

"""Lines and arcs in place of curves, never farther from them than a tolerance.

A cutting machine runs lines and arcs. Two arcs (a biarc) meet any two points with given directions tangentially; here
the longest stretches that one biarc can follow are taken one after another. The deviation is bounded, not sampled:
on each small piece the squared distance from an arc's centre is a polynomial of degree six, and the coefficients of
its Bernstein form enclose it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, curvature, directions, join, subdivided
from bladegeom.curves.fitted_arc import STRAIGHT, FittedArc, angle, merged_arc, unit, without_flat
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED, POINT, SMOOTH_DEG

_PARTS = 64
"""Stretches begin and end at this many places per piece; more places gain little (own measurement)."""

_MAX_REFINEMENTS = 6

_ACROSS = 4
"""Parts of a piece that lies across the joint of two arcs."""

SHORTEST = 0.1
"""A stretch shorter than this is joined to a neighbour that it meets smoothly, mm; common practice, no source: shorter
lines and arcs slow a machine down."""

_FITTED = (1.0, 0.9)
"""Shares of the tolerance that arcs may take up, tried in turn: the rest is for lines in place of large arcs."""

_SHARES = (0.5, 0.75, 0.9)
"""Of the way that the last two biarcs share, what the first one takes, tried in turn; own choice."""

_SAME_BEND = 1e-3
"""Curvatures that differ by less, as a part of them, do not jump."""


@dataclass(frozen=True, eq=False)
class ArcChain:
    """Lines and arcs that follow each other, as cut files hold them.

    Args:
        vertices: Shape (n, 2), mm. A closed chain does not repeat its first vertex.
        bulges: Shape (n,): tan(sweep / 4) of the arc that leaves each vertex; 0 a line, positive turns left.
        closed: Whether the last arc leads back to the first vertex; an open chain has one bulge less.
        deviation: Greatest distance from the curves it stands for, mm: a proven upper bound.
    """

    vertices: FloatArray
    bulges: FloatArray
    closed: bool
    deviation: float

    def __post_init__(self) -> None:
        self.vertices.flags.writeable = False
        self.bulges.flags.writeable = False


def fit_arcs(curves: Sequence[Curve], tolerance: float, *, closed: bool, largest_radius: float = math.inf) -> ArcChain:
    """Tangent lines and arcs along curves that follow each other.

    Args:
        curves: Each starts where the one before ends.
        tolerance: Greatest distance allowed, > 0 mm.
        closed: Whether the last ends where the first starts.
        largest_radius: Flatter arcs are written as lines, which turn from one to the next by next to nothing, mm.

    Raises:
        CurveError: The tolerance is not positive, or so small that the fit finds no end; or the curves do not follow
            each other, or do not close.

    Source:
        Biarc with equal tangent lengths: Bolton 1975. Enclosure by Bernstein coefficients: Farouki 2012.
    """
    if not (tolerance > 0 and math.isfinite(tolerance)):
        raise CurveError(f"an arc fit needs a positive tolerance, not {tolerance:g} mm", value=tolerance, limit=0.0)
    if not curves:
        raise CurveError("an arc fit needs at least one curve")
    whole = join(*curves)
    (x0, y0), (x1, y1) = whole.start, whole.end
    if closed and math.dist(whole.start, whole.end) > JOINED:
        raise CurveError(
            f"a chain of curves does not close: x {x1:.2f}, y {y1:.2f} and x {x0:.2f}, y {y0:.2f} mm",
            at=whole.end,
            value=math.dist(whole.start, whole.end),
            limit=JOINED,
        )
    arcs = [arc for stretch in _even_stretches(whole) for arc in _fit_stretch(stretch, tolerance, largest_radius)]
    vertices = [arc.start for arc in arcs] if closed else [*(arc.start for arc in arcs), arcs[-1].end]
    return ArcChain(np.array(vertices), np.array([arc.bulge for arc in arcs]), closed, max(arc.error for arc in arcs))


def _even_stretches(whole: Curve) -> list[FloatArray]:
    """Pieces cut where direction or curvature jumps or a line ends, so that lines and arcs stay what they are."""
    starts, back = np.arange(len(whole)), whole.reversed()
    leaving, arriving = directions(whole, starts)[1:], -directions(back, starts)[:0:-1]
    after, before = curvature(whole, starts)[1:], -curvature(back, starts)[:0:-1]
    corner = [abs(angle(d, e)) > math.radians(SMOOTH_DEG) for d, e in zip(arriving, leaving, strict=True)]
    bend = np.abs(after - before) > _SAME_BEND * np.maximum(np.abs(after), np.abs(before)) + POINT
    chord = whole.pieces[:, 3] - whole.pieces[:, 0]
    across = whole.pieces[:, :, ::-1] * (-1, 1) @ chord[:, :, None]
    straight = np.ptp(across, axis=1)[:, 0] <= POINT * np.hypot(chord[:, 0], chord[:, 1])
    cuts = np.flatnonzero(np.array(corner, dtype=bool) | bend | (straight[1:] != straight[:-1])) + 1
    return np.split(whole.pieces, _without_short(whole.pieces, cuts.tolist(), corner))


def _without_short(pieces: FloatArray, cuts: list[int], corner: Sequence[bool]) -> list[int]:
    """The cuts, less one of those at the ends of each short stretch where it meets its neighbour smoothly."""
    way, out = _along(pieces), list(cuts)
    for begin, end in itertools.pairwise((0, *cuts, len(pieces))):
        if way[end] - way[begin] < SHORTEST:
            smooth = [at for at in (begin, end) if at in out and not corner[at - 1]]
            if smooth:
                out.remove(smooth[0])
    return out


def _along(pieces: FloatArray) -> FloatArray:
    """Way from the start to both ends of each piece, by its control points, shape (k + 1,), mm."""
    way = np.hypot(*np.diff(pieces, axis=1).transpose(2, 0, 1)).sum(axis=1)
    return np.concatenate([[0.0], np.cumsum(way)])


def _fit_stretch(pieces: FloatArray, tolerance: float, largest: float) -> list[FittedArc]:
    """Lines and arcs along pieces without corners, no arc of a larger radius than one."""
    for share in _FITTED:
        arcs = _tangent_arcs(pieces, share * tolerance)
        plain = [without_flat(arc, tolerance, largest) for arc in arcs]
        if all(plain):
            return [line for lines in plain for line in lines]
    x, y = pieces[0, 0]
    raise CurveError(
        f"no lines follow the flat curve at x {x:.2f}, y {y:.2f} mm to within {tolerance:g} mm",
        at=(x, y),
        limit=tolerance,
    )


def _tangent_arcs(pieces: FloatArray, tolerance: float) -> list[FittedArc]:
    """Tangent lines and arcs along pieces without corners."""
    parts = _PARTS
    for _ in range(_MAX_REFINEMENTS):
        arcs = _longest_biarcs(subdivided(pieces, parts), tolerance)
        if arcs is not None:
            break
        parts *= 2
    else:
        x, y = pieces[0, 0]
        raise CurveError(
            f"no arcs follow the curve that starts at x {x:.2f}, y {y:.2f} mm to within {tolerance:g} mm",
            at=(x, y),
            limit=tolerance,
        )
    merged = [arcs[0]]
    for following in arcs[1:]:
        whole = merged_arc(merged[-1], following, tolerance)
        if whole is None:
            merged.append(following)
        else:
            merged[-1] = whole
    return merged


def _longest_biarcs(fine: FloatArray, tolerance: float) -> list[FittedArc] | None:
    """Biarcs along the fine pieces, each as long as the tolerance lets it be; None where not even one piece fits."""
    tangents = _end_directions(fine)

    def biarc(i: int, j: int) -> tuple[FittedArc, ...] | None:
        return _biarc(fine[i:j], tangents[i, 0], tangents[j - 1, 1], tolerance)

    n, i, guess = len(fine), 0, _PARTS
    places, found = [0], []
    while i < n:
        j = _farthest(biarc, i, min(i + guess, n), n)
        arcs = biarc(i, j) if j > i else None
        if arcs is None:
            return None
        found.append(arcs)
        guess, i = j - i, j
        places.append(j)
    if len(found) > 1:
        # What is left for the last may be tiny: the last two share their way evenly, or as nearly so as fits.
        found[-2:] = _shared(biarc, _along(fine), places[-3], n) or found[-2:]
    return [arc for arcs in found for arc in arcs]


def _shared(
    biarc: Callable[[int, int], tuple[FittedArc, ...] | None], way: FloatArray, i: int, n: int
) -> list[tuple[FittedArc, ...]] | None:
    """Two biarcs from one place to another, the first over half of the way or more; None where none of them fits."""
    for share in _SHARES:
        middle = int(np.searchsorted(way, way[i] + share * (way[n] - way[i])))
        first, second = (biarc(i, middle), biarc(middle, n)) if i < middle < n else (None, None)
        if first is not None and second is not None:
            return [first, second]
    return None


def _farthest(fits: Callable[[int, int], object], i: int, j: int, n: int) -> int:
    """Greatest end up to ``n`` that fits, searched from ``j`` by doubling and then halving; ``i`` where none does."""
    low, high = i, n + 1
    while high - low > 1:
        if fits(i, j) is not None:
            low = j
        else:
            high = j
        if high > n:
            j = min(n, 2 * j - i)
            if low == n:
                break
        else:
            j = (low + high) // 2
    return low


def _biarc(pieces: FloatArray, d: FloatArray, e: FloatArray, tolerance: float) -> tuple[FittedArc, ...] | None:
    """The biarc along the pieces that leaves in direction d and arrives in e, if it stays within the tolerance."""
    p, q = pieces[0, 0], pieces[-1, 3]
    # The pieces must go forward in both end directions: then they neither overshoot an end nor turn back.
    forward = np.diff(pieces, axis=1)
    if (forward @ d).min() < -POINT or (forward @ e).min() < -POINT:
        return None
    v = q - p
    vt = float(v @ (d + e))
    handle = float(v @ v) / (vt + math.sqrt(vt * vt + 2 * (1 - float(d @ e)) * float(v @ v)))
    joint = ((p + handle * d) + (q - handle * e)) / 2
    middle = unit((q - handle * e) - (p + handle * d))
    # Pieces wholly before the joint belong to the first arc, wholly behind it to the second, one across to both: it is
    # cut small, so that it does not count far beyond the joint.
    place = (pieces - joint) @ middle
    across = (place.min(axis=1) < 0) & (place.max(axis=1) > 0)
    pieces = np.concatenate([pieces[~across], subdivided(pieces[across], _ACROSS)])
    place = (pieces - joint) @ middle
    first = FittedArc(p, joint, _bulge(d, joint - p), pieces[place.min(axis=1) < 0])
    second = FittedArc(joint, q, _bulge(middle, q - joint), pieces[place.max(axis=1) > 0])
    line = FittedArc(p, q, 0.0, pieces)
    arcs = (line,) if first.bulge == second.bulge == 0 else (first, second)
    return arcs if max(arc.error for arc in arcs) <= tolerance else None


def _bulge(leaving: FloatArray, chord: FloatArray) -> float:
    """Of the arc that leaves in a direction, over its chord: they enclose half its sweep."""
    bulge = math.tan(angle(leaving, chord) / 2)
    return bulge if abs(bulge) >= STRAIGHT else 0.0


def _end_directions(pieces: FloatArray) -> FloatArray:
    """Unit directions at both ends of each piece, shape (k, 2, 2)."""
    steps = np.diff(pieces, axis=1)
    size = np.hypot(steps[..., 0], steps[..., 1])
    moves = size >= np.minimum(POINT, size.max(axis=1, keepdims=True))
    first, last = moves.argmax(axis=1), 2 - moves[:, ::-1].argmax(axis=1)
    rows = np.arange(len(pieces))
    both = np.stack([steps[rows, first], steps[rows, last]], axis=1)
    return np.asarray(both / np.linalg.norm(both, axis=2, keepdims=True))

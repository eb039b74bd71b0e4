"""The one representation of every line in a design: a chain of cubic Bezier pieces.

A place on a chain of k pieces is a number t in [0, k]: the whole part says which piece, the rest how far along it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED, POINT

FloatArray = npt.NDArray[np.float64]
Vector = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Curve:
    """A chain of cubic Bezier pieces whose ends meet exactly.

    Args:
        pieces: Control points, shape (k, 4, 2), mm. Ends within 1e-6 mm of each other are made equal.

    Raises:
        CurveError: No pieces, a coordinate that is no number, ends that do not meet, or a piece of no length.

    >>> from bladegeom import line
    >>> curve = line((0.0, 0.0), (10.0, 0.0))
    >>> curve.moved(0.0, 5.0).end, len(curve)
    ((10.0, 5.0), 1)
    """

    pieces: FloatArray

    def __post_init__(self) -> None:
        pieces = np.array(self.pieces, dtype=np.float64) + 0.0  # one zero only, so that equal curves hash equally
        if not _is_sound(pieces):
            _mend(pieces)
        pieces.flags.writeable = False
        object.__setattr__(self, "pieces", pieces)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Curve) and np.array_equal(self.pieces, other.pieces)

    def __hash__(self) -> int:
        return hash(self.pieces.tobytes())

    def __reduce__(self) -> tuple[type[Curve], tuple[FloatArray]]:
        """Copies and pickles are built anew, and so cannot be written to either."""
        return Curve, (self.pieces,)

    def __len__(self) -> int:
        return len(self.pieces)

    @property
    def start(self) -> Vector:
        """First point, mm."""
        return _vector(self.pieces[0, 0])

    @property
    def end(self) -> Vector:
        """Last point, mm."""
        return _vector(self.pieces[-1, 3])

    @property
    def start_direction(self) -> Vector:
        """Unit direction of travel at the first point."""
        return _vector(_leaving(self.pieces[:1])[0])

    @property
    def end_direction(self) -> Vector:
        """Unit direction of travel at the last point."""
        return _vector(-_leaving(self.pieces[-1:, ::-1])[0])

    def reversed(self) -> Curve:
        """The same line travelled the other way."""
        return Curve(self.pieces[::-1, ::-1])

    def moved(self, dx: float, dy: float) -> Curve:
        """Shifted by (dx, dy) mm."""
        pieces = self.pieces + np.array([dx, dy]) + 0.0
        if not math.isfinite(dx + dy):
            return Curve(pieces)
        # What is sound stays so: pages are made of thousands of shifted curves, and are not looked at again.
        shifted = object.__new__(Curve)
        pieces.flags.writeable = False
        object.__setattr__(shifted, "pieces", pieces)
        return shifted

    def transformed(self, matrix: Sequence[Sequence[float]] | FloatArray) -> Curve:
        """Image under an affine map: ``matrix`` is (2, 3), the last column a shift in mm."""
        m = np.asarray(matrix, dtype=np.float64)
        return Curve(self.pieces @ m[:, :2].T + m[:, 2])


def _is_sound(pieces: FloatArray) -> bool:
    """Whether all is in order, seen at one glance: nearly every curve comes from others that were."""
    if pieces.ndim != 3 or pieces.shape[1:] != (4, 2) or not len(pieces):
        return False
    if len(pieces) == 1:
        x0, y0, *rest = pieces.ravel().tolist()
        away = [abs(x - x0) for x in rest[::2]] + [abs(y - y0) for y in rest[1::2]]
        return math.isfinite(sum(away)) and max(away) >= POINT
    if not np.isfinite(pieces).all() or (pieces[1:, 0] != pieces[:-1, 3]).any():
        return False
    return not _empty(pieces).any()


def _mend(pieces: FloatArray) -> None:
    """Make ends that meet within a tolerance equal.

    Raises:
        CurveError: See :class:`Curve`.
    """
    if pieces.ndim != 3 or pieces.shape[1:] != (4, 2) or not len(pieces):
        raise CurveError(f"a curve needs control points of shape (k, 4, 2), not {pieces.shape}", value=pieces.shape)
    bad = np.flatnonzero(~np.isfinite(pieces).all(axis=(1, 2)))
    if bad.size:
        raise CurveError(
            f"piece {bad[0] + 1} of a curve has a coordinate that is not a finite number", value=int(bad[0]) + 1
        )
    gaps = np.hypot(*(pieces[1:, 0] - pieces[:-1, 3]).T)
    if gaps.size and gaps.max() > JOINED:
        x, y = pieces[int(gaps.argmax()), 3]
        raise CurveError(
            f"pieces of a curve are {gaps.max():.4g} mm apart near x {x:.2f}, y {y:.2f} mm",
            at=(x, y),
            value=float(gaps.max()),
            limit=JOINED,
        )
    pieces[1:, 0] = pieces[:-1, 3]
    empty = np.flatnonzero(_empty(pieces))
    if empty.size:
        x, y = pieces[empty[0], 0]
        raise CurveError(
            f"piece {empty[0] + 1} of a curve has no length: x {x:.2f}, y {y:.2f} mm",
            at=(x, y),
            value=int(empty[0]) + 1,
        )


def rotation(angle_deg: float, about: Vector = (0.0, 0.0)) -> FloatArray:
    """Matrix (2, 3) that turns by ``angle_deg`` counter-clockwise about a point; exact at quarter turns."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    a = np.radians(angle_deg)
    c, s = quarter.get(angle_deg % 360.0, (float(np.cos(a)), float(np.sin(a))))
    x, y = about
    return np.array([[c, -s, x - c * x + s * y], [s, c, y - s * x - c * y]])


def join(*curves: Curve) -> Curve:
    """One chain out of several that follow each other.

    Raises:
        CurveError: An end does not meet the next start within 1e-6 mm.

    >>> from bladegeom import line
    >>> whole = join(line((0.0, 0.0), (5.0, 0.0)), line((5.0, 0.0), (5.0, 3.0)))
    >>> whole.start, whole.end
    ((0.0, 0.0), (5.0, 3.0))
    """
    return Curve(np.concatenate([curve.pieces for curve in curves]))


def points(curve: Curve, t: npt.ArrayLike) -> FloatArray:
    """Points at the places ``t``, shape (n, 2), mm."""
    return points_of(*_local(curve, t))


def points_of(p: FloatArray, u: FloatArray) -> FloatArray:
    """The same of pieces (n, 4, 2), each at a local parameter of its own (n, 1)."""
    v = 1.0 - u
    return v**3 * p[:, 0] + 3 * v * v * u * p[:, 1] + 3 * v * u * u * p[:, 2] + u**3 * p[:, 3]


def derivatives(curve: Curve, t: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """First and second derivative by the local parameter at the places ``t``, each of shape (n, 2)."""
    return derivatives_of(*_local(curve, t))


def derivatives_of(p: FloatArray, u: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The same of pieces (n, 4, 2), each at a local parameter of its own (n, 1)."""
    v = 1.0 - u
    a, b, c = p[:, 1] - p[:, 0], p[:, 2] - p[:, 1], p[:, 3] - p[:, 2]
    first = 3 * (v * v * a + 2 * v * u * b + u * u * c)
    second = 6 * (v * (b - a) + u * (c - b))
    return first, second


def directions(curve: Curve, t: npt.ArrayLike) -> FloatArray:
    """Unit directions of travel, shape (n, 2); a piece that starts or ends with a doubled control point has one too."""
    first, _ = derivatives(curve, t)
    speed = np.hypot(first[:, 0], first[:, 1])
    still = np.flatnonzero(speed < POINT)
    if still.size:
        # Where the speed is nil the direction is that of the part that leaves, or of the one that arrives.
        p, u = _local(curve, t)
        for i in still:
            before, after = _halves(p[i : i + 1], float(u[i, 0]))
            first[i] = _leaving(after)[0] if u[i, 0] <= 0.5 else -_leaving(before[:, ::-1])[0]
        speed[still] = 1.0
    return np.asarray(first / speed[:, None])


def end_directions(curve: Curve) -> tuple[FloatArray, FloatArray]:
    """Unit directions of travel where each piece begins and where it ends, shape (k, 2) each."""
    return _leaving(curve.pieces), -_leaving(curve.pieces[:, ::-1])


def curvature(curve: Curve, t: npt.ArrayLike) -> FloatArray:
    """Signed curvature, 1/mm, shape (n,): positive where the curve turns left; 0 where its speed is nil."""
    return curvature_of(*_local(curve, t))


def curvature_of(p: FloatArray, u: FloatArray) -> FloatArray:
    """The same of pieces (n, 4, 2), each at a local parameter of its own (n, 1)."""
    first, second = derivatives_of(p, u)
    cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    speed = np.hypot(first[:, 0], first[:, 1])
    return np.asarray(np.divide(cross, speed**3, out=np.zeros_like(cross), where=speed > POINT))


def split(curve: Curve, t: float) -> tuple[Curve, Curve]:
    """The parts before and after the place ``t``.

    Raises:
        CurveError: ``t`` lies at or beyond an end, so that one part would have no length.
    """
    k = len(curve)
    place = t if 0 < t < k else 0.0
    i = int(place)
    left, right = _halves(curve.pieces[i : i + 1], place - i)
    before, after = curve.pieces[:i], curve.pieces[i + 1 :]
    if _empty(left)[0]:
        after = curve.pieces[i:]
    elif _empty(right)[0]:
        before = curve.pieces[: i + 1]
    else:
        before, after = np.concatenate([before, left]), np.concatenate([right, after])
    if not (len(before) and len(after)):
        raise CurveError(f"a curve of {k} pieces cannot be split at its end (place {t:.6g})", value=t, limit=k)
    return Curve(before), Curve(after)


def subdivided(pieces: FloatArray, n: int) -> FloatArray:
    """Each piece cut into ``n`` of equal parameter length, shape (k * n, 4, 2)."""
    out = np.empty((len(pieces), n, 4, 2))
    rest = pieces
    for i in range(n - 1):
        out[:, i], rest = _halves(rest, 1.0 / (n - i))
    out[:, n - 1] = rest
    return out.reshape(-1, 4, 2)


def _halves(p: FloatArray, u: float) -> tuple[FloatArray, FloatArray]:
    """De Casteljau's cut of pieces (k, 4, 2) at the local parameter ``u``."""
    # All pieces and all three control lines at a time: numpy's calls cost more than its sums here.
    once = p[:, :-1] + u * (p[:, 1:] - p[:, :-1])
    twice = once[:, :-1] + u * (once[:, 1:] - once[:, :-1])
    middle = twice[:, 0] + u * (twice[:, 1] - twice[:, 0])
    left, right = np.empty_like(p), np.empty_like(p)
    left[:, 0], left[:, 1], left[:, 2], left[:, 3] = p[:, 0], once[:, 0], twice[:, 0], middle
    right[:, 0], right[:, 1], right[:, 2], right[:, 3] = middle, twice[:, 1], once[:, 2], p[:, 3]
    return left, right


def _local(curve: Curve, t: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    places = np.atleast_1d(np.asarray(t, dtype=np.float64))
    index = np.minimum(np.maximum(places.astype(np.int64), 0), len(curve) - 1)
    return curve.pieces[index], (places - index)[:, None]


def _empty(pieces: FloatArray) -> npt.NDArray[np.bool_]:
    """Which pieces have all their control points at one place, shape (k,)."""
    return np.asarray(np.abs(pieces - pieces[:, :1]).reshape(len(pieces), 8).max(axis=1) < POINT)


def _leaving(pieces: FloatArray) -> FloatArray:
    """Unit direction in which each piece (k, 4, 2) leaves its first point, shape (k, 2)."""
    steps = pieces[:, 1:] - pieces[:, :1]
    sizes = np.hypot(steps[..., 0], steps[..., 1])
    which = np.arange(len(pieces)), (sizes >= POINT).argmax(axis=1)
    return np.asarray(steps[which] / sizes[which][:, None])


def _vector(p: FloatArray) -> Vector:
    return float(p[0]), float(p[1])

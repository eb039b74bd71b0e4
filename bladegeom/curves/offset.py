"""A closed outline of lines and arcs made larger all round by a constant: lines and arcs again, hence exact.

An arc grows or shrinks about its own centre, a line shifts. Where the outline turns outwards in a corner, an arc about
the corner joins the neighbours; where it turns inwards they are cut off at their crossing, and an inside arc that is
tighter than the distance vanishes between them. Every result is measured against the outline that it came from.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from bladegeom.curves.arcs import ArcChain, fit_arcs
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import nearest
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import ARC_FIT_RESERVE, GROWN_FIT, JOINED, POINT

_LINE = 1e-12
"""An arc with a smaller bulge is a line."""

_SEEN = 1e-3
"""Chords with which a grown outline is measured stay this close to it, mm."""


def offset(loop: Curve, distance: float) -> Curve:
    """A closed counter-clockwise curve moved outwards by a distance everywhere, as arcs and lines.

    Args:
        loop: Closed, without crossings.
        distance: More than 0 mm.

    Returns:
        Closed and counter-clockwise; true to ``GROWN_FIT``.

    Raises:
        CurveError: It runs into itself: a gap or an inside corner is too narrow for the distance.
    """
    chain = fit_arcs([loop], GROWN_FIT - ARC_FIT_RESERVE, closed=True)
    rim = [segment for segment in (_shifted(segment, distance) for segment in _segments(chain)) if segment is not None]
    curve = _curve(_joined(rim, distance))
    _require_true(curve, loop, distance)
    return curve


@dataclass(frozen=True)
class _Segment:
    """A line or an arc from one end to the other, and its place in the chain that it came from."""

    start: complex
    end: complex
    bulge: float
    index: int

    @cached_property
    def half(self) -> float:
        """Half the sweep, rad."""
        return 2 * math.atan(self.bulge)

    @property
    def ways(self) -> tuple[complex, complex]:
        """Unit directions at start and end."""
        way = (self.end - self.start) / abs(self.end - self.start)
        turn = complex(math.cos(self.half), math.sin(self.half))
        return way / turn, way * turn

    @cached_property
    def circle(self) -> tuple[complex, float]:
        """Centre and radius; for arcs only."""
        chord = self.end - self.start
        centre = (self.start + self.end) / 2 + 1j * chord * (1 - self.bulge**2) / (4 * self.bulge)
        return centre, abs(self.start - centre)

    @property
    def is_line(self) -> bool:
        return abs(self.bulge) < _LINE

    @property
    def length(self) -> float:
        chord = abs(self.end - self.start)
        return chord if self.is_line else chord * self.half / math.sin(self.half)

    def share(self, at: complex) -> float:
        """How far along a place on its line or circle lies: 0 at the start, 1 at the end."""
        if self.is_line:
            chord = self.end - self.start
            return ((at - self.start) * chord.conjugate()).real / abs(chord) ** 2
        centre, _ = self.circle
        turn = ((at - centre) / (self.start - centre)) ** (1 if self.bulge > 0 else -1)
        angle = math.atan2(turn.imag, turn.real)
        whole = 2 * abs(self.half)
        # Places a little before the start read as such, not as nearly a whole turn after it.
        return (angle if angle > -(math.tau - whole) / 2 else angle + math.tau) / whole

    def between(self, start: complex | None = None, end: complex | None = None) -> _Segment:
        """The part from one place on it to another."""
        first, last = start if start is not None else self.start, end if end is not None else self.end
        share = (self.share(last) if end is not None else 1.0) - (self.share(first) if start is not None else 0.0)
        bulge = 0.0 if self.is_line else math.tan(self.half * share / 2)
        return _Segment(first, last, bulge, self.index)


def _segments(chain: ArcChain) -> list[_Segment]:
    places = [complex(x, y) for x, y in chain.vertices.tolist()]
    ends = [*places[1:], places[0]]
    return [_Segment(p, q, b, i) for i, (p, q, b) in enumerate(zip(places, ends, chain.bulges.tolist(), strict=True))]


def _shifted(segment: _Segment, distance: float) -> _Segment | None:
    """The segment moved to its right; None where an arc that turns right is too tight to be left."""
    if segment.bulge < 0 and not segment.is_line and segment.circle[1] <= distance + JOINED:
        return None
    first, last = segment.ways
    return replace(segment, start=segment.start - 1j * distance * first, end=segment.end - 1j * distance * last)


def _joined(rim: list[_Segment], distance: float) -> list[_Segment]:
    """All gaps between neighbours closed: by arcs where the outline turns out, by cutting off where it turns in."""
    tries = len(rim)
    out = list(rim)
    for _ in range(tries):
        if len(out) < 2:
            break
        lost = _first_apart(out, distance)
        if lost is None:
            return _closed(out, distance)
        out.pop(lost)
    raise CurveError(
        f"the outline cannot be made {distance:g} mm larger all round: nothing of it would be left", value=distance
    )


def _first_apart(rim: Sequence[_Segment], distance: float) -> int | None:
    """The shorter of the first two neighbours that neither follow each other nor cross; it is to be left out."""
    for i, (a, b) in enumerate(_pairs(rim)):
        if not (_follows(a, b) or _turns_out(a, b, distance)) and _crossing(a, b) is None:
            return i if a.length < b.length else (i + 1) % len(rim)
    return None


def _pairs(rim: Sequence[_Segment]) -> list[tuple[_Segment, _Segment]]:
    return list(itertools.pairwise([*rim, rim[0]]))


def _follows(a: _Segment, b: _Segment) -> bool:
    """Whether one begins where the other ends, as far as the fit tells."""
    return abs(a.end - b.start) <= ARC_FIT_RESERVE


def _turns_out(a: _Segment, b: _Segment, distance: float) -> bool:
    """Whether both come from one corner that turns left."""
    corners = a.end + 1j * distance * a.ways[1], b.start + 1j * distance * b.ways[0]
    return abs(corners[0] - corners[1]) <= JOINED and _turn(a, b) > 0


def _turn(a: _Segment, b: _Segment) -> float:
    """Angle from the end of one to the start of the next, rad, positive to the left."""
    turn = b.ways[0] / a.ways[1]
    return math.atan2(turn.imag, turn.real)


def _closed(rim: Sequence[_Segment], distance: float) -> list[_Segment]:
    """Neighbours joined, each end the very number of the next start."""
    starts, ends = [segment.start for segment in rim], [segment.end for segment in rim]
    corners: dict[int, _Segment] = {}
    for i, (a, b) in enumerate(_pairs(rim)):
        j = (i + 1) % len(rim)
        if _follows(a, b):
            ends[i] = starts[j] = (a.end + b.start) / 2
        elif _turns_out(a, b, distance):
            corners[i] = _Segment(a.end, b.start, math.tan(_turn(a, b) / 4), -1)
        else:
            at = _crossing(a, b)
            # Told apart before: every gap that does not turn out has a crossing.
            ends[i] = starts[j] = a.end if at is None else at
    out = []
    for i, (segment, start, end) in enumerate(zip(rim, starts, ends, strict=True)):
        cut = segment.between(start if start != segment.start else None, end if end != segment.end else None)
        out += [cut, corners[i]] if i in corners else [cut]
    return out


def _crossing(a: _Segment, b: _Segment) -> complex | None:
    """Where two neighbours cross, the place nearest to their joint; None where they do not."""
    found = [at for at in _meetings(a, b) if -POINT <= a.share(at) <= 1 + POINT and -POINT <= b.share(at) <= 1 + POINT]
    return max(found, key=a.share, default=None)


def _meetings(a: _Segment, b: _Segment) -> list[complex]:
    """Where two whole lines or circles meet."""
    if a.is_line and b.is_line:
        u, v = a.end - a.start, b.end - b.start
        cross = (u.conjugate() * v).imag
        if abs(cross) < POINT * abs(u) * abs(v):
            return []
        return [a.start + u * ((b.start - a.start).conjugate() * v).imag / cross]
    if a.is_line or b.is_line:
        straight, (centre, radius) = (a, b.circle) if a.is_line else (b, a.circle)
        way = (straight.end - straight.start) / abs(straight.end - straight.start)
        foot = straight.start + way * ((centre - straight.start) * way.conjugate()).real
        square = radius**2 - abs(centre - foot) ** 2
        return [] if square < 0 else [foot + side * math.sqrt(square) * way for side in (1, -1)]
    (p, r), (q, s) = a.circle, b.circle
    far = abs(q - p)
    if far < POINT:
        return []
    along = (far**2 + r**2 - s**2) / (2 * far)
    square, way = r**2 - along**2, (q - p) / far
    return [] if square < 0 else [p + way * (along + side * 1j * math.sqrt(square)) for side in (1, -1)]


def _curve(segments: Sequence[_Segment]) -> Curve:
    """Lines and arcs as a chain of cubics, true to a part in a million of each radius."""
    pieces = []
    for segment in segments:
        if abs(segment.end - segment.start) < JOINED:
            continue
        ends = _vector(segment.start), _vector(segment.end)
        if segment.is_line:
            pieces.append(line(*ends).pieces)
            continue
        centre, radius = segment.circle
        first = segment.start - centre
        whole = arc(
            _vector(centre), radius, math.degrees(math.atan2(first.imag, first.real)), math.degrees(2 * segment.half)
        )
        exact = whole.pieces.copy()
        exact[0, 0], exact[-1, 3] = ends
        pieces.append(exact)
    chain = np.concatenate(pieces)
    chain[1:, 0], chain[0, 0] = chain[:-1, 3], chain[-1, 3]
    return Curve(chain)


def _vector(z: complex) -> Vector:
    return z.real, z.imag


def _require_true(rim: Curve, loop: Curve, distance: float) -> None:
    """Refuse a result that runs into itself, or that is not everywhere as far from the outline as asked.

    Raises:
        CurveError: It is so.
    """
    xy = flatten(rim, _SEEN)
    ring = shapely.Polygon(xy)
    far = nearest(loop, xy).distance
    i = int(np.abs(far - distance).argmax())
    if ring.is_valid and ring.exterior.is_ccw and abs(float(far[i]) - distance) <= 2 * _SEEN + GROWN_FIT:
        return
    x, y = (float(v) for v in xy[i])
    raise CurveError(
        f"the outline cannot be made {distance:g} mm larger all round: it runs into itself near x {x:.2f}, y {y:.2f} "
        "mm; take less, or open the gap or the inside corner there",
        at=(x, y),
        value=distance,
    )

"""The closed side view of the steel: six named curves in a fixed order, known to be one simple loop."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve, FloatArray, Vector, join
from bladegeom.curves.flatten import flatten, flatten_pieces
from bladegeom.curves.measure import curve_length, loop_moments
from bladegeom.curves.polyline import Polyline
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.quantities.errors import OutlineError, ParameterError
from bladegeom.quantities.told import told
from bladegeom.quantities.tolerances import CHORD, JOINED

MID_STEP = 0.5
"""Places along the tang's mid line are this far apart, mm."""

_COARSE = 0.02
"""Distance of a coarse polygon from the fine one, mm."""

CURVE_NAMES = ("edge", "spine", "handle_top", "butt", "handle_underside", "choil")


@dataclass(frozen=True, kw_only=True)
class Outline:
    """Side view of the steel, blade and tang in one piece, counter-clockwise from the heel.

    Args:
        edge: Heel to tip.
        spine: Tip to the origin, where the handle front begins.
        handle_top: Origin to butt.
        butt: Round the rear end.
        handle_underside: Butt to the underside of the handle front.
        choil: From there to the heel.
        profiles: The profiles it was joined from, if any; their ranges are checked with the knife.

    Raises:
        OutlineError: The curves do not follow each other, run clockwise, or cross; the message says where.

    >>> outline = knife.outline
    >>> outline.tip, round(outline.area), [round(value) for value in outline.bounds]
    ((110.0, -10.0), 5443, [-118, -30, 110, 1])
    """

    edge: Curve
    spine: Curve
    handle_top: Curve
    butt: Curve
    handle_underside: Curve
    choil: Curve
    profiles: tuple[object, ...] = ()

    def __post_init__(self) -> None:
        if math.hypot(*self.spine.end) > JOINED:
            raise OutlineError(
                "the spine must end at the origin (0, 0), where the handle front begins; it ends{at}", self.spine.end
            )
        self._put("spine", -1, 3, (0.0, 0.0))
        for name, following in zip(CURVE_NAMES, (*CURVE_NAMES[1:], CURVE_NAMES[0]), strict=True):
            self._require_joined(name, following)
        if not self.tip[0] > max(self.heel[0], 0.0):
            raise OutlineError("the tip must lie ahead (+x) of the heel and of the handle front; it lies{at}", self.tip)
        polygon = self.polygon
        if not polygon.is_valid:
            raise self._crossing(shapely.is_valid_reason(polygon))
        if self.moments[0] < 0:
            raise OutlineError(
                "the outline runs clockwise; it must run edge, spine, handle top, butt, underside, choil, "
                "with the tip to the right and the edge down"
            )

    @property
    def heel(self) -> Vector:
        """Rear end of the edge, mm."""
        return self.edge.start

    @property
    def tip(self) -> Vector:
        """Front end of the edge, mm."""
        return self.edge.end

    @property
    def front_bottom(self) -> Vector:
        """Where the underside of the handle meets the choil, mm."""
        return self.handle_underside.end

    def _repr_svg_(self) -> str:
        from bladegeom.writers.notebook import outline_picture  # noqa: PLC0415

        return outline_picture(self)

    @cached_property
    def curves(self) -> tuple[Curve, ...]:
        """The six named curves in order."""
        return tuple(getattr(self, name) for name in CURVE_NAMES)

    @cached_property
    def loop(self) -> Curve:
        """All of them as one chain, which ends where it starts."""
        return join(*self.curves)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y, mm; exact."""
        return bounding_box(self.loop.pieces)

    @cached_property
    def moments(self) -> FloatArray:
        """Integrals of 1, x, y, x^2, x y, y^2 over the steel, shape (6,), mm; exact."""
        return _fixed(loop_moments(self.loop.pieces))

    @property
    def area(self) -> float:
        """Of the side view, mm2; exact."""
        return float(self.moments[0])

    @cached_property
    def perimeter(self) -> float:
        """Length of the loop, mm."""
        return curve_length(self.loop)

    @cached_property
    def polygon(self) -> Polygon:
        """The steel as a polygon whose sides stay within 0.005 mm of the curves."""
        return Polygon(flatten_pieces(self.loop.pieces, CHORD)[0])

    @cached_property
    def coarse_polygon(self) -> BaseGeometry:
        """The same with fewer sides, for what is told to a tenth: necks, gaps and tongues."""
        return self.polygon.simplify(_COARSE)

    @cached_property
    def edge_points(self) -> FloatArray:
        """The edge as points (n, 2) within 0.005 mm."""
        return _fixed(flatten(self.edge, CHORD))

    def edge_line(self, chord: float = CHORD) -> Polyline:
        """The edge as chords within a distance of it, mm, to measure from; made once."""
        line = self._edge_lines.get(chord)
        if line is None:
            points = self.edge_points if chord == CHORD else flatten(self.edge, chord)
            line = self._edge_lines[chord] = Polyline(points)
        return line

    @cached_property
    def spine_line(self) -> Polyline:
        """The spine as chords within 0.005 mm, tip first."""
        return Polyline(flatten(self.spine, CHORD))

    @cached_property
    def _edge_lines(self) -> dict[float, Polyline]:
        return {}

    @cached_property
    def mid_line(self) -> FloatArray:
        """Places half way up the tang from the origin to the butt, every half mm along x, shape (n, 3): x, y, room.

        The room is the distance to the outline within 0.005 mm. NaN where there is no steel at an x.
        """
        x = np.arange(-MID_STEP, self.bounds[0], -MID_STEP)
        upper, lower = self.tang_height(x)
        y = (upper + lower) / 2
        # The library warns of places that are none.
        is_steel = np.isfinite(y)
        room = np.full(len(x), np.nan)
        room[is_steel] = shapely.distance(shapely.points(x[is_steel], y[is_steel]), self.polygon.exterior)
        return _fixed(np.stack([x, y, room], axis=1))

    def tang_height(self, x: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Upper and lower border of the steel at each x, shape (n,) both: the topmost stretch of steel there.

        NaN where there is no steel at that x.
        """
        a = np.asarray(self.polygon.exterior.coords)
        x0, y0, x1, y1 = a[:-1, 0], a[:-1, 1], a[1:, 0], a[1:, 1]
        at = np.atleast_1d(np.asarray(x, dtype=np.float64))
        order = np.argsort(at, kind="stable")
        # Of the places in order each chord crosses those from its left end on that lie before its right end.
        first, last = np.searchsorted(at[order], [np.minimum(x0, x1), np.maximum(x0, x1)])
        count = last - first
        chord = np.repeat(np.arange(len(count)), count)
        place = order[np.arange(len(chord)) - np.repeat(np.cumsum(count) - count - first, count)]
        y = y0[chord] + (at[place] - x0[chord]) / (x1[chord] - x0[chord]) * (y1[chord] - y0[chord])
        upper, lower = np.full((2, len(at)), -np.inf)
        topmost = np.lexsort((y, place))[::-1]
        starts = np.flatnonzero(np.diff(place[topmost], prepend=-1))
        upper[place[topmost[starts]]] = y[topmost[starts]]
        lower[place[topmost[starts]]] = y[topmost[starts + 1]]
        return np.where(np.isinf(upper), np.nan, upper), np.where(np.isinf(lower), np.nan, lower)

    def _require_joined(self, name: str, following: str) -> None:
        end, start = getattr(self, name).end, getattr(self, following).start
        gap = math.dist(end, start)
        if gap > JOINED:
            raise OutlineError(
                f"the {_plain(name)} ends {gap:.3g} mm away from where the {_plain(following)} starts{{at}}", end
            )
        self._put(following, 0, 0, end)

    def _put(self, name: str, piece: int, control: int, at: Vector) -> None:
        """Make the end of a curve, already there within a tolerance, exactly equal to a point."""
        pieces = getattr(self, name).pieces
        if tuple(pieces[piece, control]) != at:
            pieces = pieces.copy()
            pieces[piece, control] = at
            object.__setattr__(self, name, Curve(pieces))

    def _crossing(self, reason: str) -> OutlineError:
        numbers = re.findall(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?", reason)
        at = (float(numbers[0]), float(numbers[1])) if len(numbers) >= 2 else self.heel
        there = shapely.Point(at)
        near = [
            _plain(name)
            for name, curve in zip(CURVE_NAMES, self.curves, strict=True)
            if shapely.LineString(flatten(curve, CHORD)).distance(there) < 4 * CHORD
        ]
        return OutlineError(
            f"the outline crosses itself{{at}} ({' and '.join(near)}); change the values that shape it there", at
        )


def join_halves(blade: BladeProfile, handle: HandleProfile) -> Outline:
    """One outline from any blade profile and any handle profile; they share height and directions at the joint.

    Raises:
        ParameterError: A blade where a handle is asked for, or the other way round.
        OutlineError: The two do not make one simple loop.

    >>> from bladegeom.profiles.drop_point import DropPoint
    >>> from bladegeom.profiles.swelled import Swelled
    >>> outline = join_halves(DropPoint(blade_length=100.0), Swelled())
    >>> outline.tip[0]
    100.0
    """
    for half, part, kind in (("blade", blade, BladeProfile), ("handle", handle, HandleProfile)):
        if isinstance(part, type):
            raise ParameterError(half, part.__name__, f"be called: write {part.__name__}()")
        if not isinstance(part, kind):
            raise ParameterError(half, part, f"be a {half} profile", shown=told(part))
    front = blade.blade()
    rear = handle.handle(blade.joint())
    return Outline(
        edge=front.edge,
        spine=front.spine,
        handle_top=rear.top,
        butt=rear.butt,
        handle_underside=rear.underside,
        choil=front.choil,
        profiles=(blade, handle),
    )


def _fixed(values: FloatArray) -> FloatArray:
    values.flags.writeable = False
    return values


def _plain(name: str) -> str:
    return name.replace("_", " ")

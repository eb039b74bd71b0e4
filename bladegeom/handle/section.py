"""Sections through the finished handle, as a maker measures them: calipers both ways, and a tape round it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import CHORD, JOINED

CLEAR = 5.0
"""The first and the last section keep this far off the front's rounding and off the butt, mm; own choice."""

_RUN = 5.0
"""The handle's direction at a place is that of its mid line from so far behind it to so far ahead, mm."""

_STEP = 1.0
"""The narrowest and the thickest place are sought at steps of this, mm."""

_APART = 5.0
"""Stations nearer to each other than this are one, mm; own choice."""

_EVEN = 0.5
"""A handle whose girth varies by less has neither a largest nor a least one, mm; a tape shows no more."""

_ROUGH_PLACES = 65
"""As many tell which place is the thickest: girths are then true to a hundredth of a millimetre."""

_PLACES = 801
"""Places across a section. They crowd at the borders, where a quarter circle is steep: its arc is true to 1e-5."""


@dataclass(frozen=True, kw_only=True, eq=False)
class HandleSection:
    """The finished handle cut square to its run.

    Args:
        what: Which place it is: "behind the front", "least girth".
        foot: On the tang's mid line, mm.
        up: Unit vector across the handle from the underside to the top.
        low: From the foot to the underside, mm, negative.
        half: Right half from the underside to the top, shape (n, 2), mm: way from the underside, height over the
            tang's middle plane.

    >>> from bladegeom import Design
    >>> first = Design(knife).handle_sections[0]
    >>> first.what, round(first.girth, 1)
    ('behind the front', 79.1)
    """

    what: str
    foot: Vector
    up: Vector
    low: float
    half: FloatArray

    @property
    def x(self) -> float:
        """Of the foot, mm."""
        return self.foot[0]

    @property
    def height(self) -> float:
        """From the underside to the top, mm."""
        return float(self.half[-1, 0])

    @property
    def width(self) -> float:
        """Over both scales, mm."""
        return float(2 * self.half[:, 1].max())

    @cached_property
    def girth(self) -> float:
        """Once round: both scales, and top and underside with tang and liners in them, mm."""
        over = np.hypot(*np.diff(self.half, axis=0).T).sum()
        return float(2 * (over + self.half[0, 1] + self.half[-1, 1]))

    @property
    def diameter(self) -> float:
        """Of a round handle with the same girth, mm."""
        return self.girth / math.pi

    @property
    def ends(self) -> tuple[Vector, Vector]:
        """Where it meets the underside and the top, mm."""
        return self._at(self.low), self._at(self.low + self.height)

    def _at(self, way: float) -> Vector:
        return self.foot[0] + way * self.up[0], self.foot[1] + way * self.up[1]


def places_told(count: int) -> tuple[int, ...]:
    """Which of so many sections the route asks for and draws: the first, the middle and the last one.

    >>> places_told(5), places_told(1), places_told(0)
    ((0, 2, 4), (0,), ())
    """
    return tuple(sorted({0, count // 2, count - 1})) if count else ()


@memo
def handle_sections(knife: Knife) -> tuple[HandleSection, ...]:
    """Where a maker puts the tape, from front to butt; none without scales, or where there is no room for any.

    Just behind the front, in front of the butt, and between them the largest girth, the least and the middle place,
    as far as they are places of their own.
    """
    face = knife.scale_face
    if face is None:
        return ()
    cuts = _clear_cuts(knife)
    if not len(cuts.foot):
        return ()
    places, girths = cuts.foot[:, 0].tolist(), _rough_girths(face, cuts)
    even = max(girths) - min(girths) < _EVEN
    chosen: dict[int, list[str]] = {}
    for what, at in (
        ("behind the front", 0),
        ("in front of the butt", len(places) - 1),
        *(() if even else (("largest girth", int(np.argmax(girths))), ("least girth", int(np.argmin(girths))))),
        ("middle", len(places) // 2),
    ):
        same = [i for i in chosen if abs(places[i] - places[at]) < _APART]
        if what in ("largest girth", "least girth"):
            same += [i for i in chosen if abs(girths[i] - girths[at]) < _EVEN]
        if not same:
            chosen[at] = [what]
        elif what != "middle":
            chosen[same[0]].append(what)
    return tuple(section_at(knife, face, places[i], ", ".join(chosen[i])) for i in sorted(chosen))


def section_at(knife: Knife, face: ScaleFace, x: float, what: str = "") -> HandleSection:
    """The section through the place of the mid line at an x, square to the mid line there.

    A handle that leans is so measured at its true height; cut upright it would seem higher by 1/cos of the lean.

    Args:
        knife: The design.
        face: Its scale's face.
        x: mm.
        what: A name for the place.

    Raises:
        ParameterError: The mid line has no place in the handle at that x.
    """
    cuts = _cuts(knife, np.array([x]))
    if not len(cuts.foot):
        raise ParameterError("section of the handle: x", f"{x:g} mm", "lie between the handle front and the butt")
    way, z = _halves(face, cuts, _PLACES)
    (foot_x, foot_y), (up_x, up_y) = cuts.foot[0].tolist(), cuts.up[0].tolist()
    half = np.stack([way[0], z[0]], axis=1)
    return HandleSection(what=what, foot=(foot_x, foot_y), up=(up_x, up_y), low=float(cuts.low[0]), half=half)


def _rough_girths(face: ScaleFace, cuts: _Cuts) -> list[float]:
    """Of each section, true to a hundredth of a millimetre."""
    way, z = _halves(face, cuts, _ROUGH_PLACES)
    over = np.hypot(np.diff(way, axis=1), np.diff(z, axis=1)).sum(axis=1)
    return list(2 * (over + z[:, 0] + z[:, -1]))


def _halves(face: ScaleFace, cuts: _Cuts, places: int) -> tuple[FloatArray, FloatArray]:
    """Ways from the underside to the top across each section, and the face's height there, shape (n, places), mm."""
    low, size = cuts.low[:, None], (cuts.high - cuts.low)[:, None]
    way = size * (1 - np.cos(np.linspace(0.0, math.pi, places))) / 2
    x, y = (foot[:, None] + (low + way) * up[:, None] for foot, up in zip(cuts.foot.T, cuts.up.T, strict=True))
    return way, face.height(x.ravel(), y.ravel()).reshape(way.shape)


def handle_length(knife: Knife) -> float | None:
    """From the middle of the handle front to the rear end of the butt, mm.

    Along the straight line from the front's middle to the mid line in front of the butt, as a rule is laid on it. None
    of a stub that has no section, and of a tang that hides in a block: the block is the handle, and is not declared.
    """
    # A front that leans over the shoulders of a stick tang closes no region that could be cut across.
    if has_hidden_tang(knife.outline.profiles):
        return None
    feet = _clear_cuts(knife).foot
    if not len(feet):
        return None
    start = np.array(knife.handle_front_middle)
    along = feet[-1] - start
    border = shapely.get_coordinates(knife.handle_region.exterior)
    return float(((border - start) @ along).max() / np.hypot(*along))


class _Cuts(NamedTuple):
    """Straight cuts across the handle.

    Args:
        foot: Places of the mid line, shape (n, 2), mm.
        up: Unit vectors square to its run there, upwards, shape (n, 2).
        low: How far the handle reaches from each foot downwards, negative, shape (n,), mm.
        high: And upwards.
    """

    foot: FloatArray
    up: FloatArray
    low: FloatArray
    high: FloatArray


@memo
def _clear_cuts(knife: Knife) -> _Cuts:
    """Those every millimetre along x that keep clear of front and butt, from front to butt."""
    cuts = _cuts(knife, np.arange(0.0, knife.outline.bounds[0], -_STEP))
    rounding = knife.scales.front_rounding if knife.scales else None
    lines = _lines(cuts.foot, cuts.up, cuts.low, cuts.high)
    clear = np.ones(len(lines), dtype=bool)
    for border, least in ((knife.handle_front, rounding.width if rounding else 0.0), (knife.outline.butt, 0.0)):
        clear &= shapely.distance(lines, shapely.LineString(flatten(border, CHORD))) >= CLEAR + least
    return _Cuts(*(values[clear] for values in cuts))


def _cuts(knife: Knife, x: FloatArray) -> _Cuts:
    """The cuts through places of the mid line at each x; none of a place outside the handle."""
    x0, y0, x1, y1 = knife.outline.bounds
    foot, up = _across(knife, x[(x > x0) & (x <= 0)])
    far = np.full(len(foot), (x1 - x0) + (y1 - y0))
    crossed = shapely.intersection(_lines(foot, up, -far, far), knife.handle_region)
    parts, whose = shapely.get_parts(crossed, return_index=True)
    on_it = shapely.distance(parts, shapely.points(foot[whose])) < JOINED
    # Of the parts of a line the first that its place lies on.
    which, first = np.unique(whose[on_it], return_index=True)
    ends, of = shapely.get_coordinates(parts[on_it][first], return_index=True)
    ways = ((ends - foot[which[of]]) * up[which[of]]).sum(axis=1)
    starts = np.searchsorted(of, np.arange(len(which)))
    low, high = (reach.reduceat(ways, starts) if len(ways) else ways for reach in (np.minimum, np.maximum))
    return _Cuts(foot[which], up[which], low, high)


def _across(knife: Knife, x: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The place of the mid line at each x, and the unit vector square to its run there, upwards, shape (n, 2) both."""
    known = knife.outline.mid_line[::-1]
    known = known[np.isfinite(known[:, 1])]
    rear, front = (np.clip(x + by, known[0, 0], known[-1, 0]) for by in (-_RUN, _RUN))
    y_rear, y, y_front = (np.interp(at, known[:, 0], known[:, 1]) for at in (rear, x, front))
    size = np.hypot(front - rear, y_front - y_rear)
    return np.stack([x, y], axis=1), np.stack([(y_rear - y_front) / size, (front - rear) / size], axis=1)


def _lines(foot: FloatArray, up: FloatArray, low: FloatArray, high: FloatArray) -> npt.NDArray[np.object_]:
    """From so far below each foot to so far above it."""
    return np.asarray(shapely.linestrings(foot[:, None] + np.stack([low, high], axis=1)[..., None] * up[:, None]))

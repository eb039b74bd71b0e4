"""Sections through the finished handle, as a maker measures them: calipers both ways, and a tape round it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
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
"""A handle whose girth varies by less has neither a thickest nor a narrowest place, mm; a tape shows no more."""

_ROUGH_PLACES = 65
"""As many tell which place is the thickest: girths are then true to a hundredth of a millimetre."""

_PLACES = 801
"""Places across a section. They crowd at the borders, where a quarter circle is steep: its arc is true to 1e-5."""


@dataclass(frozen=True, kw_only=True, eq=False)
class HandleSection:
    """The finished handle cut square to its run.

    Args:
        what: Which place it is: "behind the front", "narrowest".
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


@memo
def handle_sections(knife: Knife) -> tuple[HandleSection, ...]:
    """Where a maker puts the tape, from front to butt; none without scales, or where there is no room for any.

    Just behind the front, in front of the butt, and between them the thickest, the narrowest and the middle place, as
    far as they are places of their own. Thickest and narrowest are meant by girth.
    """
    face = knife.scale_face
    if face is None or not (places := _places(knife)):
        return ()
    girths = [_section(knife, face, x, "", _ROUGH_PLACES).girth for x in places]
    even = max(girths) - min(girths) < _EVEN
    chosen: dict[int, list[str]] = {}
    for what, at in (
        ("behind the front", 0),
        ("in front of the butt", len(places) - 1),
        *(() if even else (("thickest", int(np.argmax(girths))), ("narrowest", int(np.argmin(girths))))),
        ("middle", len(places) // 2),
    ):
        same = [i for i in chosen if abs(places[i] - places[at]) < _APART]
        if what in ("thickest", "narrowest"):
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
    return _section(knife, face, x, what, _PLACES)


def _section(knife: Knife, face: ScaleFace, x: float, what: str, places: int) -> HandleSection:
    cut = _cut(knife, x)
    if cut is None:
        raise ParameterError("section of the handle: x", f"{x:g} mm", "lie between the handle front and the butt")
    foot, up, low, high = cut
    way = (high - low) * (1 - np.cos(np.linspace(0.0, math.pi, places))) / 2
    z = face.height(foot[0] + (low + way) * up[0], foot[1] + (low + way) * up[1])
    return HandleSection(what=what, foot=foot, up=up, low=low, half=np.stack([way, z], axis=1))


def handle_length(knife: Knife) -> float | None:
    """From the middle of the handle front to the rear end of the butt, mm.

    Along the straight line from the front's middle to the mid line in front of the butt, as a rule is laid on it. None
    of a stub that has no section, and of a tang that hides in a block: the block is the handle, and is not declared.
    """
    if has_hidden_tang(knife.outline.profiles) or not (places := _places(knife)):
        return None
    start = np.array(knife.handle_front_middle)
    along = np.array(_across(knife, places[-1])[0]) - start
    border = shapely.get_coordinates(knife.handle_region.exterior)
    return float(((border - start) @ along).max() / np.hypot(*along))


def _places(knife: Knife) -> list[float]:
    """Places along x whose sections keep clear of front and butt, from front to butt, mm."""
    rounding = knife.scales.front_rounding if knife.scales else None
    front = shapely.LineString(flatten(knife.handle_front, CHORD))
    butt = shapely.LineString(flatten(knife.outline.butt, CHORD))
    out = []
    for x in np.arange(0.0, knife.outline.bounds[0], -_STEP).tolist():
        cut = _cut(knife, x)
        if cut is None:
            continue
        foot, up, *reach = cut
        across = shapely.LineString([(foot[0] + way * up[0], foot[1] + way * up[1]) for way in reach])
        if across.distance(front) >= CLEAR + (rounding.width if rounding else 0.0) and across.distance(butt) >= CLEAR:
            out.append(x)
    return out


def _cut(knife: Knife, x: float) -> tuple[Vector, Vector, float, float] | None:
    """Foot and direction of the section at an x, and how far it reaches down and up, mm; None outside the handle."""
    if not knife.outline.bounds[0] < x <= 0:
        return None
    foot, up = _across(knife, x)
    reach = _reach(knife, foot, up)
    return None if reach is None else (foot, up, *reach)


def _across(knife: Knife, x: float) -> tuple[Vector, Vector]:
    """The place of the mid line at an x, and the unit vector square to its run there, upwards."""
    known = knife.outline.mid_line[::-1]
    known = known[np.isfinite(known[:, 1])]
    rear, front = (float(np.clip(x + by, known[0, 0], known[-1, 0])) for by in (-_RUN, _RUN))
    y_rear, y, y_front = np.interp([rear, x, front], known[:, 0], known[:, 1]).tolist()
    size = math.hypot(front - rear, y_front - y_rear)
    return (x, y), ((y_rear - y_front) / size, (front - rear) / size)


def _reach(knife: Knife, foot: Vector, up: Vector) -> tuple[float, float] | None:
    """How far the handle reaches from a place down and up along a line, mm; None where the place lies outside it."""
    place = shapely.Point(foot)
    x0, y0, x1, y1 = knife.outline.bounds
    far = (x1 - x0) + (y1 - y0)
    line = shapely.LineString([(foot[0] + way * up[0], foot[1] + way * up[1]) for way in (-far, far)])
    for part in shapely.get_parts(shapely.intersection(line, knife.handle_region)):
        if part.distance(place) < JOINED:
            ways = (shapely.get_coordinates(part) - np.array(foot)) @ np.array(up)
            return float(ways.min()), float(ways.max())
    return None

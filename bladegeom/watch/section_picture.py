"""Sections of a knife for a screen: the blade square to its edge, the handle square to its run, the rest upright."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.grind_words import side_words
from bladegeom.grinding.station import station_at
from bladegeom.handle.section import HandleSection, section_at
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.quantities.units import show_angle, show_length
from bladegeom.sheets.section import face_of
from bladegeom.watch.svg_text import Box, polyline, svg_picture

_PLACES = 161
"""Across a section. They crowd at both ends, where faces are steep."""

_STRAIGHT = 0.002
"""Places that a straight line passes nearer than this are left out, mm: no screen shows it."""

_MARGIN = 2.0
"""Round a section, mm."""

_OFF_TIP = 0.5
"""The last section keeps this far from the tip, mm: at it there is nothing to see."""

_ALONG_BLADE = (0.04, 0.35, 0.65, 0.9)
"""From plunge line to tip: where sections are suggested; own choice."""

_ALONG_HANDLE = (0.88, 0.5, 0.15)
"""From the front to the butt, the butt's first; own choice."""


@dataclass(frozen=True, kw_only=True)
class SectionPicture:
    """A section as it is shown.

    Args:
        x: Where it is cut, mm: of the edge, of the mid line of the handle, or of an upright cut.
        svg: The picture; classes ``steel``, ``liner``, ``scale``.
        thickness: Of the steel at its upper border, or over both scales, in words.
        said: What else a maker measures there.
    """

    x: float
    svg: str
    thickness: str
    said: str


def suggested_places(knife: Knife) -> tuple[float, ...]:
    """Where sections tell most, from the butt to the tip, mm."""
    plunge, tip, butt = knife.plunge_line.start[0], knife.outline.tip[0], knife.outline.bounds[0]
    blade = (plunge + part * (tip - plunge) for part in _ALONG_BLADE)
    return tuple(round(x, 1) for x in (*(part * butt for part in _ALONG_HANDLE), *blade))


def section_picture(knife: Knife, x: float) -> SectionPicture:
    """The section at an x, brought into the knife where it lies outside.

    Args:
        knife: The design.
        x: mm.
    """
    edge = knife.outline.edge_points[:, 0]
    tip, butt = float(edge.max()) - _OFF_TIP, knife.outline.bounds[0] + _OFF_TIP
    at = min(max(x, butt), tip)
    if at >= max(knife.plunge_line.start[0], float(edge.min())):
        return _blade(knife, at)
    face = knife.scale_face
    if at < 0 and face is not None and _has_run(knife, at):
        return _handle(knife, face, at)
    return _upright(knife, at)


def _blade(knife: Knife, x: float) -> SectionPicture:
    """Square to the edge, seen from the handle: edge down, right face to the right."""
    station = station_at(knife, knife.grind.only or "right", x)
    d = _crowded(station.reach)
    right, left = (face_of(knife, station, "finished", flank, d) for flank in ("right", "left"))
    steel = float(right[-1] + left[-1])
    line = station.grind_line
    ground = "ground to the spine" if line is None else f"grind line {show_length(line)} from the edge"
    angle = f"{show_angle(station.angle_deg)} degrees {side_words(knife.grind.only)}"
    return SectionPicture(
        x=x,
        svg=_drawn((("steel", _loop(d, right, left)),), f"Section of the blade at x {x:.1f} mm"),
        thickness=show_length(steel),
        said=f"{show_length(station.reach)} high, {ground}, {angle}",
    )


def _upright(knife: Knife, x: float) -> SectionPicture:
    """The bare steel from its lower to its upper border."""
    upper, lower = (float(border[0]) for border in knife.outline.tang_height(np.array([x])))
    d = _crowded(upper - lower)
    across = np.full(len(d), x)
    right, left = (knife.side("finished", flank).height(across, lower + d) for flank in ("right", "left"))
    return SectionPicture(
        x=x,
        svg=_drawn((("steel", _loop(d, right, left)),), f"Upright section of the steel at x {x:.1f} mm"),
        thickness=show_length(float(right[-1] + left[-1])),
        said=f"{show_length(upper - lower)} high, upright",
    )


def _handle(knife: Knife, face: ScaleFace, x: float) -> SectionPicture:
    """Square to the handle's run: scales outside, liners and tang within."""
    section = section_at(knife, face, x)
    up, half = section.half[:, 0], section.half[:, 1]
    along = section.foot[0] + (section.low + up) * section.up[0]
    tang, inside = knife.stock.half_thickness(along), face.inside(along)
    layers = [("scale", half), *([("liner", inside)] if (inside > tang).any() else []), ("steel", tang)]
    return SectionPicture(
        x=x,
        svg=_drawn(
            [(kind, _loop(up, half_width, half_width)) for kind, half_width in layers],
            f"Section of the handle at x {x:.1f} mm",
        ),
        thickness=show_length(section.width),
        said=f"{_measured(section)}",
    )


def _measured(section: HandleSection) -> str:
    return f"{show_length(section.height)} high, {show_length(section.girth)} once round"


def _has_run(knife: Knife, x: float) -> bool:
    """Whether the handle has a mid line at an x that lies in it."""
    known = knife.outline.mid_line
    at = known[np.isfinite(known[:, 1])]
    foot = shapely.Point(x, float(np.interp(-x, -at[:, 0], at[:, 1])))
    return bool(shapely.contains(knife.handle_region, foot))


def _crowded(reach: float) -> FloatArray:
    return np.asarray(reach * (1 - np.cos(np.linspace(0.0, math.pi, _PLACES))) / 2)


def _loop(up: FloatArray, right: FloatArray, left: FloatArray) -> FloatArray:
    """The closed border of a section, shape (n, 2): x across, y from its foot; without places on straight lines."""
    ring = np.concatenate([np.stack([right, up], axis=1), np.stack([-left, up], axis=1)[::-1]])
    return shapely.get_coordinates(shapely.simplify(shapely.LineString([*ring, ring[0]]), _STRAIGHT))[:-1]


def _drawn(loops: tuple[tuple[str, FloatArray], ...] | list[tuple[str, FloatArray]], title: str) -> str:
    every = np.concatenate([loop for _, loop in loops])
    (x0, y0), (x1, y1) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    box: Box = (x0, y0, x1, y1)
    shapes = (polyline(loop, kind, closed=True) for kind, loop in loops)
    return svg_picture(shapes, box, "section", title, margin=_MARGIN)

"""Where two blanks may lie beside each other: the places of one that come too near to the other."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.nesting.nest_stock import is_straight, polygon_of

_CHORD = 0.005
"""How true a blank is followed before it is simplified, mm."""

_SIMPLE = 0.02
"""By how much its polygon is then made larger, so that few corners do, mm; it costs twice that between two blanks."""

_GRID = 1e-7
"""Crossings are told apart down to this, mm."""

_TURN = 1e-9
"""Directions whose sine is less are the same."""

_ROUND = 1.1
"""At a corner a distance is kept up to this many times: the least that stays outside the true round."""


def around(loop: Curve) -> Polygon:
    """A polygon of few corners that holds a closed loop, counter-clockwise; the loop itself where it is straight."""
    whole = polygon_of(loop, _CHORD)
    simple = Polygon(shapely.get_coordinates(whole.simplify(_SIMPLE)))
    off = 0.0 if is_straight(loop) and simple.equals(whole) else _SIMPLE + _CHORD
    widened = simple.buffer(off, join_style="mitre", mitre_limit=2.0) if off else simple
    return orient(Polygon(shapely.get_coordinates(shapely.get_exterior_ring(widened))))


def too_near(fixed: Polygon, other: Polygon, spacing: float) -> BaseGeometry:
    """The shifts at which another polygon overlaps a fixed one or comes nearer to it than a spacing, mm.

    It is the Minkowski sum of the one and the other turned about the origin, made larger by the spacing. The border of
    the sum lies on the shifts at which an edge of one touches an outward corner of the other, within that corner's
    range of directions; they are cut where they cross, and each face between them is tested at one place.

    Args:
        fixed: Counter-clockwise.
        other: Counter-clockwise.
        spacing: To keep, >= 0 mm.

    Source:
        Guibas, Ramshaw, Stolfi, A kinetic framework for computational geometry (1983): convolution of tracings; from
        memory, checked in the tests against sums of all pairs of edges.
    """
    a, b = (shapely.get_coordinates(polygon.exterior)[:-1] for polygon in (fixed, other))
    touching = np.concatenate([_contacts(a, -b), _contacts(-b, a)])
    lines = shapely.union_all(shapely.linestrings(touching), grid_size=_GRID)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    shifts = shapely.get_coordinates(shapely.point_on_surface(faces))
    shapely.prepare(fixed)
    near = shapely.union_all(faces[shapely.intersects(fixed, shapely.polygons(b + shifts[:, None]))])
    return near.buffer(spacing, join_style="mitre", mitre_limit=_ROUND)


def _contacts(edges: FloatArray, corners: FloatArray) -> FloatArray:
    """Each edge of one polygon (n, 2) at each outward corner of another (m, 2) that it can touch, shape (k, 2, 2)."""
    along, leaving = _directions(edges), _directions(corners)
    arriving = np.roll(leaving, 1, axis=0)
    outward = _cross(arriving, leaving) > 0
    touches = (
        outward & (_cross(arriving[None], along[:, None]) >= -_TURN) & (_cross(along[:, None], leaving[None]) >= -_TURN)
    )
    i, j = np.nonzero(touches)
    return np.stack([edges[i] + corners[j], np.roll(edges, -1, axis=0)[i] + corners[j]], axis=1)


def _directions(corners: FloatArray) -> FloatArray:
    steps = np.roll(corners, -1, axis=0) - corners
    return np.asarray(steps / np.hypot(steps[:, 0], steps[:, 1])[:, None])


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])

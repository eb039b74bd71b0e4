"""Steel summed cell by cell from the words of each face's declaration: no code of the library's faces or of weighing.

A face counts from the edge up to its own end and nowhere else; of those that count at a place, and the stock, the
lowest is the surface.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import Curve
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife

Array = npt.NDArray[np.float64]

_COLUMNS, _CELLS = 250, 250


def surface(knife: Knife, stage: Stage, d: Array, to_spine: Array) -> Array:
    """Least height over the middle plane of faces and stock, at distances from edge and spine, mm; both sides alike."""
    grind, half = knife.grind, knife.stock.thickness / 2
    if stage == "blank":
        return np.full_like(d, half)
    left = grind.rough_edge if stage == "rough" else None
    laws = [
        _law(face, d, to_spine, half) + (0.0 if left is None else (left - face.edge_thickness) / 2)
        for face in grind.faces
    ]
    if stage == "sharp":
        laws.append(d * math.tan(math.radians(grind.sharpen_deg)))
    return np.asarray(np.maximum(np.minimum.reduce([np.full_like(d, half), *laws]), 0.0))


def blade_volumes(knife: Knife, stages: Sequence[Stage]) -> list[float]:
    """Of the steel ahead of an upright plunge line without a radius, mm3: thin columns, cells closest at the edge."""
    edge, spine = (shapely.LineString(curve_points(curve)) for curve in (knife.outline.edge, knife.outline.spine))
    rear, tip = knife.grind.plunge.x, knife.outline.tip[0]
    t = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    # Closest towards the tip, where the edge may stand upright.
    x, width = tip - (tip - rear) * t**2, 2 * t * (tip - rear) / _COLUMNS
    loop = shapely.Polygon(curve_points(knife.outline.loop))
    lines = shapely.linestrings([[(at, -500.0), (at, 500.0)] for at in x])
    ends = shapely.bounds(shapely.intersection(lines, loop))
    low, size = ends[:, 1][:, None], (ends[:, 3] - ends[:, 1])[:, None]
    u = (np.arange(_CELLS) + 0.5) / _CELLS
    y = low + size * u**2
    places = shapely.points(np.broadcast_to(x[:, None], y.shape), y)
    d, to_spine = (np.asarray(shapely.distance(places, line)) for line in (edge, spine))
    area = (2 * u / _CELLS) * size * width[:, None]
    return [float(2 * (surface(knife, stage, d, to_spine) * area).sum()) for stage in stages]


def curve_points(curve: Curve) -> Array:
    """A curve as points, by the definition of a cubic Bezier piece."""
    t = np.linspace(0.0, 1.0, 25)[:, None]
    rows = [
        (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * e for a, b, c, e in curve.pieces
    ]
    return np.concatenate(rows)


def _law(face: Face, d: Array, to_spine: Array, half: float) -> Array:
    low, end = face.edge_thickness / 2, math.inf
    match face:
        case FlatBevel(height=height):
            z, end = low + (half - low) * d / height, height
        case AngledBevel(angle_deg=angle):
            z = low + d * math.tan(math.radians(angle))
        case FullFlat():
            z = (low * to_spine + half * d) / (d + to_spine)
        case HollowBevel(wheel_diameter=wheel, height=height):
            chord = math.hypot(height, half - low)
            sagitta = wheel / 2 - math.sqrt(wheel**2 / 4 - chord**2 / 4)
            z, end = _arc(d, low, height, np.full_like(d, half), -sagitta), height
        case ConvexBevel(height=height, bulge=bulge):
            z, end = _arc(d, low, height, np.full_like(d, half), bulge), height
        case ConvexEdge(height=height, bulge=bulge):
            z, end = _arc(d, low, height, _top(face, d, to_spine, half), bulge), height
        case _:
            raise TypeError(face)
    return np.where(d <= end, z, np.inf)


def _top(face: ConvexEdge, d: Array, to_spine: Array, half: float) -> Array:
    """Where its arc ends: on the lowest of stock and all faces that it is told to lie under."""
    top, above = np.full_like(d, half), face.under
    at = np.full_like(d, face.height)
    while True:
        top = np.minimum(top, _law(above, at, to_spine + d - at, half))
        if not isinstance(above, ConvexEdge):
            return top
        above = above.under


def _arc(d: Array, low: float, height: float, top: Array, bulge: float) -> Array:
    """An arc from (0, low) to (height, top) that stands ``bulge`` off its chord: out of the steel, or into it."""
    rise = top - low
    chord = np.hypot(height, rise)
    radius = (chord**2 / 4 + bulge**2) / (2 * abs(bulge))
    # The centre lies on the chord's upright bisector, on the other side than the bulge.
    away = -math.copysign(1.0, bulge) * (radius - abs(bulge))
    centre_d, centre_z = height / 2 - away * rise / chord, (low + top) / 2 + away * height / chord
    reach = np.sqrt(np.maximum(radius**2 - (d - centre_d) ** 2, 0.0))
    return np.asarray(centre_z + math.copysign(1.0, bulge) * reach)

"""How far surfaces stray from the law of the whole part, at places in their cells; what strays too far is refused.

So is steel whose faces meet.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon

from bladegeom.breps.fit import Fitted, Law, Plane
from bladegeom.breps.patch import Patch
from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.quantities.solid_errors import SolidError

PROMISED = 0.01
"""A surface lies no further from its law, mm."""

_PLACES = 40
"""Along each side of the box round a cell, or of a patch."""

_INSET = 0.01
"""Places keep so far from the border of a cell, mm: at a sharp plunge line the law jumps there."""

_STEP = 1e-5


def require_near(surface: Plane | Fitted | Patch, cell: Polygon, law: Law, part: str) -> None:
    """Refuse a surface that strays from the law.

    Args:
        surface: To be judged.
        cell: Over which it stands.
        law: Height at places, of the whole part: a cell whose own law was chosen wrongly is seen too.
        part: For the message.

    Raises:
        SolidError: With the part, how far it strays, and where.
    """
    off, (x, y) = strayed(surface, cell, law)
    if off > PROMISED:
        raise SolidError(
            f"{part}: its true surface strays {off:.3f} mm at ({x:.1f}, {y:.1f}) where {PROMISED:.3f} mm are promised; "
            "nothing was written; 3mf and stl hold it as triangles"
        )


def require_steel(cell: Polygon, thickness: Law, part: str) -> None:
    """Refuse a cell in which the faces of both sides meet.

    Args:
        cell: To be judged.
        thickness: Of the whole part at places.
        part: For the message.

    Raises:
        SolidError: With the part, and the first place without steel.
    """
    inner = cell.buffer(-_INSET)
    if inner.is_empty:
        return
    x, y = _places(inner).T
    gone = np.flatnonzero(thickness(x, y) <= 0)
    if len(gone):
        raise SolidError(
            f"{part}: the faces meet at ({x[gone[0]]:.1f}, {y[gone[0]]:.1f}), where no steel is left; a larger wheel, "
            "a lower bevel or a thicker edge leaves some; nothing was written"
        )


def strayed(surface: Plane | Fitted | Patch, cell: Polygon, law: Law) -> tuple[float, Vector]:
    """Greatest distance of a surface from a law, mm, square to the surface, and the place in the side view.

    A cell narrower than 0.02 mm has no places and 0 mm.
    """
    inner = cell.buffer(-_INSET)
    if inner.is_empty:
        return 0.0, (0.0, 0.0)
    places, upright = _on_patch(surface, inner) if isinstance(surface, Patch) else _on_heights(surface, inner)
    if not len(places):
        return 0.0, (0.0, 0.0)
    off = np.abs(places[:, 2] - law(places[:, 0], places[:, 1])) * upright
    x, y, _ = places[off.argmax()].tolist()
    return float(off.max()), (x, y)


def _on_heights(surface: Plane | Fitted, inner: Polygon) -> tuple[FloatArray, FloatArray]:
    """Places (n, 3), and how upright the normal stands at each, (n,)."""
    x, y = _places(inner).T
    along = (surface(x + _STEP, y) - surface(x - _STEP, y)) / (2 * _STEP)
    across = (surface(x, y + _STEP) - surface(x, y - _STEP)) / (2 * _STEP)
    return np.column_stack([x, y, surface(x, y)]), 1 / np.sqrt(1 + along**2 + across**2)


def _places(inner: Polygon) -> FloatArray:
    """In a grid and along the border, (n, 2)."""
    x0, y0, x1, y1 = inner.bounds
    grid = np.stack(np.meshgrid(np.linspace(x0, x1, _PLACES), np.linspace(y0, y1, _PLACES)), axis=2).reshape(-1, 2)
    border = shapely.get_coordinates(shapely.segmentize(inner, max(x1 - x0, y1 - y0) / (4 * _PLACES)))
    return np.concatenate([grid[shapely.contains_xy(inner, *grid.T)], border])


def _on_patch(patch: Patch, inner: Polygon) -> tuple[FloatArray, FloatArray]:
    """The same, in a grid of the patch's parameters."""
    share = (np.arange(_PLACES) + 0.5) / _PLACES
    u, v = (grid.ravel() for grid in np.meshgrid(share, share))
    along = patch.at(u + _STEP, v) - patch.at(u - _STEP, v)
    across = patch.at(u, v + _STEP) - patch.at(u, v - _STEP)
    places, normal = patch.at(u, v), np.cross(along, across)
    size = np.linalg.norm(normal, axis=1)
    counts = shapely.contains_xy(inner, places[:, 0], places[:, 1]) & (size > 0)
    return places[counts], np.abs(normal[counts, 2]) / size[counts]

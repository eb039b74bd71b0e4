"""The steel in light: flats, ground faces and borders as they are brushed, marks and textures on them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.grind import Flank, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.pictures.decals import Decal, dimple_slopes
from bladegeom.pictures.finish import SteelFinish
from bladegeom.pictures.noise import noise
from bladegeom.pictures.studio import Floats, linear, metal_light
from bladegeom.quantities.appearances import appearance_of
from bladegeom.solids.mesh import Mesh

FLAT, GROUND, SHARPENED, BORDER = range(4)
"""Surfaces of the steel that are worked apart: the bar's own faces, the ground ones, the edge's facet, and outline,
holes and steps."""

_UPRIGHT: Final = 0.2
"""A triangle that looks less than this along z is of the border."""

_SCRATCH: Final = 0.15
"""From one scratch to the next, mm."""

_LENGTH: Final = 16.0
"""Of scratches, mm."""

_MARK_LIGHT: Final = 0.24
"""Left in the letters of a mark."""

_RIM: Final = 0.06
"""Letters catch light at their lower rims, this far beside, mm."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Worked:
    """How each triangle of the steel is worked.

    Args:
        surface: One of the four, shape (m,).
        along: Way along the edge at its corners, mm, shape (m, 3).
    """

    surface: npt.NDArray[np.int8]
    along: FloatArray


def worked(knife: Knife, stage: Stage, mesh: Mesh) -> Worked:
    """From the laws of the sides at the middle of each triangle."""
    corners = mesh.vertices[mesh.triangles]
    middle, facing = corners.mean(axis=1), mesh.normals[:, :, 2].mean(axis=1)
    surface = np.full(len(corners), BORDER, dtype=np.int8)
    for flank, turned in (("right", 1.0), ("left", -1.0)):
        here = np.flatnonzero(turned * facing > _UPRIGHT)
        surface[here] = _by_laws(knife, stage, "right" if flank == "right" else "left", middle[here])
    along = np.zeros(corners.shape[:2])
    ground = np.flatnonzero((surface == GROUND) | (surface == SHARPENED))
    edge = shapely.LineString(knife.outline.edge_line(0.05).vertices)
    places = shapely.points(corners[ground, :, :2].reshape(-1, 2))
    along[ground] = shapely.line_locate_point(edge, places).reshape(-1, 3)
    return Worked(surface=surface, along=along)


def _by_laws(knife: Knife, stage: Stage, flank: Flank, middle: FloatArray) -> npt.NDArray[np.int8]:
    side = knife.side(stage, flank)
    x, y, z = middle.T
    laws = side.laws(x, y)
    past = (x - side.foot[0]) * side.ahead[0] + (y - side.foot[1]) * side.ahead[1]
    least = laws.argmin(axis=0)
    ground = (past > 0) & (least > 0) & (np.abs(z) < laws[0] - 1e-6)
    count = len(knife.grind.faces_at("finished", flank))
    return np.where(ground, np.where(least > count, SHARPENED, GROUND), FLAT).astype(np.int8)


@dataclass(frozen=True, kw_only=True, eq=False)
class SteelPlaces:
    """Places on the steel that are to be lit, n of them.

    Args:
        places: mm, shape (n, 3).
        normals: In the design's frame, shape (n, 3).
        surface: See :class:`Worked`, shape (n,).
        along: Way along the edge, mm, shape (n,).
    """

    places: Floats
    normals: Floats
    surface: npt.NDArray[np.int8]
    along: Floats


def steel_light(
    seen: SteelPlaces, knife: Knife, finish: SteelFinish, patterns: tuple[Decal, ...], frame: Floats
) -> Floats:
    """Colour of places on the steel, linear light, shape (n, 3).

    Args:
        seen: The places.
        knife: Whose steel.
        finish: Of it.
        patterns: Marks and textures.
        frame: Right, up and towards the eye of the studio as rows, shape (3, 3).
    """
    colour = linear(appearance_of(knife.stock.material).colour)
    normals, shade = _patterned(seen, patterns)
    square, scratch = _scratched(seen, finish)
    tilted: Floats = normals + square * (np.float32(0.02 * finish.scratches) * scratch)[:, None]
    spread: Floats = square * np.float32(finish.spread)
    light = metal_light(tilted @ frame.T, spread @ frame.T)
    light = light * (1 + 0.075 * finish.scratches * scratch) * shade
    light = light * np.where(seen.surface == SHARPENED, 1.0, _left(seen, knife, finish)).astype(np.float32)
    return np.asarray(light[:, None] * colour, dtype=np.float32)


def _left(seen: SteelPlaces, knife: Knife, finish: SteelFinish) -> FloatArray | float:
    """What an etch leaves of the light."""
    if finish.light == finish.tang_light:
        return finish.light
    behind = behind_front(knife, seen.places[:, :2].astype(np.float64)) > 0
    return np.where(behind, finish.tang_light, finish.light)


def _scratched(seen: SteelPlaces, finish: SteelFinish) -> tuple[Floats, Floats]:
    """Direction square to the scratches, shape (n, 3), and how bright each is, -1 to 1, shape (n,)."""
    x, y, z = seen.places.T
    square = np.zeros_like(seen.normals)
    ground = (seen.surface == GROUND) | (seen.surface == SHARPENED)
    across = ground if not finish.lengthwise else seen.surface == SHARPENED
    flat, border = ~across & (seen.surface != BORDER), seen.surface == BORDER
    slope = seen.normals[:, :2]
    steep = np.hypot(*slope.T)
    safe = np.maximum(steep, 1e-6)
    square[across, 0], square[across, 1] = (-slope[:, 1] / safe)[across], (slope[:, 0] / safe)[across]
    square[flat, 1] = 1.0
    square[border, 2] = 1.0
    beside = np.where(across, seen.along, np.where(border, z, y)).astype(np.float32)
    run = np.where(across, y, np.where(border & (np.abs(slope[:, 0]) > 0.7), y, x)).astype(np.float32)
    fine = noise(beside / _SCRATCH, run / _LENGTH, 1) + noise(beside / (3.1 * _SCRATCH), run / (2 * _LENGTH), 2)
    return square, np.asarray(0.6 * fine, dtype=np.float32)


def _patterned(seen: SteelPlaces, patterns: tuple[Decal, ...]) -> tuple[Floats, Floats]:
    """Normals with textures in them, and what marks leave of the light."""
    normals, shade = seen.normals, np.ones(len(seen.places), dtype=np.float32)
    x, y, _ = seen.places.T
    for pattern in patterns:
        turned = 1.0 if pattern.flank == "right" else -1.0
        here = np.flatnonzero(turned * seen.normals[:, 2] > _UPRIGHT)
        share = pattern.at(x[here], y[here])
        touched = share > 0
        here, share = here[touched], share[touched]
        if isinstance(pattern.zone, MarkZone):
            lit = np.maximum(pattern.at(x[here], y[here] + np.float32(_RIM)) - share, 0)
            shade[here] = (1 - (1 - _MARK_LIGHT) * share) * (1 + 0.3 * lit)
        elif isinstance(pattern.zone, TextureZone):
            normals = normals.copy() if normals is seen.normals else normals
            slopes = dimple_slopes(pattern.zone, x[here], y[here]) * share[:, None]
            normals[here, 0] -= slopes[:, 0]
            normals[here, 1] -= slopes[:, 1]
            normals[here] /= np.linalg.norm(normals[here], axis=1, keepdims=True)
    return normals, shade

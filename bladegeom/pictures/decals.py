"""What stands on a face of the steel: marks letter by letter, and where a texture lies, as shares on a fine grid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.marking.mark_region import mark_region
from bladegeom.outline.filled import rings_of_region
from bladegeom.pictures.fill import coverage, rings_of
from bladegeom.pictures.noise import lots
from bladegeom.pictures.studio import Floats

_MARK_STEP, _TEXTURE_STEP = 0.03, 0.1
"""Grid of a mark and of a textured region, mm."""

_OF_PIXEL = 0.7
"""Step of the grid of a mark by a pixel, at least: by eye."""

_DIMPLE = 2.4
"""From one dimple to the next, mm: own choice."""

_UNEVEN = 0.36
"""How far dimples stray from their places, in such steps."""

_STEEPEST = 0.22
"""Slope at a dimple's border: steeper would show no light."""

_DISTINCT = 11.0
"""How sharply one dimple ends where the next begins."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Decal:
    """A pattern on one face.

    Args:
        zone: That it stands for.
        flank: The face.
        corner: Its least x and y, mm.
        step: Of its grid, mm.
        shares: 0 to 1, rows with rising y.
    """

    zone: MarkZone | TextureZone
    flank: Flank
    corner: tuple[float, float]
    step: float
    shares: Floats

    def at(self, x: Floats, y: Floats) -> Floats:
        """Its share at places, shape (n,); 0 outside of its grid."""
        rows, columns = self.shares.shape
        u = np.clip((x - self.corner[0]) / self.step - 0.5, 0, columns - 1.001)
        v = np.clip((y - self.corner[1]) / self.step - 0.5, 0, rows - 1.001)
        column, row = u.astype(np.intp), v.astype(np.intp)
        across, up = u - column, v - row
        lower = self.shares[row, column] * (1 - across) + self.shares[row, column + 1] * across
        upper = self.shares[row + 1, column] * (1 - across) + self.shares[row + 1, column + 1] * across
        return np.asarray(lower * (1 - up) + upper * up, dtype=np.float32)


def decals(knife: Knife, mm_per_pixel: float) -> tuple[Decal, ...]:
    """All marks and textures of a knife, each on its face or faces; no finer than a picture of that scale shows."""
    return tuple(
        _on_grid(placed.zone, flank, _drawn(placed.zone, placed.region), mm_per_pixel)
        for placed in placed_zones(knife)
        if not placed.region.is_empty
        for flank in placed.zone.flanks
    )


def _drawn(zone: MarkZone | TextureZone, region: BaseGeometry) -> list[FloatArray]:
    """Closed lines, mm, as seen from the right face."""
    return mark_lines(zone) if isinstance(zone, MarkZone) else rings_of(region)


def mark_lines(zone: MarkZone) -> list[FloatArray]:
    """The letters or the drawing of a mark as closed lines, mm, readable from its own face."""
    return [np.array(ring) for ring in rings_of_region(mark_region(zone))]


def _on_grid(zone: MarkZone | TextureZone, flank: Flank, lines: list[FloatArray], mm_per_pixel: float) -> Decal:
    # Strokes finer than a pixel would be hit here and missed there: letters could be taken for others.
    step = max(_MARK_STEP, _OF_PIXEL * mm_per_pixel) if isinstance(zone, MarkZone) else _TEXTURE_STEP
    if not lines:
        return Decal(zone=zone, flank=flank, corner=(0.0, 0.0), step=step, shares=np.zeros((2, 2), dtype=np.float32))
    x0, y0, x1, y1 = shapely.MultiPoint(np.concatenate(lines)).bounds
    corner = (x0 - 2 * step, y0 - 2 * step)
    columns, rows = (int((high - low) / step) + 5 for low, high in ((x0, x1), (y0, y1)))
    shares = coverage([(line - corner) / step for line in lines], columns, rows)
    return Decal(zone=zone, flank=flank, corner=corner, step=step, shares=shares.astype(np.float32))


def dimple_slopes(zone: TextureZone, x: Floats, y: Floats) -> Floats:
    """How a hammered surface of our own making slopes, as rise along x and along y, shape (n, 2).

    Round dimples whose borders run into each other softly: each counts the more the nearer it is.
    """
    column, row = np.floor(x / _DIMPLE).astype(np.intp), np.floor(y / _DIMPLE).astype(np.intp)
    total, weight = np.zeros((2, len(x)), dtype=np.float32), np.zeros(len(x), dtype=np.float32)
    for right in (-1, 0, 1):
        for up in (-1, 0, 1):
            i, j = column + right, row + up
            away = np.stack(
                [
                    (place / _DIMPLE - cell - 0.5 - _UNEVEN * lots(seed, i, j)).astype(np.float32)
                    for place, cell, seed in ((x, i, 1), (y, j, 2))
                ]
            )
            near = np.exp(-_DISTINCT * (away * away).sum(axis=0))
            total += near * away
            weight += near
    steep = min(8 * zone.depth / _DIMPLE, 2 * _STEEPEST)
    return np.asarray((total / np.maximum(weight, 1e-12) * np.float32(steep)).T)

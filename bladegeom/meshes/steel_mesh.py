"""The steel at a stage of the work as a closed mesh, by the laws that weigh it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten, flatten_pieces
from bladegeom.knife.grind import Flank, Stage
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.side import Side
from bladegeom.meshes.height_mesh import height_mesh
from bladegeom.meshes.plan import Block
from bladegeom.meshes.plunge import hollow
from bladegeom.quantities.tolerances import CHORD
from bladegeom.solids.mesh import Corners, Mesh


@dataclass(frozen=True, eq=False)
class _Ground:
    side: Side
    hollow: bool

    def __call__(self, x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        laws, past = self.side.laws(x, y), np.maximum(self.side.past(x, y), 0.0)
        which = laws.argmin(axis=0)
        which[laws.min(axis=0) < self.side.least(laws)] = len(laws)
        if self.hollow:
            return self.side.ground_by(laws, past), which + len(laws) + 1
        return self.side.ground_by(laws, past), which


@dataclass(frozen=True, eq=False)
class _Flat:
    side: Side

    def __call__(self, x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        return self.side.stock.half_thickness(x), np.zeros(len(x), dtype=np.int64)


def _down(field):
    def lower(x, y):
        z, patch = field(x, y)
        return -z, patch

    return lower


@memo
def steel_mesh(knife: Knife, stage: Stage = "finished", tolerance: float = 0.02) -> Mesh:
    chord = min(CHORD, tolerance / 4)
    plate = shapely.Polygon(flatten_pieces(knife.outline.loop.pieces, chord)[0])
    region = shapely.difference(plate, shapely.union_all([_opening(o, tolerance / 4) for o in knife.openings]))
    right, left = (knife.side(stage, flank, chord=chord) for flank in ("right", "left"))
    ahead = region.intersection(_ahead(right, region))
    hollows = [hollow(s, region.bounds, tolerance) for s in (right, left)]
    near = shapely.union_all([h.region for h in hollows])
    blocks = []
    for part, kind in ((ahead.difference(near), "ahead"), (ahead.intersection(near), "hollow"), (region.difference(_ahead(right, region)), "behind")):
        up, down = ((_Ground(s, kind == "hollow") if kind != "behind" and s.faces else _Flat(s)) for s in (right, left))
        for strip in _strips(part, [x for x, _ in right.stock.taper]):
            lines = tuple(line.intersection(strip) for h in hollows for line in h.rows) if kind == "hollow" else ()
            blocks.append(Block(region=strip, upper=up, lower=None if knife.grind.only is None else _down(down), lines=lines))
    return height_mesh(blocks, tolerance)


def _strips(region, xs):
    x0, y0, x1, y1 = region.bounds if not region.is_empty else (0, 0, 0, 0)
    ends = [x0 - 1, *(x for x in xs if x0 < x < x1), x1 + 1]
    if len(ends) == 2:
        return [region]
    return [region.intersection(shapely.box(a, y0 - 1, b, y1 + 1)) for a, b in zip(ends, ends[1:])]


def _ahead(side: Side, region: BaseGeometry) -> BaseGeometry:
    x0, y0, x1, y1 = region.bounds
    far = 4 * (x1 - x0 + y1 - y0)
    foot, ahead = np.array(side.foot), far * np.array(side.ahead)
    up = np.array([-ahead[1], ahead[0]])
    return shapely.Polygon([foot - up, foot - up + ahead, foot + up + ahead, foot + up])


def _opening(opening: Opening, tolerance: float) -> BaseGeometry:
    """A hole as a polygon of the same area."""
    ring = shapely.Polygon(flatten(opening.outline, tolerance))
    lacking = float(opening.moments[0]) - ring.area
    return ring.buffer(lacking / ring.length, join_style="mitre")

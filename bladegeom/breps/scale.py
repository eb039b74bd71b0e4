"""A scale with its swell and roundings, not yet bored."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Solid
from shapely import Polygon

from bladegeom.breps.accuracy import require_near
from bladegeom.breps.fit import Law
from bladegeom.breps.layers import Layer, layer, layer_mirrored
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import CellPlan, PlanCell, PlanCurve, cut
from bladegeom.breps.sew import merged, solid_between
from bladegeom.breps.steel import CHORD
from bladegeom.breps.strips import Rim, Strips
from bladegeom.curves.curve import Curve, FloatArray, join
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.knife.scales import Rounding

_SHARE = 0.3
"""Of the handle's height: a strip is no wider, so that those of top and underside keep apart."""

_BEND = 0.98
"""Of the tightest bend of the border: a strip is no wider."""


def scale_solid(knife: Knife, *, floor: Law) -> TopoDS_Solid:
    """Under the finished face of the right scale, down to a floor; no bores.

    Args:
        knife: The design.
        floor: Height of the lower bound at places.

    Raises:
        SolidError: A surface that strays from the face or from the floor.
    """
    plan, uppers = _uppers(knife)
    lowers = [layer(plan, upper.cell, floor, upper=False) for upper in uppers]
    for lower in lowers:
        require_near(lower.surface, plan.cells[lower.cell].polygon, floor, "scale")
    return merged(solid_between(plan, [*uppers, *lowers]))


def whole_handle(knife: Knife) -> TopoDS_Solid:
    """All between the finished faces of both scales."""
    plan, uppers = _uppers(knife)
    return solid_between(plan, [*uppers, *(layer_mirrored(upper) for upper in uppers)])


@memo
def _uppers(knife: Knife) -> tuple[CellPlan, list[Layer]]:
    """Cells of the handle with the finished face over each."""
    face = knife.scale_face
    if face is None:
        raise ValueError("a handle without scales has no face")
    front = knife.handle_front.reversed()
    border = join(knife.outline.handle_top, knife.outline.butt, knife.underside)
    close = dataclasses.replace(face, border=Polyline(flatten(border, CHORD)), front=Polyline(flatten(front, CHORD)))
    patches = _patches(knife, close, border, front)
    plan = cut(knife.handle_loop, _lines(patches, knife))
    uppers = []
    for number, cell in enumerate(plan.cells):
        patch = _patch_of(cell, patches)
        known = None if patch is None else Layer(number, close.height, patch, upper=True)
        upper = known or layer(plan, number, close.height, upper=True)
        require_near(upper.surface, cell.polygon, close.height, "scale")
        uppers.append(upper)
    return plan, uppers


def _patches(knife: Knife, face: ScaleFace, border: Curve, front: Curve) -> list[Patch]:
    scales = face.scales
    _, y0, _, y1 = knife.handle_region.bounds
    widest = min(_SHARE * (y1 - y0), _BEND * min(_tightest(border), _tightest(front)))
    fronts = (scales.front_rounding,) if scales.front_rounding else ()

    def height(x: FloatArray, y: FloatArray, away: FloatArray, from_front: FloatArray) -> FloatArray:
        z = face.inside(x) + scales.flat(x)
        for told, line, roundings in ((away, face.border, scales.roundings), (from_front, face.front, fronts)):
            distance = line.distances(x, y) if roundings and np.isnan(told).any() else told
            for rounding in roundings:
                z = z - np.maximum(rounding.drop(np.minimum(distance, rounding.width)), 0.0)
        return np.asarray(z)

    return list(
        Strips(_rim(border, scales.roundings, widest), _rim(front, fronts, widest), (border, front), height).patches()
    )


def _rim(line: Curve, roundings: Sequence[Rounding], widest: float) -> Rim | None:
    """The strip along a line: as wide as its narrowest rounding, as far as that is possible."""
    if not roundings:
        return None
    rounding = min(roundings, key=lambda rounding: rounding.width)
    return Rim(line, min(rounding.width, widest), rounding)


def _tightest(line: Curve) -> float:
    """Least radius with which a line bends to its left, mm."""
    least = np.inf
    for piece in line.pieces:
        t = np.linspace(0.0, 1.0, 200)[:, None]
        way = 3 * (
            (1 - t) ** 2 * (piece[1] - piece[0])
            + 2 * t * (1 - t) * (piece[2] - piece[1])
            + t * t * (piece[3] - piece[2])
        )
        bend = 6 * ((1 - t) * (piece[2] - 2 * piece[1] + piece[0]) + t * (piece[3] - 2 * piece[2] + piece[1]))
        curvature = (way[:, 0] * bend[:, 1] - way[:, 1] * bend[:, 0]) / np.maximum(np.hypot(*way.T), 1e-9) ** 3
        least = min(least, 1.0 / max(float(curvature.max()), 1e-9))
    return least


def _lines(patches: list[Patch], knife: Knife) -> list[PlanCurve]:
    """Borders of the patches inside the handle, each once."""
    ring = knife.handle_region.exterior
    out: list[PlanCurve] = []
    for patch in patches:
        for side in range(4):
            line = patch.border(side)
            middle = line(np.array([0.5]))[0]
            if np.hypot(*(line.poles[-1] - line.poles[0])) < 1e-6 or ring.distance(shapely.Point(middle)) < 0.006:
                continue
            if not any(np.hypot(*(other(np.array([0.5]))[0] - middle)) < 1e-3 for other in out):
                out.append(line)
    return out


def _patch_of(cell: PlanCell, patches: list[Patch]) -> Patch | None:
    for patch in patches:
        middle = patch.at(np.array([0.5]), np.array([0.5]))[0]
        if shapely.contains_xy(cell.polygon, middle[0], middle[1]):
            ring = Polygon(
                np.concatenate(
                    [
                        patch.border(0).samples,
                        patch.border(1).samples,
                        patch.border(2).samples[::-1],
                        patch.border(3).samples[::-1],
                    ]
                )
            )
            if abs(ring.area / cell.polygon.area - 1) < 0.05:
                return patch
    return None

"""The steel at a stage, as a solid with true surfaces."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Solid
from shapely import Polygon

from bladegeom.breps.accuracy import require_near, require_steel
from bladegeom.breps.creases import takeovers
from bladegeom.breps.fan import crossing, fan_at_tip
from bladegeom.breps.fit import Law
from bladegeom.breps.layers import Layer, layer, layer_mirrored
from bladegeom.breps.mitres import mitres
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import PlanCurve, cut, line_through
from bladegeom.breps.plunge import Blend
from bladegeom.breps.sew import solid_between
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.grind import Flank, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.side import Side

CHORD = 2e-4
"""Chords of edge and spine from which heights are taken, mm: their corners are too slight to be seen in a surface."""

_OVER = 1.0
_MEET = 0.05
"""Ends of lines this near to each other meet, mm."""


def side_of(knife: Knife, stage: Stage, flank: Flank) -> Side:
    """One side whose edge and spine follow the curves closely."""
    side = knife.side(stage, flank, chord=CHORD)
    return dataclasses.replace(side, spine=Polyline(flatten(knife.outline.spine, CHORD)))


def steel_solid(knife: Knife, stage: Stage) -> TopoDS_Solid:
    """The steel without its openings.

    Raises:
        SolidError: Faces that meet, or a surface that strays from how the steel is ground.
    """
    flanks: tuple[Flank, ...] = ("right",) if knife.grind.only is None else ("right", "left")
    sides = [side_of(knife, stage, flank) for flank in flanks]
    fans = [_fan(knife, side) for side in sides]
    lines = [line for side in sides for line in _lines(knife, side)]
    plan = cut(knife.outline.loop, lines + [crossing(fan) for fan in fans if fan is not None][:1])
    layers: list[Layer] = []
    for number, cell in enumerate(plan.cells):
        require_steel(cell.polygon, partial(_thickness, sides), f"blade, {stage}")
        upper, *others = [
            Layer(number, _law(side, cell.polygon), fan, upper=True)
            if fan is not None and _at_tip(knife, cell.polygon)
            else layer(plan, number, _law(side, cell.polygon), upper=True)
            for side, fan in zip(sides, fans, strict=True)
        ]
        for made, side in zip((upper, *others), sides, strict=True):
            require_near(made.surface, cell.polygon, side.height, f"blade, {stage}")
        layers += [upper, layer_mirrored(others[0] if others else upper)]
    return solid_between(plan, layers)


def _thickness(sides: list[Side], x: FloatArray, y: FloatArray) -> FloatArray:
    """Of the steel between both sides, which are alike where there is one."""
    return sides[0].height(x, y) + sides[-1].height(x, y)


def _fan(knife: Knife, side: Side) -> Patch | None:
    return fan_at_tip(knife.outline.edge, knife.outline.spine, side.height) if side.faces else None


def _at_tip(knife: Knife, cell: Polygon) -> bool:
    return bool(cell.distance(shapely.Point(knife.outline.tip)) < 1e-6)


def _lines(knife: Knife, side: Side) -> Iterator[PlanCurve]:
    """All lines over which a side is not smooth."""
    yield from _stations(knife, side)
    if not side.faces:
        return
    steel = Polygon(flatten(knife.outline.loop, CHORD))
    start, end = np.array(knife.plunge_line.start), np.array(knife.plunge_line.end)
    way = (end - start) / np.hypot(*(end - start))
    step = Blend(side, steel).deeper_up_to if side.plunge_radius > 0 else None
    places = [start - _OVER * way, *([] if step is None else [start + step * way]), end + _OVER * way]
    for ends in itertools.pairwise(places):
        yield line_through(np.array(ends))
    found = takeovers(side, knife.outline.edge, steel)
    yield from _joined([*mitres(side, knife.outline.edge, steel), *found], steel)
    if side.plunge_radius > 0:
        yield from Blend(side, steel).lines(_ground_up_to(side, start, end, found))


def _joined(lines: list[PlanCurve], steel: Polygon) -> list[PlanCurve]:
    """Lines whose ends inside the steel nearly meet, where three laws are alike, made to meet."""
    out: list[PlanCurve] = []
    met: list[FloatArray] = []
    for line in lines:
        poles = line.poles.copy()
        for end in (0, -1):
            near = [place for place in met if np.hypot(*(place - poles[end])) < _MEET]
            if near:
                poles[end] = near[0]
            elif shapely.contains_xy(steel, *poles[end]):
                met.append(poles[end].copy())
        out.append(dataclasses.replace(line, poles=poles))
    return out


def _ground_up_to(side: Side, start: FloatArray, end: FloatArray, lines: list[PlanCurve]) -> float:
    """How far up the plunge line the face lies under the stock, mm from its foot; where a line ends there, at that."""
    size = float(np.hypot(*(end - start)))
    up = np.linspace(0.0, size, 400)
    places = start + up[:, None] * (end - start) / size
    laws = side.laws(*places.T)
    under = np.flatnonzero(laws[0] - laws.min(axis=0) > 1e-6)
    top = float(up[under[-1]]) if len(under) else 0.0
    ends = [float(np.hypot(*(line.samples[0] - start))) for line in lines if side.past(*line.samples[:1].T)[0] < 1e-6]
    return min([*ends, size], key=lambda place: abs(place - top))


def _stations(knife: Knife, side: Side) -> Iterator[PlanCurve]:
    x0, y0, x1, y1 = knife.outline.bounds
    taper = side.stock.taper
    for x, _ in taper:
        if x0 < x < x1:
            yield line_through(np.array([[x, y0 - _OVER], [x, y1 + _OVER]]))


def _law(side: Side, cell: Polygon) -> Law:
    """The one law that counts in a cell, smooth all over it."""
    inside = cell.representative_point()
    x, y = np.array([inside.x]), np.array([inside.y])
    past, laws = float(side.past(x, y)[0]), side.laws(x, y)
    if past <= 0 or laws[:, 0].argmin() == 0:
        return lambda x, _y: side.stock.half_thickness(x)
    if side.plunge_radius > 0 and past < side.blend_width(laws)[0]:
        return partial(_hollow, side)
    return partial(_ground, side)


def _ground(side: Side, x: FloatArray, y: FloatArray) -> FloatArray:
    """The faces, also where they have left the stock."""
    laws = side.laws(x, y)
    return np.asarray(np.maximum(laws[1:].min(axis=0), -laws[0] if side.alone else 0.0))


def _hollow(side: Side, x: FloatArray, y: FloatArray) -> FloatArray:
    """The hollow along the plunge line, as it is reached from ahead of it."""
    return side.ground_by(side.laws(x, y), np.maximum(side.past(x, y), 0.0))

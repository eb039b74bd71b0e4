"""The outline against tools and steel: inside radii, necks, gaps."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curvature import turns_deg
from bladegeom.curves.curve import curvature, points
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.outline import CURVE_NAMES
from bladegeom.quantities.tolerances import SHOP, SMOOTH_DEG
from bladegeom.quantities.units import show_length, show_place

_SAMPLES = 16
"""Places per piece where curvature is read; a cubic has few extremes of it."""

_HALVINGS = 12

_CRACKS = {True: "steel cracks there in the quench", False: "it cracks there when it is bent or dropped"}
"""Of a metal that is hardened, and of one that is not."""


@rule(
    Code("sharp-inside-corner", ("error",), "an inside corner of the outline is sharp"),
    Code("inside-radius-quench", ("error",), "an inside radius is too small for the quench"),
    Code("inside-radius", ("warning",), "an inside radius is smaller than the smallest contact wheel"),
    Code("neck", ("error",), "the steel narrows to less than its thickness"),
    Code("gap", ("error",), "the outline comes too near to itself for the process"),
    follows=("outline",),
)
def check_outline(knife: Knife) -> Iterator[Finding]:
    """All findings about the outline of a knife."""
    yield from _corners(knife)
    yield from _inside_radii(knife)
    simple = knife.outline.coarse_polygon
    yield from _necks(knife, simple)
    # An allowance makes every gap narrower.
    yield from _gaps(knife, simple.buffer(knife.cutting.allowance) if knife.cutting.allowance else simple)


def _corners(knife: Knife) -> Iterator[Finding]:
    limit = knife.shop.smallest_inside_radius
    if limit <= 0:
        return
    named = [
        (name, i == len(curve) - 1)
        for name, curve in zip(CURVE_NAMES, knife.outline.curves, strict=True)
        for i in range(len(curve))
    ]
    loop = knife.outline.loop
    for (name, last), (x, y), turn in zip(named, loop.pieces[:, 3].tolist(), turns_deg(loop), strict=True):
        if turn > -SMOOTH_DEG:
            continue
        where = f"{'at the end of' if last else 'within'} the {name.replace('_', ' ')}, at"
        yield Finding(
            code="sharp-inside-corner",
            severity="error",
            part="blade",
            message=(
                f"sharp inside corner of {-turn:.2g} degrees {where} "
                f"{show_place(x, y)}: {_CRACKS[knife.stock.hardens]}; round it with {show_length(limit)} or more"
            ),
            measured=0.0,
            limit=limit,
            source=knife.shop.source("smallest_inside_radius"),
            x=x,
            y=y,
        )


def _inside_radii(knife: Knife) -> Iterator[Finding]:
    wheel = min(knife.shop.contact_wheels) / 2
    hard = knife.shop.smallest_inside_radius
    u = np.linspace(0.0, 1.0, _SAMPLES + 1)
    for name, curve in zip(CURVE_NAMES, knife.outline.curves, strict=True):
        # Just inside the pieces' ends, where each has a curvature of its own.
        t = (np.arange(len(curve))[:, None] + np.clip(u, 1e-9, 1 - 1e-9)).ravel()
        k = curvature(curve, t)
        i = int(k.argmin())
        radius = math.inf if k[i] >= 0 else -1.0 / float(k[i])
        if radius >= wheel - SHOP:
            continue
        x, y = (float(v) for v in points(curve, t[i])[0])
        where = f"inside radius {show_length(radius)} on the {name.replace('_', ' ')} at {show_place(x, y)}"
        if knife.stock.hardens and radius < hard - SHOP:
            yield Finding(
                code="inside-radius-quench",
                severity="error",
                part="blade",
                message=f"{where}, less than {show_length(hard)}: steel cracks there in the quench; make it rounder",
                measured=radius,
                limit=hard,
                source=knife.shop.source("smallest_inside_radius"),
                x=x,
                y=y,
            )
        else:
            yield Finding(
                code="inside-radius",
                severity="warning",
                part="blade",
                message=(
                    f"{where}: the smallest contact wheel, {show_length(2 * wheel)} across, grinds no less than "
                    f"{show_length(wheel)}; plan to file it, or make it rounder"
                ),
                measured=radius,
                limit=wheel,
                source="the shop's contact wheels",
                x=x,
                y=y,
            )


def _necks(knife: Knife, steel: BaseGeometry) -> Iterator[Finding]:
    """Steel narrower than the stock is thick, between two wider places: shrunk by half of that, it falls apart."""
    thickness = knife.stock.thickness
    if len(_pieces(steel, thickness)) < 2:
        return
    narrow, wide = 0.0, thickness
    for _ in range(_HALVINGS):
        middle = (narrow + wide) / 2
        if len(_pieces(steel, middle)) < 2:
            narrow = middle
        else:
            wide = middle
    ends = shapely.shortest_line(*_pieces(steel, wide)[:2])
    (x, y) = shapely.get_coordinates(ends.centroid)[0]
    yield Finding(
        code="neck",
        severity="error",
        part="blade",
        message=(
            f"the steel narrows to {show_length(wide)} at {show_place(x, y)}, less than the stock is thick, "
            f"{show_length(thickness)}; widen it there"
        ),
        measured=wide,
        limit=thickness,
        source="common practice, no source",
        x=float(x),
        y=float(y),
    )


def _pieces(steel: BaseGeometry, width: float) -> list[BaseGeometry]:
    """What is left of the steel where it is wider than ``width``, largest first, crumbs left out."""
    parts = shapely.get_parts(steel.buffer(-width / 2))
    big = [part for part in parts if part.area > width * width / 4]
    return sorted(big, key=lambda part: -part.area)


def _gaps(knife: Knife, steel: BaseGeometry) -> Iterator[Finding]:
    """Places where the outline comes so near to itself from outside that no cutter passes."""
    radius = knife.shop.process.inside_radius
    if radius <= 0:
        return
    swollen = steel.buffer(radius)
    closed = swollen.buffer(-radius)
    # What is filled in a single inside corner is smaller than the square of the radius.
    least = 1.5 * radius * radius
    filled = shapely.get_parts(shapely.difference(closed, steel)) if closed.area - steel.area > least else ()
    narrow = [part for part in filled if part.area > least]
    # Behind a mouth between two points hardly anything is filled, but the cutter is kept out all the same.
    pockets = [Polygon(ring) for part in shapely.get_parts(swollen) for ring in part.interiors]
    for part in narrow or pockets:
        x, y = shapely.get_coordinates(part.representative_point())[0]
        yield Finding(
            code="gap",
            severity="error",
            part="blade",
            message=(
                f"the outline comes within {show_length(2 * radius)} of itself at {show_place(x, y)}: "
                f"{knife.shop.process.name} cannot pass; open it"
            ),
            measured=None,
            limit=2 * radius,
            source=knife.shop.process.source("inside_radius"),
            x=float(x),
            y=float(y),
        )

"""The side view of a knife for a screen: steel, ground face, holes, scales, what holds them, and the balance point."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from bladegeom.fasteners.stack import stacks
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.zones import flat_region, placed_zones
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_length
from bladegeom.watch.svg_text import circle, curve_path, polyline, svg_picture

_MARGIN = 6.0
"""Round the knife, mm: the balance mark and a finger's tip."""

_SEEN = 0.1
"""A smaller part of a face is not drawn, mm2."""

_MARK = 2.2
"""Radius of the balance mark, mm."""


def side_picture(knife: Knife, title: str) -> str:
    """The right face at true proportions, one unit 1 mm, y turned down as SVG has it.

    Classes: ``steel``, ``ground``, ``grind-line``, ``plunge``, ``zone``, ``scale``, ``front``, ``hole`` with what it is
    for (``fastener``, ``lightening``, ``lanyard``), ``head``, ``balance``.

    Args:
        knife: The design.
        title: Of the picture.
    """
    shapes = (*_steel(knife), *_zones(knife), *_handle(knife), *_holes(knife), *_balance(knife))
    return svg_picture(shapes, knife.outline.bounds, "side", title, _words(knife), margin=_MARGIN)


def side_range(knife: Knife) -> tuple[float, float]:
    """From where to where the picture shows x, mm."""
    x0, _, x1, _ = knife.outline.bounds
    return x0 - _MARGIN, x1 + _MARGIN


def _words(knife: Knife) -> str:
    x0, y0, x1, y1 = knife.outline.bounds
    holes = len(knife.openings)
    return (
        f"Right face, tip to the right. Length {show_length(x1 - x0)}, height {show_length(y1 - y0)}; "
        f"{holes} hole{'' if holes == 1 else 's'}."
    )


def _steel(knife: Knife) -> Iterator[str]:
    yield curve_path(knife.outline.loop, "steel", closed=True)
    flank = knife.grind.only or "right"
    for part in shapely.get_parts(shapely.difference(knife.bevel_region, flat_region(knife, flank))):
        if part.geom_type == "Polygon" and part.area > _SEEN:
            yield polyline(shapely.get_coordinates(part.exterior), "ground", closed=True)
    for row in grind_line(knife, "finished", flank):
        yield polyline(row, "grind-line", "grind line")
    yield curve_path(knife.plunge_line, "plunge", "plunge line")


def _zones(knife: Knife) -> Iterator[str]:
    for placed in placed_zones(knife):
        zone = placed.zone
        title = zone.text if isinstance(zone, MarkZone) else f"texture to {show_length(zone.depth)}"
        for ring in shapely.get_rings(shapely.get_parts(placed.region)):
            yield polyline(shapely.get_coordinates(ring), "zone", title, closed=True)


def _handle(knife: Knife) -> Iterator[str]:
    if knife.scales is not None:
        yield curve_path(knife.handle_loop, "scale", knife.scales.material.name, closed=True)
    yield curve_path(knife.handle_front, "front", "handle front")


def _holes(knife: Knife) -> Iterator[str]:
    region = knife.handle_region
    for hole, name in zip(knife.openings, knife.hole_ids, strict=True):
        hidden = bool(knife.scales and hole.purpose == "lightening" and shapely.intersects_xy(region, hole.axis).all())
        kind = f"hole {hole.purpose}" + (" hidden" if hidden else "")
        title = f"{name}, {show_length(hole.diameter)}"
        if np.ptp(hole.axis, axis=0).any():
            yield curve_path(hole.outline, kind, f"{title} wide", closed=True)
        else:
            yield circle(hole.x, hole.y, hole.diameter / 2, kind, title)
    for stack in stacks(knife):
        fastener = stack.layers.fastener
        shown = [cut.bore.diameter for cut in stack.cuts if cut.bore.layer == "scale" and cut.face != "inside"]
        if shown:
            yield circle(fastener.x, fastener.y, max(shown) / 2, "head")


def _balance(knife: Knife) -> Iterator[str]:
    x, y, _ = weigh(knife).total.centre
    title = f"balance {from_front(x)}{without_words(unweighed(knife))}"
    yield circle(x, y, _MARK, "balance", title)
    for dx, dy in ((_MARK, 0.0), (0.0, _MARK)):
        yield polyline(np.array([[x - 1.6 * dx, y - 1.6 * dy], [x + 1.6 * dx, y + 1.6 * dy]]), "balance")

"""The scales themselves: whether they lie on the tang, and whether their roundings meet."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.quantities.tolerances import CHORD, SHOP
from bladegeom.quantities.units import show_length, show_mm

_GAP = 0.05
"""A slab that gapes less is drawn to the tang by clamps and glue, mm; own choice."""


@rule(
    Code("scale-gap", ("warning",), "a flat slab gapes over a taper that changes its slope"),
    Code("rounding-ridge", ("note",), "the roundings meet in a ridge"),
    follows=("stack",),
)
def check_scales(knife: Knife) -> Iterator[Finding]:
    """All findings about the scales of a knife, without their fasteners."""
    face = knife.scale_face
    if face is None:
        return
    yield from _gap(knife)
    yield from _ridge(knife, face)


def _gap(knife: Knife) -> Iterator[Finding]:
    """A flat slab on a tang whose taper changes its slope: it lies on the high places and gapes between."""
    butt, _, front, _ = knife.handle_region.bounds
    inside = [x for x, _ in knife.stock.taper if butt < x < front]
    if not inside:
        return
    x = np.array([butt, *inside, front])
    height = knife.stock.half_thickness(x)
    # Of all ways to lie, the one that gapes least: as steep as some chord of the profile.
    slopes = [(height[j] - height[i]) / (x[j] - x[i]) for i, j in itertools.combinations(range(len(x)), 2)]
    tilted = min((height - slope * x for slope in slopes), key=lambda left: float(np.ptp(left)))
    gap, at = float(np.ptp(tilted)), float(x[tilted.argmin()])
    if gap < _GAP:
        return
    rear, fore = (float(2 * height[i]) for i in (0, -1))
    yield Finding(
        code="scale-gap",
        severity="warning",
        part="scales",
        message=(
            f"the tang's taper changes its slope under the scales: a flat slab gapes by {show_length(gap)} on each "
            f"side at x {show_mm(at)} mm; let the taper run straight there, from {show_length(rear)} at x "
            f"{show_mm(butt)} mm to {show_length(fore)} at x {show_mm(front)} mm, with no station between, or bend "
            "the slabs"
        ),
        measured=gap,
        limit=_GAP,
        source="own choice: clamps and glue close less",
        x=at,
    )


def _ridge(knife: Knife, face: ScaleFace) -> Iterator[Finding]:
    """Arcs from top and underside that are wider than half the handle meet in a ridge, below the flat."""
    widest = max(face.scales.roundings, key=lambda rounding: rounding.width, default=None)
    if widest is None:
        return
    line = knife.outline.mid_line
    butt = Polyline(flatten(knife.outline.butt, CHORD)).distances(line[:, 0], line[:, 1])
    # Near the butt the distance falls off anyhow: what counts is where the sides are nearer.
    between = (behind_front(knife, line[:, :2]) > 0) & (butt > line[:, 2] + 2 * CHORD)
    ridge = line[between & (line[:, 2] < widest.width - SHOP)]
    if not len(ridge):
        return
    x, y, room = ridge[ridge[:, 2].argmin()]
    lower = sum(
        float(rounding.drop(np.array([room]))[0]) for rounding in face.scales.roundings if rounding.width > room
    )
    # A ridge that shaping by hand cannot tell from a flat is none.
    if lower <= knife.shop.tolerances.contour:
        return
    yield Finding(
        code="rounding-ridge",
        severity="note",
        part="scales",
        message=(
            f"from x {show_mm(ridge[:, 0].min())} to {show_mm(ridge[:, 0].max())} mm the roundings of top and "
            f"underside, {show_length(widest.width)} wide, meet in a ridge; where the handle is lowest, at x "
            f"{show_mm(x)} mm, that stands {show_length(lower)} below the flat; up to {show_length(float(room))} "
            "wide they leave a flat"
        ),
        measured=widest.width,
        limit=float(room),
        source="half the handle's height",
        x=float(x),
        y=float(y),
    )

"""Whether placed openings keep every rule, told with Shapely and plain loops, no code of placing or checks."""

from __future__ import annotations

import math

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Opening, Slot
from bladegeom.knife.knife import Knife

SHOP = 0.01
"""A rule is broken only if it is missed by more than this, mm."""


def outline_points(knife: Knife, step: float = 0.2) -> FloatArray:
    """The outline as points about so far apart, from the Bernstein form."""
    rows = []
    for p in knife.outline.loop.pieces:
        n = max(8, math.ceil(float(np.hypot(*np.diff(p, axis=0).T).sum()) / step))
        u = (np.arange(n) / n)[:, None]
        rows.append((1 - u) ** 3 * p[0] + 3 * (1 - u) ** 2 * u * p[1] + 3 * (1 - u) * u * u * p[2] + u**3 * p[3])
    return np.concatenate(rows)


def axis_of(opening: Opening) -> shapely.LineString | shapely.Point:
    if isinstance(opening, Slot):
        return shapely.LineString([opening.start, opening.end])
    return shapely.Point(opening.x, opening.y)


def broken(knife: Knife, added: tuple[Opening, ...]) -> list[str]:
    """Every rule that an added opening breaks, in words; a straight handle front and a factor for edges only."""
    assert knife.front_bow == 0
    assert knife.rules.edge_table is None
    steel = shapely.Polygon(outline_points(knife))
    out = []
    for i, opening in enumerate(added):
        others = [hole for hole in knife.openings if hole is not opening]
        out += [
            f"{word} missed by {by:.3f}: {opening}"
            for word, by in _missed(knife, steel, opening, others).items()
            if by > SHOP
        ]
        assert sum(hole is opening for hole in knife.openings) == 1, f"number {i} is none of the knife's"
    return out + narrow(knife, steel, added)


def _missed(knife: Knife, steel: shapely.Polygon, opening: Opening, others: list[Opening]) -> dict[str, float]:
    r, t, process, d = knife.rules, knife.stock.thickness, knife.shop.process, opening.diameter
    axis = axis_of(opening)
    edge = axis.distance(steel.exterior)
    a = math.radians(knife.front_lean_deg)
    ahead = max(x * math.cos(a) - y * math.sin(a) for x, y in shapely.get_coordinates(axis))
    webs = [axis.distance(axis_of(other)) - (d + other.diameter) / 2 for other in others]
    least = max(process.smallest_hole, process.smallest_hole_per_thickness * t) if opening.made == "cut" else 0.0
    sizes = [drill.diameter for drill in (*knife.shop.drills, *knife.shop.sizes_for_lightening)]
    return {
        "outside": 0.0 if steel.contains(axis) else 1.0,
        "edge distance": r.edge_distance_per_diameter * d - edge,
        "rim": max(r.rim, r.per_thickness * t) - (edge - d / 2),
        "strip": r.clear_strip + ahead + d / 2,
        "web": max(r.web, r.per_thickness * t) - min(webs, default=math.inf),
        "too small": least - d,
        "no drill": min(abs(size - d) for size in sizes),
    }


def narrow(knife: Knife, steel: shapely.Polygon, added: tuple[Opening, ...]) -> list[str]:
    """Upright lines, closely set, through an added opening that lose too much of the tang's height."""
    axes = [(shapely.get_coordinates(axis_of(opening)), opening.diameter / 2) for opening in knife.openings]
    ends = [(float(at[:, 0].min() - r), float(at[:, 0].max() + r)) for at, r in axes]
    mine = [end for end, opening in zip(ends, knife.openings, strict=True) if any(opening is other for other in added)]
    low, high = steel.bounds[1] - 1.0, steel.bounds[3] + 1.0
    out: list[str] = []
    places = {x for start, end in mine for x in np.arange(start, end, 0.35).tolist()}
    # Where two overlap along x the line that loses most may be anywhere between their ends.
    for start, end in mine:
        for other_start, other_end in ends:
            both = max(start, other_start), min(end, other_end)
            places |= set(np.linspace(*both, 9).tolist()) if both[0] < both[1] else set()
    x = np.array(sorted(places))
    uprights = shapely.linestrings(np.stack([np.stack([x, 0 * x + low], -1), np.stack([x, 0 * x + high], -1)], 1))
    whole = shapely.length(shapely.intersection(uprights, steel))
    for at, height in zip(x.tolist(), np.atleast_1d(whole).tolist(), strict=True):
        lost = sum(
            _chord(opening, at) for opening, (start, end) in zip(knife.openings, ends, strict=True) if start < at < end
        )
        over = lost - (1 - knife.rules.net_width) * height
        if over > SHOP:
            out.append(f"net width missed by {over:.3f} at x {at:.2f}")
    return out


def _chord(opening: Opening, x: float) -> float:
    r = opening.diameter / 2
    if not isinstance(opening, Slot):
        return 2 * math.sqrt(max(r * r - (x - opening.x) ** 2, 0.0))
    rim = shapely.LineString([opening.start, opening.end]).buffer(r, 64)
    return float(shapely.LineString([(x, -1e3), (x, 1e3)]).intersection(rim).length)

"""What makes the lines of a drawing no knife, told with its place and a way out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import shapely
from shapely import Polygon

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve
from bladegeom.importers.cut_plan import LIKELY
from bladegeom.importers.lines import GAP, Lines, NamedLine
from bladegeom.quantities.units import show_length

_RIVAL = 0.3
"""A loop beside the outline is a second outline if it is at least so large a part of it; own choice."""

_TWICE = 0.98
"""A loop within the outline that is nearly as large is the same line drawn twice; own choice."""

_RECTANGLE = 0.98
"""A line that fills so much of the rectangle round it is one, rounded corners allowed; own choice: no knife does."""

_FRAMED = 0.25
"""A line at least so long within a rectangle makes that a frame; own choice."""


def require_no_frame(polygons: Sequence[Polygon], i: int, loops: Sequence[NamedLine], lines: Lines) -> None:
    """Refuse a rectangle round another line of some size: it is a frame, and what stands in it is the knife."""
    if not _is_rectangle(polygons[i]):
        return
    least = _FRAMED * _length(polygons[i])
    inner = [
        k
        for k in range(len(loops))
        if k != i
        and not _is_rectangle(polygons[k])
        and _length(polygons[k]) >= least
        and polygons[i].contains(polygons[k])
    ]
    if not inner:
        return
    knife = max(inner, key=lambda k: abs(polygons[k].area))
    own = sorted(loops[knife].names - loops[i].names)
    way_out = (
        f"read it alone with only={own[0]!r}"
        if own
        else "give it a layer or a name of its own and read that alone (only=...), or delete the frame"
    )
    raise lines.failed(
        f"the file has a frame of {_sides(polygons[i])} round a line of {_sides(polygons[knife])}; if that line is "
        f"the knife, {way_out}"
    )


def require_likely_size(polygon: Polygon, lines: Lines) -> None:
    """Refuse a knife as long as a ship, or as short as a pin, unless the maker told the size.

    Before the landmarks are looked for: at another size they lie nowhere, and that would be told instead.
    """
    corners = shapely.get_coordinates(polygon.minimum_rotated_rectangle)
    long = max(math.dist(a, b) for a, b in itertools.pairwise(corners))
    if lines.size_told_by and not LIKELY[0] <= long <= LIKELY[1]:
        raise lines.failed(
            f"the outline is about {long:.0f} mm long by the file's own unit, which no knife is; tell "
            f"{lines.size_told_by}"
        )


def _is_rectangle(polygon: Polygon) -> bool:
    return bool(abs(polygon.area) >= _RECTANGLE * polygon.minimum_rotated_rectangle.area)


def _length(polygon: Polygon) -> float:
    x0, y0, x1, y1 = polygon.bounds
    return float(max(x1 - x0, y1 - y0))


def _sides(polygon: Polygon) -> str:
    x0, y0, x1, y1 = polygon.bounds
    return f"{x1 - x0:.1f} x {y1 - y0:.1f} mm"


def require_whole(outline: Polygon, loose: Sequence[Curve], lines: Lines) -> None:
    """Refuse an outline that crosses itself, and an open line larger than it, which must be meant."""
    if not outline.is_valid:
        reason = shapely.is_valid_reason(outline)
        x, y = (float(v) for v in reason.partition("[")[2].rstrip("]").split()[:2])
        raise lines.failed(f"the outline crosses itself at {lines.told((x, y))}; draw it as one simple line")
    larger = [c for c in loose if _size(c) > max(outline.bounds[2] - outline.bounds[0], 0.0)]
    if larger:
        raise lines.failed(f"the longest line is not closed{open_ends(larger, lines)}")


def require_alone(polygons: Sequence[Polygon], i: int, others: Sequence[int], lines: Lines) -> None:
    """Refuse a second outline beside the first, and the same one drawn twice."""
    wide = polygons[i].buffer(GAP)
    shapely.prepare(wide)
    for k in others:
        share = abs(polygons[k].area) / polygons[i].area
        beside = not wide.contains(polygons[k].representative_point())
        x, y = (float(v) for v in shapely.get_coordinates(polygons[k].centroid)[0])
        if beside and share > _RIVAL:
            raise lines.failed(
                f"the file has two outlines: one beside the other, its middle at {lines.told((x, y))}; say which one "
                "is meant by its layer or its name (only=...), or save one alone"
            )
        if not beside and share > _TWICE:
            raise lines.failed("the file has the outline twice, one line over the other; delete one of the two")


def open_ends(loose: Sequence[Curve], lines: Lines) -> str:
    """Where the longest open line ends, and how far apart."""
    if not loose:
        return ""
    longest = max(loose, key=_size)
    gap = math.dist(longest.start, longest.end)
    return (
        f": the longest line ends at {lines.told(longest.start)} and {lines.told(longest.end)}, {show_length(gap)} "
        f"apart; close it there (ends within {show_length(GAP)} are joined)"
    )


def _size(curve: Curve) -> float:
    x0, y0, x1, y1 = bounding_box(curve.pieces)
    return math.hypot(x1 - x0, y1 - y0)

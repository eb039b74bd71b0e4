"""Loops of a cut file that are neither the outline of its one part nor a hole in it."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from bladegeom.cutfile.preflight_words import cut_finding
from bladegeom.cutfile.seen import Seen
from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.units import show_length

_PART = 0.2
"""A loop outside the outline with this share of its area is another part, with less a hole gone astray; own choice."""

_ONE_PART = "cutting shops' file requirements: one part per file, no nesting unless the shop asks"


@rule(
    Code("two-outlines", ("error",), "a second outline stands beside the first"),
    Code("hole-outside", ("error",), "a closed line stands outside the outline"),
    Code("nested", ("error",), "a closed line stands within a hole"),
)
def misplaced(seen: Seen) -> Iterator[Finding]:
    """Loops that are neither the outline nor a hole in it."""
    sorted_loops = seen.nest
    if sorted_loops is None or sorted_loops.outline is None:
        return
    whole = sorted_loops.outline.polygon.area
    for loop in sorted_loops.outside:
        part = loop.polygon.area >= _PART * whole
        away = show_length(float(shapely.distance(loop.polygon, sorted_loops.outline.polygon)))
        if part:
            text = f"a second outline stands {away} beside the first; send one part in a file, with the quantity"
        else:
            text = f"a closed line stands outside the outline, {away} away; move it in, or delete it"
        code = "two-outlines" if part else "hole-outside"
        yield cut_finding(code, "error", text, loop.place, source=_ONE_PART, measured=loop.polygon.area, limit=0.0)
    for loop in sorted_loops.deeper:
        text = "a closed line stands within a hole and falls out with it; delete one of the two"
        yield cut_finding("nested", "error", text, loop.place, source=_ONE_PART)

"""What a pass sheet says of a cut file alone: measured numbers, and what a shop may see."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.cutfile.cut_measures import NECKS, Narrow
from bladegeom.cutfile.preflight import Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.cutfile.preflight_words import width_by_height
from bladegeom.quantities.units import show_length, show_mm, show_size

Row = tuple[str, str]
"""A name, and what belongs to it; empty where it is to be written by hand."""


def measured_rows(preflight: Preflight, off: Deviation | None) -> tuple[Row, ...]:
    """All numbers that were measured on the file as read back."""
    return tuple(_measured(preflight, off))


def _measured(preflight: Preflight, off: Deviation | None) -> Iterator[Row]:
    plan, nest = preflight.plan, preflight.nest
    unit = f"unit {plan.unit} by its header" if plan.unit else "no unit in its header"
    yield "format", f"DXF {plan.release}, {unit}; layers {', '.join(name for name, _ in plan.layers[:6]) or 'none'}"
    if not plan.chains:
        return
    yield "size", width_by_height(preflight.width, preflight.height)
    if nest is not None and nest.outline is not None:
        count = len(nest.holes)
        yield "loops", f"1 outline, {count} hole{'' if count == 1 else 's'}"
    yield (
        "cut length",
        f"{show_length(preflight.perimeter)}, {preflight.pierces} pierce{'' if preflight.pierces == 1 else 's'}",
    )
    if nest is not None and nest.outline is not None and (gaps := nest.outline.gaps):
        yield "outline", f"in {len(gaps)} piece{'' if len(gaps) == 1 else 's'}, each with a pierce of its own"
    yield "smallest hole", _narrow(preflight.smallest_hole, "no hole")
    yield "narrowest web", _narrow(preflight.narrowest_web, "no hole to leave one")
    yield "narrowest neck", _narrow(preflight.narrowest_neck, f"wider than {NECKS:g} mm")
    yield "inside radius", _narrow(preflight.smallest_radius, "no inside corner")
    if off is not None:
        yield "off the design", f"{off.greatest:.4f} mm at most, both ways"


def _narrow(narrow_place: Narrow | None, none: str) -> str:
    if narrow_place is not None and narrow_place.size < 0:
        return f"none: lines run into each other at x {show_mm(narrow_place.x)}, y {show_mm(narrow_place.y)}"
    return (
        none
        if narrow_place is None
        else f"{show_length(narrow_place.size)} at x {show_mm(narrow_place.x)}, y {show_mm(narrow_place.y)}"
    )


def sizes_seen(preflight: Preflight) -> tuple[str, ...]:
    """The sizes that programs may show, and what each means."""
    w, h = preflight.width, preflight.height
    if not preflight.plan.chains:
        return ()
    return (
        f"{show_size(w, h)}: right.",
        f"{25.4 * w:.0f} x {25.4 * h:.0f} mm: mm read as inch; set the import's unit to mm.",
        f"{show_mm(w / 25.4)} x {show_mm(h / 25.4)} mm: inch read as mm; set the import's unit to inch.",
        f"{show_mm(w * 25.4 / 96)} x {show_mm(h * 25.4 / 96)} mm: read as pixels, 96 to the inch; set mm.",
        f"{show_mm(w * 0.941)} to {show_mm(w * 0.97)} mm wide: fitted to a page; set 100 %.",
    )

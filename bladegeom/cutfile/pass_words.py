"""What a pass sheet says of a cut file alone: measured numbers, and what a shop may see."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.cutfile.cut_measures import NECKS, Narrow
from bladegeom.cutfile.preflight import Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.cutfile.preflight_words import size
from bladegeom.quantities.units import show_length, show_mm, show_size

Row = tuple[str, str]
"""A name, and what belongs to it; empty where it is to be written by hand."""


def measured_rows(one: Preflight, off: Deviation | None) -> tuple[Row, ...]:
    """All numbers that were measured on the file as read back."""
    return tuple(_measured(one, off))


def _measured(one: Preflight, off: Deviation | None) -> Iterator[Row]:
    plan, nest = one.plan, one.nest
    unit = f"unit {plan.unit} by its header" if plan.unit else "no unit in its header"
    yield "format", f"DXF {plan.release}, {unit}; layers {', '.join(name for name, _ in plan.layers[:6]) or 'none'}"
    if not plan.chains:
        return
    yield "size", size(one.width, one.height)
    if nest is not None and nest.outline is not None:
        count = len(nest.holes)
        yield "loops", f"1 outline, {count} hole{'' if count == 1 else 's'}"
    yield "cut length", f"{show_length(one.perimeter)}, {one.pierces} pierce{'' if one.pierces == 1 else 's'}"
    if nest is not None and nest.outline is not None and (gaps := nest.outline.gaps):
        yield "outline", f"in {len(gaps)} piece{'' if len(gaps) == 1 else 's'}, each with a pierce of its own"
    yield "smallest hole", _narrow(one.smallest_hole, "no hole")
    yield "narrowest web", _narrow(one.narrowest_web, "no hole to leave one")
    yield "narrowest neck", _narrow(one.narrowest_neck, f"wider than {NECKS:g} mm")
    yield "inside radius", _narrow(one.smallest_radius, "no inside corner")
    if off is not None:
        yield "off the design", f"{off.greatest:.4f} mm at most, both ways"


def _narrow(one: Narrow | None, none: str) -> str:
    if one is not None and one.size < 0:
        return f"none: lines run into each other at x {show_mm(one.x)}, y {show_mm(one.y)}"
    return none if one is None else f"{show_length(one.size)} at x {show_mm(one.x)}, y {show_mm(one.y)}"


def sizes_seen(one: Preflight) -> tuple[str, ...]:
    """The sizes that programs may show, and what each means."""
    w, h = one.width, one.height
    if not one.plan.chains:
        return ()
    return (
        f"{show_size(w, h)}: right.",
        f"{25.4 * w:.0f} x {25.4 * h:.0f} mm: mm read as inch; set the import's unit to mm.",
        f"{show_mm(w / 25.4)} x {show_mm(h / 25.4)} mm: inch read as mm; set the import's unit to inch.",
        f"{show_mm(w * 25.4 / 96)} x {show_mm(h * 25.4 / 96)} mm: read as pixels, 96 to the inch; set mm.",
        f"{show_mm(w * 0.941)} to {show_mm(w * 0.97)} mm wide: fitted to a page; set 100 %.",
    )

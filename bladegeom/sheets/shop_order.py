"""The lines of an order to a cutting shop that go with a cut file, filled in from the file and the design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from bladegeom.curves.curve import Vector
from bladegeom.curves.meet import nearest
from bladegeom.cutfile.cut import CutPart
from bladegeom.cutfile.cut_loops import Gap
from bladegeom.cutfile.cut_words import counted_sheets, hole_choices, layer_words, nominal
from bladegeom.cutfile.pass_words import Row
from bladegeom.cutfile.preflight import Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import CURVE_NAMES
from bladegeom.quantities.tolerances import ARC_FIT
from bladegeom.quantities.units import show_length, show_mm

_LEAD_INS = "outside the outline, inside the holes"
_NO_TABS = "none in the file; if you need any: "
_TABS_STEEL = "on butt or spine, not on edge, tip or holes"
_TABS_SHEET = "on the outline, not on its front or holes"
"""The front of a liner or scale is seen and stays as it is cut; its rim is sanded."""


def order_rows(
    preflight: Preflight, off: Deviation | None = None, knife: Knife | None = None, part: CutPart | None = None
) -> tuple[Row, ...]:
    """Names with what belongs to them; empty where it is to be written by hand.

    What the file holds is told from the file; what the design asks for is told only where the file is that design.

    Args:
        preflight: The file as checked.
        off: How far it is off the design; None without one.
        knife: The design.
        part: Of the design, that the file should cut.
    """
    return tuple(_rows(preflight, off, knife, part))


def _rows(preflight: Preflight, off: Deviation | None, knife: Knife | None, part: CutPart | None) -> Iterator[Row]:
    sheets = counted_sheets(part) if part else ()
    steel = part is None or part.part == "steel"
    if sheets:
        count = _once_if_alike(str(count) for _, count in sheets)
        yield "for one knife", f"{count} of each" if len(sheets) > 1 and ";" not in count else count
    yield "quantity in all", ""
    yield "material", _once_if_alike(name for (name, _), _ in sheets)
    if steel:
        yield "condition (annealed, or HRC)", ""
    yield "thickness", _once_if_alike(show_length(thickness) for (_, thickness), _ in sheets)
    yield "its tolerance", ""
    yield "process", preflight.process.name
    yield "tolerance class of the cut", f"+/- {show_length(preflight.process.tolerance)}"
    yield "size in the file", _size(off, knife, part)
    if knife is not None and part is not None and _true(off):
        yield from (("", line) for line in (*hole_choices(knife, part), *layer_words(part)))
    yield "face on top (right or left)", ""
    yield "tabs", _tabs(preflight, off, knife if steel else None) or _NO_TABS + (_TABS_STEEL if steel else _TABS_SHEET)
    yield "lead-ins", f"{_LEAD_INS}; not on the edge" if steel else _LEAD_INS
    if steel:
        yield "grain of the bar", "along the blade"
    yield "deburr, film", ""
    yield "drops returned", ""
    yield "material supplied by us", ""
    yield "need-by date", ""


def _once_if_alike(words: Iterable[str]) -> str:
    """What is said of each sheet, in one order, so that count, material and thickness answer each other."""
    each = tuple(words)
    return "; ".join(each if len(set(each)) > 1 else each[:1])


def _true(off: Deviation | None) -> bool:
    """Whether the file is the design as it should be cut."""
    return off is not None and off.greatest <= ARC_FIT and off.factor == 1 and not off.missing and not off.extra


def _size(off: Deviation | None, knife: Knife | None, part: CutPart | None) -> str:
    if knife is None or part is None or off is None:
        return ""
    if not _true(off):
        return "not as designed: see the findings"
    return f"{nominal(knife, part)}; no kerf in it, please offset"


def _tabs(preflight: Preflight, off: Deviation | None, knife: Knife | None) -> str:
    """Gaps of the outline as the file has them, with their places in it; empty without any."""
    gaps = preflight.nest.outline.gaps if preflight.nest and preflight.nest.outline else ()
    if not gaps:
        return ""
    places = "; ".join(
        f"x {show_mm(x)}, y {show_mm(y)}{_curve(off, knife, (x, y))}" for x, y in (gap.middle for gap in gaps)
    )
    return f"{len(gaps)} in the file, left on purpose, {_widths(gaps)} wide at {places}"


def _widths(gaps: tuple[Gap, ...]) -> str:
    return " and ".join(dict.fromkeys(show_length(gap.size) for gap in gaps))


def _curve(off: Deviation | None, knife: Knife | None, place: Vector) -> str:
    """On which curve of the design a place of the file lies; nothing where the file does not lie as designed."""
    if knife is None or off is None or off.turned or off.moved:
        return ""
    x0, y0, _, _ = knife.outline.bounds
    allowance = knife.cutting.allowance
    spot = np.array([[place[0] + x0 - allowance, place[1] + y0 - allowance]])
    curves = {name: getattr(knife.outline, name) for name in CURVE_NAMES}
    nearest_name = min(curves, key=lambda name: float(nearest(curves[name], spot).distance[0]))
    return f" ({nearest_name.replace('_', ' ')})"

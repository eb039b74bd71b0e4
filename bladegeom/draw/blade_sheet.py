"""The template on paper: its title, its notes, and the size that fits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bladegeom.body.knife import Knife
from bladegeom.draw.drawing import Sheet
from bladegeom.draw.sheet import on_smallest
from bladegeom.draw.template import template
from bladegeom.quantities.tables import Paper
from bladegeom.quantities.units import show_length
from bladegeom.reason.grind_sheet import tang_range, taper_words
from bladegeom.reason.weigh import Weighing

_FOOT = (
    "Print at 100 % (actual size), never fit to page.",
    "Then measure the bars both ways: 100 mm must read 99.5 to 100.5 mm, 4 in must read 3.98 to 4.02 in.",
    "Cut outside the line. Gloves off at drill and grinder, eyes and lungs covered.",
    "Check before cutting: numbers are starting points; the steel maker's and the shop's limits and local rules "
    "override.",
)


def blade_sheet(
    knife: Knife,
    weighing: Weighing,
    papers: Sequence[Paper],
    *,
    parameters: Mapping[str, object],
    remarks: Sequence[str] = (),
) -> tuple[Paper, Sheet]:
    """The blade template on the first of some papers that takes it on one page.

    Args:
        knife: The design.
        weighing: What it weighs.
        papers: In the order in which to try them.
        parameters: With which the script was called; printed, so that the sheet can be made again.
        remarks: What must be said on every sheet, such as errors that stand or were overridden.

    Raises:
        ExportError: It fits none of them.
    """
    x0, _, x1, _ = knife.outline.bounds
    steel = knife.stock.material.name
    taper = f", {taper_words(knife.stock.taper, tang_range(knife))}" if knife.stock.taper else ""
    only = f" Ground on the {knife.grind.only} side only." if knife.grind.only else ""
    called = ", ".join(f"{name} {value}" for name, value in parameters.items())
    head = [
        f"{knife.name}, revision {knife.revision}",
        f"Blade template, right face.{only} {steel}, {show_length(knife.stock.thickness)} thick{taper}.",
        f"Overall length {show_length(x1 - x0)}: check it with calipers on the print, and again after gluing.",
        f"Whole knife {weighing.total.amount:.0f} g, steel {weighing.blade.mass.amount:.0f} g.",
        *((f"Parameters: {called}.",) if called else ()),
        *remarks,
    ]
    return on_smallest(template(knife, weighing), papers, head, _FOOT)

"""What the holes do, on paper: what moves the balance, the patterns side by side, and the steel that is left."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.sheet import on_smallest
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.lightening_sheet import lightening_pages
from bladegeom.sheets.net_section_chart import net_section_chart
from bladegeom.sheets.sensitivity_chart import sensitivity_pages

_FOOT = (
    "Numbers compare variants of one knife; they promise no strength. Check before drilling; local rules override.",
)


def balance_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """All pages, each on the first of some papers that takes it.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    knife, sensitivities = design.knife, sensitivity_pages(design, papers, remarks=remarks)
    if not knife.openings:
        return sensitivities
    beside = f"{knife.stock.metal_word.capitalize()} beside the holes of the tang."
    head = (design.title, beside, *remarks)
    section = on_smallest(net_section_chart(knife), papers, head, _FOOT, turn=False)[1]
    return (*sensitivities, *lightening_pages(design, papers, remarks=remarks), section)

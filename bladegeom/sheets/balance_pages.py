"""What the holes do, on paper: what moves the balance, the patterns side by side, and the steel that is left."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.sheet import PagePiece, on_smallest
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
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
    sensitivities = sensitivity_pages(design, papers, remarks=remarks)
    if not design.knife.openings:
        return sensitivities
    section = on_smallest((_beside_holes(design.knife, design.title, tuple(remarks)),), papers)[1]
    return (*sensitivities, *lightening_pages(design, papers, remarks=remarks), section)


@memo
def _beside_holes(knife: Knife, title: str, remarks: Sequence[str]) -> PagePiece:
    """The steel that is left, for whatever paper."""
    beside = f"{knife.stock.metal_word.capitalize()} beside the holes of the tang."
    return PagePiece(drawing=net_section_chart(knife), head=(title, beside, *remarks), foot=_FOOT)

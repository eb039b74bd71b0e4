"""Lines that keep somebody from harm, beside the one sign that all of them bear."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.caution_sign import SIGN, caution_sign
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import TEXT

_APART = 1.5
"""From the sign to the lines, mm."""


def caution(flow: PageFlow, lines: Sequence[str]) -> None:
    """Lines in bold that keep together with their sign."""
    heights = (flow.written(text, TEXT, aside=SIGN + _APART, bold=True) for text in lines)
    flow.fit(max(SIGN, sum(heights)))
    top = flow.y
    flow.add(*caution_sign(flow.x, top))
    for text in lines:
        flow.write(text, TEXT, indent=SIGN + _APART, bold=True)
    flow.y = min(flow.y, top - SIGN)
